"""Setbacks: horizontal distances that a local code asks for."""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from shapely import distance, get_coordinates, points, shortest_line
from shapely.geometry import LineString, MultiLineString, MultiPoint, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from visual.checks.finding import Finding
from visual.checks.judge import NEAR, as_place, not_checked, status_of_margin
from visual.model import Model
from visual.site import Setback as SetbackRule
from visual.units import Sentence, metres, say

CIRCLE_QUARTER = 90  # segments per quarter of a circle: within 0.1 mm for any rotor here


@dataclass(frozen=True)
class Setback:
    """One setback rule held against one thing on the ground.

    Parameters
    ----------
    to : str
        Kind the distance is kept from.
    name : str
        Which one of that kind.
    measured_from : str
        ``"base"``, ``"nearest_part"`` or ``"anchors"``.
    distance, required : float
        Horizontal distance found and asked for; negative distance: so far any of it lies on
        the wrong side of a boundary. [m]
    basis : str
        Where the rule comes from.
    nearest : tuple of points
        Where the distance was measured, from and to, in plan. [m]
    shape : shapely geometry
        What the distance is kept from, in plan. [m]
    """

    to: str
    name: str
    measured_from: str
    distance: float
    required: float
    basis: str
    nearest: tuple[tuple[float, float], tuple[float, float]]
    shape: BaseGeometry = field(repr=False, compare=False)

    @property
    def margin(self) -> float:
        """Distance left over; negative: too near. [m]"""
        return self.distance - self.required


def plan_shapes(model: Model, kind: str) -> tuple[tuple[str, BaseGeometry], ...]:
    """Return name and plan geometry of everything of one kind.  A boundary is its line."""
    around = model.surroundings
    if kind == "building":
        return tuple((b.name, b.footprint) for b in around.buildings)
    if kind == "tree":
        return tuple((t.name, Point(*t.foot[:2]).buffer(t.crown_radius)) for t in around.trees)
    if kind == "overhead_line":
        return tuple(
            (line.name, _conductor_band(line.supports, line.spread)) for line in around.lines
        )
    if kind == "viewpoint":
        return tuple((view.name, Point(*view.eye[:2])) for view in around.viewpoints)
    return tuple((area.name, area.shape) for area in around.areas_of(kind))


def find_setbacks(model: Model) -> tuple[Setback, ...]:
    """Measure every setback rule of the site file against everything it applies to."""
    rules = model.site.limits.setbacks
    return tuple(
        _measure(model, rule, name, shape)
        for rule in rules
        for name, shape in plan_shapes(model, rule.to)
    )


def judge_setbacks(model: Model, setbacks: Iterable[Setback]) -> list[Finding]:
    """Return a finding per setback, and one "not checked" per rule that met nothing."""
    findings = [_judge(model, setback) for setback in setbacks]
    for rule in model.site.limits.setbacks:
        if not plan_shapes(model, rule.to):
            kind = rule.to.replace("_", " ")
            reason = say("the surroundings hold no {} to measure to", kind)
            findings.append(not_checked("setback", rule.to, reason, basis=rule.basis))
    return findings


def required_distance(model: Model, rule: SetbackRule) -> float:
    """Return the distance a rule asks for. [m]"""
    mast = model.rig.mast
    return rule.required(
        total_height=mast.total_height, mast_height=mast.mast_height, hub_height=mast.hub_height
    )


def _measure(model: Model, rule: SetbackRule, name: str, shape: BaseGeometry) -> Setback:
    origin = _measuring_shape(model, rule.measured_from)
    line = shape.boundary if _is_boundary(rule.to, shape) else shape
    beyond = _farthest_beyond(origin, shape) if _is_boundary(rule.to, shape) else None
    nearest = shortest_line(beyond or origin, line)
    ends = tuple((float(x), float(y)) for x, y, *_ in nearest.coords)
    return Setback(
        to=rule.to,
        name=name,
        measured_from=rule.measured_from,
        distance=float(nearest.length) * (-1.0 if beyond else 1.0),
        required=required_distance(model, rule),
        basis=rule.basis,
        nearest=(ends[0], ends[-1]),
        shape=line,
    )


def _is_boundary(kind: str, shape: BaseGeometry) -> bool:
    return kind == "boundary" and shape.geom_type in ("Polygon", "MultiPolygon")


def _farthest_beyond(origin: BaseGeometry, boundary: BaseGeometry) -> Point | None:
    """Return the place of `origin` farthest outside of a boundary; None if all of it is inside."""
    places = points(get_coordinates(origin.difference(boundary)))
    if not len(places):
        return None
    farthest: Point = places[np.argmax(distance(places, boundary))]
    return farthest


def _measuring_shape(model: Model, measured_from: str) -> BaseGeometry:
    """Return the plan of what the distance is measured from, mast upright."""
    base = Point(0.0, 0.0)
    anchors = MultiPoint([tuple(anchor.eye[:2]) for anchor in model.anchors.values()])
    if measured_from == "base":
        return base
    if measured_from == "anchors":
        return anchors
    head = model.rig.mast.head
    radius = head.rotor_radius if head else 0.0
    rotor = base.buffer(radius, quad_segs=CIRCLE_QUARTER) if radius > 0 else base
    wires = [LineString([(0.0, 0.0), tuple(a.eye[:2])]) for a in model.anchors.values()]
    return unary_union([rotor, MultiLineString(wires)])


def _conductor_band(supports: np.ndarray, spread: float) -> LineString | Polygon:
    line = LineString(supports[:, :2])
    return line.buffer(spread / 2, cap_style="flat") if spread > 0 else line


def _judge(model: Model, setback: Setback) -> Finding:
    origin = setback.measured_from.replace("_", " ")
    x, y = setback.nearest[1]
    return Finding(
        check="setback",
        subject=f"{origin} to {setback.name}",
        status=status_of_margin(setback.margin, near=NEAR),
        value=setback.distance,
        limit=setback.required,
        bound="at least",
        unit="m",
        margin=setback.margin,
        where=as_place((x, y, model.ground.height(x, y))),
        message=_message(setback, origin),
        basis=setback.basis,
    )


def _message(setback: Setback, origin: str) -> Sentence:
    said = say(
        "{} {} the {}, measured from the {}",
        metres(abs(setback.distance)),
        "outside" if setback.distance < 0 else "from",
        setback.to.replace("_", " "),
        origin,
    )
    if setback.margin >= 0:
        return said
    return say("{}; move it {} away", said, metres(-setback.margin, rounding="up"))
