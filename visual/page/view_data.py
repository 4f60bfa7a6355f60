"""The named views as plain data: cameras of the pictures, for the viewer to stand at."""

import math
from collections.abc import Iterable

import numpy as np

from visual.checks import Report
from visual.page.packing import Json
from visual.scene.camera import View
from visual.scene.framing import whole_site
from visual.scene.layers import Points
from visual.scene.near import wide_plan
from visual.scene.terrain import Terrain
from visual.scene.views import Shot, named_shots

_LEFT_OUT = ("stakeout", "wires")
"""Views for numbers on paper."""

_WORDS = {
    "overview": "Overview",
    "plan": "Plan, north up",
    "raising": "Side",
    "forces": "Forces",
    "front": "Front",
    "closest": "Closest while raised",
}
_SHOWN = {
    "raising": ["cut", "along"],
    "forces": ["cut", "forces"],
    "front": ["across"],
}
_FLAT = ("contours", "land", "zones", "setbacks", "lane", "viewpoints")
"""Groups that a cut leaves out: they lie on ground that is cut away."""

_IN_THE_WAY = ("buildings", "lines", "setbacks", "path", "approach")
"""Groups that the view of the forces leaves out too."""

_HUSHED = ("mast", "wires")
"""Groups whose names would stand among those of the forces."""

_NOT_SEEN = (*_FLAT, "clearance", "path", "approach", "forces")
"""Groups that a person who stands there would not see either."""


def views_data(report: Report, terrain: Terrain) -> list[Json]:
    """Return every view that the page offers, in the order of its buttons."""
    shots = [s for s in named_shots(report, terrain) if s.view.name not in _LEFT_OUT]
    wide = Shot(wide_plan(report), None)
    return shots_data([wide if s.view.name == "plan" else s for s in shots], whole_site(report))


def shots_data(shots: Iterable[Shot], whole: Points) -> list[Json]:
    """Return views as plain data; `whole` is what an overview must fit in."""
    return [_view(shot, whole if shot.view.name == "overview" else None) for shot in shots]


def _view(shot: Shot, fits: Points | None) -> Json:
    view = shot.view
    word = _WORDS.get(view.name, view.title.replace("Seen from: ", "From "))
    data: Json = {
        "name": view.name,
        "word": word,
        "projection": view.projection,
        "eye": _three(view.eye),
        "target": _three(view.target),
        "up": _three(view.up),
        "span": list(view.span),
        "fieldOfView": math.degrees(view.field_of_view),
        "rise": view.rise,
        "eyeLevel": view.eye_level,
        "angle": None if shot.angle is None else math.degrees(shot.angle),
        "shows": _SHOWN.get(view.name, []),
        "hides": list(_hidden(view)),
        "hushes": list(_HUSHED) if view.name == "forces" else [],
        "fits": [_three(point) for point in fits] if fits is not None else None,
    }
    if view.clip is not None:
        data["clip"] = {"at": _three(view.clip[0]), "normal": _three(view.clip[1])}
    return data


def _hidden(view: View) -> tuple[str, ...]:
    if view.eye_level:
        return tuple(group for group in _NOT_SEEN if group != "land")
    if view.name == "forces":
        return (*_FLAT, "clearance", *_IN_THE_WAY)
    return (*_FLAT, "clearance") if view.clip is not None else ()


def _three(point: object) -> list[float]:
    return [float(value) for value in np.asarray(point, dtype=float)]
