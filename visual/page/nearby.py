"""What stands near enough to be asked after: how far it is from the mast, and where to see both."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from visual.checks import Finding, Report
from visual.checks.from_base import FromBase, from_base
from visual.model import Model, PlacedArea, PlacedBuilding
from visual.page.packing import Json
from visual.page.reader_sizes import at_least, exactly
from visual.scene.framing import level_ring, vehicle_places, whole_site
from visual.scene.layers import Points
from visual.scene.surroundings import is_numbered, paths_of, rings_of

WITHIN = 10.0
"""Farther than so many total heights nothing is asked after. Own choice."""

_GROUPS = {
    "building": "buildings",
    "tree": "buildings",
    "overhead_line": "lines",
    "boundary": "land",
    "road": "land",
    "viewpoint": "viewpoints",
}
_SAID_FROM = "from the mast's foot"


@dataclass(frozen=True, eq=False, kw_only=True)
class Nearby:
    """One thing near the mast.

    Parameters
    ----------
    kind, name : str
        What it is.
    distance : float
        From the foot of the mast, on the level. [m]
    ends : ndarray, shape (2, 3)
        The line of that distance, on the ground: foot of the mast, nearest place. [m]
    places : ndarray, shape (n, 3)
        Points that show it, its nearest place among them. [m]
    """

    kind: str
    name: str
    distance: float
    ends: Points = field(repr=False)
    places: Points = field(repr=False)

    @property
    def key(self) -> str:
        """Group and name of its layer on the page."""
        return f"{_GROUPS[self.kind]}/{self.name}"


def find_nearby(report: Report) -> list[Nearby]:
    """Return everything within `WITHIN` total heights that has a name, nearest first."""
    model = report.model
    farthest = WITHIN * report.fall_zone.total_height
    found = [
        _placed(model, one)
        for one in from_base(model, _GROUPS)
        if one.distance <= farthest and not (one.kind == "tree" and is_numbered(one.name))
    ]
    nearest: dict[str, Nearby] = {}
    for one in sorted(found, key=lambda one: one.distance):
        nearest.setdefault(one.key, one)  # of several of a name the nearest
    return list(nearest.values())


def nearby_data(near: Iterable[Nearby]) -> list[Json]:
    """Return what is near as plain data, for the page to draw lines to."""
    return [
        {
            "key": one.key,
            "name": one.name,
            "kind": one.kind,
            "ends": one.ends.tolist(),
            "text": {u: f"{_words(one)} {far}" for u, far in at_least(one.distance).items()},
            "said": {
                u: f"{_words(one)}\n{far} {_SAID_FROM}" for u, far in at_least(one.distance).items()
            },
            "fits": one.places.tolist(),
        }
        for one in near
    ]


def apart_data(report: Report, finding: Finding) -> Json | None:
    """Return the line whose length a finding is about, if it is about one on the ground.

    `key` names the thing near by; where the page knows more points of it, it shows those too.
    """
    for setback in report.setbacks:
        origin = setback.measured_from.replace("_", " ")
        is_it = finding.check == "setback" and finding.subject == f"{origin} to {setback.name}"
        if is_it and finding.value == setback.distance:
            ends = np.array([_on_ground(report.model, *place) for place in setback.nearest])
            key = f"{_GROUPS.get(setback.to, 'land')}/{setback.name}"
            return {"key": key, "ends": ends.tolist(), "length": exactly(abs(setback.distance))}
    return None


def building_height(model: Model, building: PlacedBuilding) -> float:
    """Return how high a building is above the highest ground at its corners. [m]"""
    corners = building.footprint.exterior.coords
    return building.top - max(float(model.ground.height(x, y)) for x, y, *_ in corners)


def all_around(report: Report, near: Iterable[Nearby]) -> Points:
    """Return what a look at everything near must show, the fall circle and the mast among it."""
    every = np.concatenate([whole_site(report), vehicle_places(report), *(n.places for n in near)])
    reach = float(np.hypot(every[:, 0], every[:, 1]).max())
    lands = report.model.surroundings.areas_of("boundary")
    edges = [_within(report.model, land, reach) for land in lands]
    return np.concatenate([every, *edges])


def _placed(model: Model, one: FromBase) -> Nearby:
    foot, end = np.array([0.0, 0.0, model.base_ground]), _on_ground(model, *one.place)
    return Nearby(
        kind=one.kind,
        name=one.name,
        distance=one.distance,
        ends=np.array([foot, end]),
        places=np.concatenate([[end], *_more_of(model, one.kind, one.name)]),
    )


def _more_of(model: Model, kind: str, name: str) -> Iterator[Points]:
    """Yield further points of what fills a picture: walls, crowns, and eyes of viewpoints."""
    around = model.surroundings
    if kind == "building":
        for one in around.buildings:
            if one.name == name and math.isfinite(one.base + one.top):
                ring = rings_of(one.footprint)[0]
                yield np.concatenate([level_ring(ring, one.base), level_ring(ring, one.top)])
    if kind == "viewpoint":
        yield from (o.eye[None] for o in around.viewpoints if o.name == name and _is_known(o.eye))
    if kind == "tree":
        for tree in around.trees:
            if tree.name == name and math.isfinite(tree.top):
                yield np.array([[*tree.foot[:2], tree.top]])


def _within(model: Model, land: PlacedArea, reach: float) -> Points:
    """Return the corners of an edge that lie within a distance of the mast, on the ground."""
    rings = [*rings_of(land.shape), *paths_of(land.shape)]
    corners = [place for ring in rings for place in ring if math.hypot(*place) <= 0.75 * reach]
    return np.array([_on_ground(model, *map(float, place)) for place in corners]).reshape(-1, 3)


def _on_ground(model: Model, x: float, y: float) -> Points:
    height = float(model.ground.height(x, y))
    return np.array([x, y, height if math.isfinite(height) else model.base_ground])


def _is_known(place: Points) -> bool:
    return bool(np.isfinite(place).all())


def _words(one: Nearby) -> str:
    return f"edge of {one.name}" if one.kind == "boundary" else one.name
