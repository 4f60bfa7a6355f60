"""Judging what stands in the fall zone."""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from shapely.geometry import MultiLineString, Point
from shapely.geometry.base import BaseGeometry

from visual.checks.clearance import MovingPart, certified_minima
from visual.checks.finding import Finding, Status
from visual.checks.judge import NEAR, as_place, not_checked, status_of_margin
from visual.checks.moving import Obstacle
from visual.checks.setback import plan_shapes
from visual.checks.zones import FallZone
from visual.model import Model
from visual.units import Sentence, metres, say

CIRCLE_BASIS = "horizontal circle about the base: the total height, times the rule's multiple"
CONTACT_BASIS = "ground and things within the total height of the hinge, measured in 3D"

PLAN_KINDS = ("road", "boundary")

Place = tuple[float, float, float] | None
"""Where something is in the local frame; None where unknown. [m]"""


def judge_fall_zone(model: Model, zone: FallZone, obstacles: Iterable[Obstacle]) -> list[Finding]:
    """Return findings for buildings, overhead lines, roads and boundaries in the fall zone."""
    findings = [*_unknown_ground(zone)]
    solid = [obstacle for obstacle in obstacles if obstacle.kind != "tree"]
    findings += [
        _judge_obstacle(zone, obstacle, distance, where)
        for obstacle, (distance, where) in zip(solid, distances_from_hinge(solid), strict=True)
    ]
    for kind in PLAN_KINDS:
        shapes = plan_shapes(model, kind)
        findings += [_judge_plan(zone, kind, name, shape) for name, shape in shapes]
    return findings


def _unknown_ground(zone: FallZone) -> Iterator[Finding]:
    if not zone.complete:
        reason = say(
            "the ground is not known everywhere within the total height; there the outline is "
            "drawn at the total height"
        )
        yield not_checked("fall zone", "ground in the fall zone", reason, basis=CONTACT_BASIS)


def distances_from_hinge(obstacles: Sequence[Obstacle]) -> list[tuple[float, Place]]:
    """Return the 3D distance from the hinge to each obstacle and the nearest place on it. [m]"""
    hinge = MovingPart(
        name="hinge", radius=0.0, speed=0.0, ends=lambda a: np.zeros((np.size(a), 2, 3))
    )
    shapes = [obstacle.shape for obstacle in obstacles]
    found = certified_minima(hinge, shapes, start=0.0, end=0.0)
    return [(closest.distance, as_place(closest.at_obstacle)) for closest in found]


def _judge_obstacle(zone: FallZone, obstacle: Obstacle, distance: float, where: Place) -> Finding:
    if obstacle.kind == "overhead_line":
        return _judge_line(zone, obstacle, distance, where)
    plan = MultiLineString(list(obstacle.shape.outline))
    in_circle = plan.distance(Point(0.0, 0.0)) < zone.circle_radius
    margin = distance - zone.total_height
    status: Status = status_of_margin(margin, near=NEAR)
    if status == "ok" and in_circle:
        status = "caution"
    return Finding(
        check="fall zone",
        subject=obstacle.name,
        status=status,
        value=distance,
        limit=zone.total_height,
        bound="at least",
        unit="m",
        margin=margin,
        where=where,
        message=_fall_message(margin, in_circle=in_circle),
        basis=CONTACT_BASIS,
    )


def _fall_message(margin: float, *, in_circle: bool) -> Sentence:
    if margin < 0:
        return say("a falling mast can hit it; {}", _move_the_base(-margin))
    return say(
        "{} beyond a rigid fall, {} the circle of the rules",
        metres(margin, rounding="down"),
        "but inside" if in_circle else "and outside",
    )


def _move_the_base(missing: float) -> Sentence:
    return say("move the base {} farther away", metres(missing, rounding="up"))


def _judge_line(zone: FallZone, obstacle: Obstacle, distance: float, where: Place) -> Finding:
    """Hold the distance left by a mast that falls straight at the line against its table."""
    left = max(distance - zone.total_height, 0.0)
    required = obstacle.requirement.distance
    subject = f"falling mast to {obstacle.name}"
    if required is None:
        reason = say("a fall ends {} from it; no table gives a distance", metres(left))
        return not_checked("overhead line", subject, reason, basis=obstacle.requirement.basis)
    margin = distance - zone.total_height - required
    said = say("a mast falling at it ends {} away", metres(left))
    return Finding(
        check="overhead line",
        subject=subject,
        status=status_of_margin(margin, near=NEAR),
        value=left,
        limit=required,
        bound="at least",
        unit="m",
        margin=margin,
        where=where,
        message=say("{}; {}", said, _move_the_base(-margin)) if margin < 0 else said,
        basis=obstacle.requirement.basis,
    )


def _judge_plan(zone: FallZone, kind: str, name: str, shape: BaseGeometry) -> Finding:
    """Judge a road or boundary, which lies on the ground: by the circle and by the contact zone."""
    line = shape.boundary if kind == "boundary" and shape.area > 0 else shape
    distance = float(line.distance(Point(0.0, 0.0)))
    radius = zone.circle_radius
    touched = bool(line.intersects(zone.contact))
    margin = distance - radius
    status: Status = "ok"
    if touched or margin < NEAR:
        status = "stop" if touched and kind == "road" else "caution"
    crosses = "a falling mast can reach it" if touched else "a rigid fall does not reach it"
    return Finding(
        check="fall zone",
        subject=name,
        status=status,
        value=distance,
        limit=radius,
        bound="at least",
        unit="m",
        margin=margin,
        message=say("{} from the base in plan; {}", metres(distance), crosses),
        basis=CIRCLE_BASIS,
    )
