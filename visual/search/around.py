"""What stands around, in plan, as a search asks for it: distances to groups of things."""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import GeometryCollection
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from visual.checks.lane import BLOCKING
from visual.checks.moving import find_obstacles
from visual.checks.place import FORBIDDEN_KINDS
from visual.checks.setback import plan_shapes, required_distance
from visual.model import Model, Surroundings

Array = NDArray[np.float64]
Points = NDArray[np.object_]
"""Many points of shapely."""


@dataclass(frozen=True, eq=False)
class Kept:
    """Something to keep a distance from in plan.

    Parameters
    ----------
    name : str
        What it is.
    shape : shapely geometry
        What the distance is measured to. [m]
    required : float
        Distance to keep. [m]
    inside : shapely geometry or None
        Land that must not be left, for a boundary.
    """

    name: str
    shape: BaseGeometry = field(repr=False)
    required: float
    inside: BaseGeometry | None = field(default=None, repr=False)

    def distance(self, points: Points) -> Array:
        """Return distances in plan, negative on the wrong side of a boundary. [m]"""
        away = np.asarray(shapely.distance(points, self.shape), dtype=float)
        if self.inside is None:
            return away
        shapely.prepare(self.inside)
        return np.where(shapely.contains(self.inside, points), away, -away)


@dataclass(frozen=True, eq=False)
class Tall:
    """A building as a place in a fall zone sees it.

    Parameters
    ----------
    name : str
        Its name.
    plan : shapely geometry
        Its outline, filled. [m]
    base, top : float
        Where it begins and ends, z. [m]
    """

    name: str
    plan: BaseGeometry = field(repr=False)
    base: float
    top: float


@dataclass(frozen=True, eq=False)
class Wire:
    """An overhead line as a place in a fall zone sees it.

    Parameters
    ----------
    name : str
        Its name.
    plan : shapely geometry
        Its conductors in plan. [m]
    pieces : ndarray, shape (n, 3, 3)
        Its conductor. [m]
    radius, required : float
        Half its width, and the distance to keep. [m]
    """

    name: str
    plan: BaseGeometry = field(repr=False)
    pieces: Array = field(repr=False)
    radius: float
    required: float


@dataclass(frozen=True, eq=False)
class Around:
    """Everything around that a search keeps away from.

    Parameters
    ----------
    base : tuple of Kept
        Setbacks of the base.
    nearest_part, anchors : tuple of Kept
        Setbacks of any part, and of the anchors.
    clear : tuple of Kept
        What moving parts keep clear of.
    blocking : shapely geometry
        What may not lie in a strip.
    forbidden : shapely geometry
        Where no anchor may stand.
    land : shapely geometry or None
        The land that anchors stand on: all boundaries that are areas; None if there are none.
    buildings : tuple of Tall
        For the fall zone.
    roads : tuple of Kept
        For the fall zone.
    lines : tuple of Wire
        For the fall zone.
    tops : tuple of (geometry, float)
        Plan and top of buildings and trees, for the wind.
    """

    base: tuple[Kept, ...]
    nearest_part: tuple[Kept, ...]
    anchors: tuple[Kept, ...]
    clear: tuple[Kept, ...]
    blocking: BaseGeometry = field(repr=False)
    forbidden: BaseGeometry = field(repr=False)
    land: BaseGeometry | None = field(repr=False)
    buildings: tuple[Tall, ...] = ()
    roads: tuple[Kept, ...] = ()
    lines: tuple[Wire, ...] = ()
    tops: tuple[tuple[BaseGeometry, float], ...] = field(default=(), repr=False)


def around_of(model: Model) -> Around:
    """Return what stands around a model."""
    areas = [shape for _, shape in plan_shapes(model, "boundary") if shape.area > 0]
    height = model.rig.mast.total_height
    return Around(
        base=tuple(_setbacks(model, "base")),
        nearest_part=tuple(_setbacks(model, "nearest_part")),
        anchors=tuple(_setbacks(model, "anchors")),
        clear=tuple(_clear(model)),
        blocking=_union(model, [kind for kind, status in BLOCKING.items() if status == "stop"]),
        forbidden=_union(model, FORBIDDEN_KINDS),
        land=unary_union(areas) if areas else None,
        buildings=tuple(_buildings(model)),
        roads=tuple(Kept(name, shape, height) for name, shape in plan_shapes(model, "road")),
        lines=tuple(_lines(model)),
        tops=tuple(_tops(model)),
    )


def not_judged(model: Model) -> list[str]:
    """Return what a search keeps no clearance from, as something of it is not known, and why.

    The full check says "not checked" of the same things.
    """
    if model.surroundings == Surroundings():
        return ["surroundings: nobody looked for buildings, trees or overhead lines"]
    found = find_obstacles(model)
    told = [f"{one.name}: {one.reason}" for one in found.missing]
    told += [
        f"{one.name}: {one.requirement.basis}"
        for one in found.obstacles
        if one.requirement.distance is None
    ]
    return list(dict.fromkeys(told))


def _union(model: Model, kinds: "list[str] | tuple[str, ...]") -> BaseGeometry:
    shapes = [shape for kind in kinds for _, shape in plan_shapes(model, kind)]
    return unary_union(shapes) if shapes else GeometryCollection()


def _setbacks(model: Model, measured_from: str) -> Iterator[Kept]:
    for rule in model.site.limits.setbacks:
        if rule.measured_from != measured_from:
            continue
        required = required_distance(model, rule)
        for name, shape in plan_shapes(model, rule.to):
            if rule.to == "boundary" and shape.area > 0:
                yield Kept(name, shape.boundary, required, inside=shape)
            else:
                yield Kept(name, shape, required)


def _clear(model: Model) -> Iterator[Kept]:
    """Yield plans of obstacles; a tree by the prism that the checks put around it."""
    found = find_obstacles(model).obstacles
    by_name = {
        (kind, name): shape
        for kind in ("building", "tree", "overhead_line")
        for name, shape in plan_shapes(model, kind)
    }
    for one in found:
        plan = by_name[one.kind, one.name]
        if one.kind == "tree":
            plan = shapely.polygons(one.shape.outline[:, 0])
        yield Kept(one.name, plan, one.requirement.distance or 0.0)


def _buildings(model: Model) -> Iterator[Tall]:
    for one in model.surroundings.buildings:
        yield Tall(one.name, one.footprint, one.base, one.top)


def _lines(model: Model) -> Iterator[Wire]:
    plans = dict(plan_shapes(model, "overhead_line"))
    for one in find_obstacles(model).obstacles:
        if one.kind == "overhead_line":
            shape = one.shape
            required = one.requirement.distance or 0.0
            yield Wire(one.name, plans[one.name], shape.pieces, shape.radius, required)


def _tops(model: Model) -> Iterator[tuple[BaseGeometry, float]]:
    plans = {**dict(plan_shapes(model, "building")), **dict(plan_shapes(model, "tree"))}
    tops = [(one.name, one.top) for one in model.surroundings.buildings]
    tops += [(one.name, one.top) for one in model.surroundings.trees]
    for name, top in tops:
        if np.isfinite(top):
            yield plans[name], float(top)
