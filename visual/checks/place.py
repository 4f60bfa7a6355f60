"""Checks of where things stand at rest: wire angles, anchors, and the height of the rotor."""

import math

from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from visual.checks.finding import Finding
from visual.checks.judge import UNPLACED, as_place, not_checked, status_of_margin
from visual.checks.setback import plan_shapes
from visual.model import InstalledWire, Model, PlacedAnchor, installed_wires
from visual.units import Sentence, metres, say

FORBIDDEN_KINDS = ("keep_out", "water", "road", "building")
"""Kinds that an anchor may not stand on."""


def judge_wire_angles(model: Model) -> list[Finding]:
    """Return one finding per wire: its angle above horizontal at the anchor, mast upright."""
    return [_judge_wire_angle(model, wire) for wire in installed_wires(model)]


def _judge_wire_angle(model: Model, wire: InstalledWire) -> Finding:
    limit = model.site.limits.wire_angle
    if not model.anchors[wire.side].placed:
        return not_checked("wire angle", f"wire {wire.name}", UNPLACED, basis=limit.basis)
    low, high = limit.value
    margin = min(wire.angle - low, high - wire.angle)
    nearer = low if wire.angle - low < high - wire.angle else high
    return Finding(
        check="wire angle",
        subject=f"wire {wire.name}",
        status=status_of_margin(margin),
        value=math.degrees(wire.angle),
        limit=math.degrees(nearer),
        bound="at least" if nearer == low else "at most",
        unit="deg",
        margin=math.degrees(margin),
        where=as_place(model.anchors[wire.side].eye),
        message=(
            _angle_advice(model, wire, nearer=nearer) if margin < 0 else say("above horizontal")
        ),
        basis=limit.basis,
    )


def _angle_advice(model: Model, wire: InstalledWire, *, nearer: float) -> Sentence:
    """Say how far to move the anchor so that the angle just keeps the limit."""
    radius = model.anchors[wire.side].radius
    if wire.angle <= 0.0:
        return say("the anchor's eye is not below the collar: no wire can hold a mast from there")
    rise = wire.straight_length * math.sin(wire.angle)
    wanted = rise / math.tan(nearer)
    return say(
        "move the anchor {} {}, if the ground there is level",
        metres(abs(wanted - radius), rounding="up"),
        "out" if wanted > radius else "in",
    )


def judge_anchors(model: Model) -> list[Finding]:
    """Return findings for each anchor: known ground, inside the boundary, off what is forbidden."""
    findings = []
    for anchor in model.anchors.values():
        findings += [_judge_ground(anchor), *_judge_forbidden(model, anchor)]
    return findings + _judge_boundary(model)


def _judge_ground(anchor: PlacedAnchor) -> Finding:
    subject = f"{anchor.side} anchor"
    if not anchor.placed:
        return not_checked("anchor place", subject, say("the ground at this anchor is not known"))
    kind = "as built" if anchor.as_built else "planned"
    return Finding(
        check="anchor place",
        subject=subject,
        status="ok",
        value=anchor.radius,
        unit="m",
        where=as_place(anchor.eye),
        message=say("{}, {} from the base in plan", kind, metres(anchor.radius)),
    )


def _judge_forbidden(model: Model, anchor: PlacedAnchor) -> list[Finding]:
    spot = Point(anchor.eye[0], anchor.eye[1])
    hit = [
        name
        for kind in FORBIDDEN_KINDS
        for name, shape in plan_shapes(model, kind)
        if shape.distance(spot) == 0.0
    ]
    return [
        Finding(
            check="anchor place",
            subject=f"{anchor.side} anchor on {name}",
            status="stop",
            where=as_place(anchor.eye),
            message=say("no anchor may stand here; turn it or change its radius"),
            basis="common practice, no source",
        )
        for name in hit
    ]


def _judge_boundary(model: Model) -> list[Finding]:
    """Hold the anchors against the land within all boundaries that are areas."""
    areas = [shape for _, shape in plan_shapes(model, "boundary") if shape.area > 0]
    if not areas:
        known = "only lines, which have no inside" if plan_shapes(model, "boundary") else "none"
        reason = say("no boundary is known that anchors could be held against ({})", known)
        return [not_checked("anchor place", "anchors and boundary", reason)]
    land = unary_union(areas)
    found = [_judge_inside(anchor, land) for anchor in model.anchors.values()]
    return [finding for finding in found if finding is not None]


def _judge_inside(anchor: PlacedAnchor, land: BaseGeometry) -> Finding | None:
    spot = Point(anchor.eye[0], anchor.eye[1])
    if land.contains(spot):
        return None
    distance = float(land.distance(spot))
    return Finding(
        check="anchor place",
        subject=f"{anchor.side} anchor and boundary",
        status="stop",
        value=-distance,
        limit=0.0,
        bound="at least",
        unit="m",
        margin=-distance,
        where=as_place(anchor.eye),
        message=say("{} outside the boundary; move it inside", metres(distance)),
        basis="an anchor stands on the owner's land; common practice, no source",
    )


def judge_rotor_height(model: Model) -> list[Finding]:
    """Hold the lowest point of the rotor against what stands near: a matter of wind, not safety."""
    head = model.rig.mast.head
    if head is None or head.rotor_radius == 0:
        return []
    tops = _near_tops(model)
    if not tops:
        return []
    name, top = max(tops, key=lambda item: item[1])
    lowest = model.rig.mast.hub_above_hinge - head.rotor_radius
    needed = model.site.limits.rotor_above
    margin = lowest - top - needed.value
    return [
        Finding(
            check="rotor height",
            subject=f"rotor above {name}",
            status="ok" if margin >= 0 else "caution",
            value=lowest - top,
            limit=needed.value,
            bound="at least",
            unit="m",
            margin=margin,
            message=say(
                "lowest point of the rotor above the highest thing near; less means less wind"
            ),
            basis=needed.basis,
        )
    ]


def _near_tops(model: Model) -> list[tuple[str, float]]:
    """Return name and top of every building and tree within the distance that counts as near."""
    within = model.site.limits.rotor_within.value
    around = model.surroundings
    base = Point(0.0, 0.0)
    buildings = [(b.name, b.top) for b in around.buildings if b.footprint.distance(base) <= within]
    trees = [
        (t.name, t.top)
        for t in around.trees
        if math.hypot(t.foot[0], t.foot[1]) - t.crown_radius <= within
    ]
    return [(name, top) for name, top in buildings + trees if not math.isnan(top)]
