"""What can be asked of the finder: search, stop, look round, stand somewhere else."""

import base64
from collections.abc import Callable
from typing import Any

import numpy as np

from visual.app.asked import Asked, AskedError
from visual.app.finder import Finder
from visual.app.found_data import NONE
from visual.app.session import Session, StaleError
from visual.frame import Frame
from visual.model import Model
from visual.page.layer_data import role_data

Json = dict[str, Any]
Find = Callable[[Finder, Session, Asked], object]

LOOKS = (
    "search_75",
    "search_50",
    "search_25",
    "search_0",
    "search_fails",
    "search_lost",
)
"""Roles of the pictures of a search: the live view draws with the same colours."""

MOST_POINTS = 200
FARTHEST = 2000.0
"""Largest radius that is searched. [m]"""


def begin_search(finder: Finder, session: Session, asked: Asked) -> None:
    """Search the land, what is within a radius of the base, or what is in view."""
    area = asked.text("area", "land")
    if area == "land":
        finder.search(session, {})
    elif area == "radius":
        radius = asked.number("radius")
        if not 1.0 <= radius <= FARTHEST:
            message = f"the radius must be 1 m to {FARTHEST:.0f} m"
            raise AskedError(message)
        finder.search(session, {"radius": radius})
    elif area == "view":
        frame = _model(session, asked.whole("seen")).frame
        points = [frame.to_grid(x, y) for x, y in _points(asked)]
        finder.search(session, {"within": [[float(e), float(n)] for e, n in points]})
    else:
        message = "the area is 'land', 'radius' or 'view'"
        raise AskedError(message)


def stand(finder: Finder, session: Session, asked: Asked) -> int:
    """Put the mast on a place that a search found, facing the best way: one edit.

    The place is told by its rank on the list, or by its row and column.
    """
    version = asked.whole("version")
    known = finder.found(session)
    if known is None or known[0] != asked.whole("search"):
        message = "there is a newer search; the newest state is shown"
        raise StaleError(message)
    if "rank" in asked.values:
        position, front = _listed(known[1], asked.whole("rank"))
    else:
        position, front = _on_the_ground(known[1], asked.whole("row"), asked.whole("column"))
    model = session.answer.model if session.answer else None
    digits = 7 if model is not None and model.frame.scale is None else 2
    changes = {
        "mast.position": [round(one, digits) for one in position],
        "mast.front": round(front, 1) % 360.0,
    }
    return session.set_tables(changes, version=version)


def found_of(finder: Finder, session: Session, seen: int) -> Json:
    """Return what the last search found, in the local frame of a version that is shown."""
    known = finder.found(session)
    if known is None:
        return {"number": 0}
    number, found = known
    frame = _model(session, seen).frame
    corners = [_local(frame, corner) for corner in found["lattice"]]
    rows, columns = found["shape"]
    first, down, right = (np.array(corner) for corner in corners)
    return found | {
        "number": number,
        "first": first.tolist(),
        "down": ((down - first) / rows).tolist(),
        "right": ((right - first) / columns).tolist(),
        "places": [place | {"at": _local(frame, place["at"])} for place in found["places"]],
        "roles": role_data(LOOKS),
    }


FINDS: dict[str, Find] = {
    "search": begin_search,
    "prepare": lambda finder, session, asked: finder.prepare(session),  # noqa: ARG005
    "search_stop": lambda finder, session, asked: finder.stop(),  # noqa: ARG005
    "rose": lambda finder, session, asked: finder.look_round(session),  # noqa: ARG005
    "stand": stand,
}


def _listed(found: Json, rank: int) -> tuple[list[float], float]:
    place = next((one for one in found["places"] if one["rank"] == rank), None)
    if place is None:
        message = "there is no such place on the list"
        raise AskedError(message)
    return place["at"], place["front"]


def _on_the_ground(found: Json, row: int, column: int) -> tuple[list[float], float]:
    rows, columns = found["shape"]
    if not (0 <= row < rows and 0 <= column < columns):
        message = "there is no such place"
        raise AskedError(message)
    bearing = base64.b64decode(found["bearing"])[row * columns + column]
    if bearing == NONE:
        message = "no bearing works there"
        raise AskedError(message)
    first, down, right = (np.array(corner) for corner in found["lattice"])
    at = first + (down - first) * (row / rows) + (right - first) * (column / columns)
    return at.tolist(), bearing * found["turn"]


def _model(session: Session, seen: int) -> Model:
    model = session.model_of(seen)
    if model is None:
        message = "this was seen too long ago"
        raise StaleError(message)
    return model


def _local(frame: Frame, at: list[float]) -> list[float]:
    x, y = frame.to_local(at[0], at[1])
    return [float(x), float(y)]


def _points(asked: Asked) -> list[tuple[float, float]]:
    points = asked.values.get("points")
    if not isinstance(points, list) or not 3 <= len(points) <= MOST_POINTS:
        message = "the points are 3 to 200 pairs of numbers"
        raise AskedError(message)
    pairs = [point if isinstance(point, list) and len(point) == 2 else [None] for point in points]
    x = [Asked({"points": pair[0]}).number("points") for pair in pairs]
    y = [Asked({"points": pair[-1]}).number("points") for pair in pairs]
    return list(zip(x, y, strict=True))
