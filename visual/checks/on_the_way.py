"""Checks of the raise itself: laying down, and the wires on the way."""

import math

from visual.checks.finding import Finding, Status
from visual.checks.first_raise import FIRST_RAISE, worse_stays
from visual.checks.judge import (
    UNPLACED,
    as_place,
    not_checked,
    status_of_margin,
)
from visual.model import Model
from visual.raising import LengthChange, Raise, pose_at
from visual.units import Sentence, degrees, metres, millimetres, say

STEEP_START = 20.0  # [deg] above this the head hangs out of reach; common practice, no source
NOTICEABLE = 0.005  # [m] a change smaller than a turnbuckle's thread is not worth a word
STAY_CHANGE = 0.05  # [m] a side stay is tended by hand; common practice, no source
PRACTICE = "common practice, no source"


def judge_start(model: Model, raised: Raise) -> list[Finding]:
    """Return the finding on how low the mast can lie."""
    start = raised.start
    subject = "mast on the ground"
    if math.isnan(start.angle):
        reason = say("the ground where the mast would lie is not known")
        return [not_checked("laydown", subject, reason)]
    found = math.degrees(start.angle)
    return [
        Finding(
            check="laydown",
            subject=subject,
            status=_start_status(found),
            value=found,
            limit=STEEP_START,
            bound="at most",
            unit="deg",
            margin=STEEP_START - found,
            angle=found,
            where=as_place(pose_at(model, start.angle).top),
            message=say(
                "lies down to {}, kept up by the {}; without the head {}",
                degrees(start.angle, decimals=1),
                start.limited_by,
                degrees(start.without_head, decimals=1),
            ),
            basis=PRACTICE,
        )
    ]


def _start_status(degrees: float) -> Status:
    if degrees > 2 * STEEP_START:
        return "stop"
    return "caution" if degrees > STEEP_START else "ok"


def judge_side_wires(model: Model, raised: Raise) -> list[Finding]:
    """Return findings on side and back wires that go tight, and side wires that go slack."""
    findings = [_judge_tight(model, wire) for wire in raised.side_wires + raised.back_wires]
    findings += [_judge_slack(model, wire) for wire in raised.side_wires]
    return findings + [_judge_stay(model, *stay) for stay in worse_stays(raised)]


def tight_limit(model: Model, wire: LengthChange) -> tuple[float, str]:
    """Return how much too short a wire may become [m], and where that comes from.

    Unless the site file says otherwise: the stretch that takes the wire from its initial tension
    to its working load.
    """
    stated = model.site.limits.side_wire_tight
    if stated.value is not None:
        return stated.value, stated.basis
    collar = model.rig.mast.collars[wire.collar or 0]
    kind = model.rig.wire_types[collar.wire]
    working = kind.breaking_load / model.site.limits.design_factor.value
    spare = max(working - model.rig.tension_share * kind.breaking_load, 0.0)
    return spare * wire.fitted_length / kind.stiffness, stated.basis


def _judge_tight(model: Model, wire: LengthChange) -> Finding:
    if not model.anchors[wire.side].placed:
        return not_checked("wire goes tight", f"wire {wire.name}", UNPLACED)
    angle, change = wire.tightest
    limit, basis = tight_limit(model, wire)
    margin = limit - change
    status: Status = status_of_margin(margin)
    if status == "ok" and change > NOTICEABLE:
        status = "caution"
    return Finding(
        check="wire goes tight",
        subject=f"wire {wire.name}",
        status=status,
        value=change,
        limit=limit,
        bound="at most",
        unit="m",
        margin=margin,
        angle=math.degrees(angle),
        where=as_place(model.anchors[wire.side].eye),
        message=_tight_advice(model, wire),
        basis=basis,
    )


def _tight_advice(model: Model, wire: LengthChange) -> Sentence:
    angle, change = wire.tightest
    if change <= NOTICEABLE:
        return say("never shorter than it is upright")
    eye = float(model.anchors[wire.side].eye[2])
    return say(
        "too short by {} at {}; its anchor's eye lies {} {} the hinge",
        millimetres(change),
        degrees(angle),
        metres(abs(eye)),
        "above" if eye > 0 else "below",
    )


def _judge_slack(model: Model, wire: LengthChange) -> Finding:
    limit = model.site.limits.side_wire_slack
    if not model.anchors[wire.side].placed:
        return not_checked("side wire slack", f"wire {wire.name}", UNPLACED)
    angle, change = wire.slackest
    margin = limit.value + change
    return Finding(
        check="side wire slack",
        subject=f"wire {wire.name}",
        status="ok" if margin >= 0 else "caution",
        value=-change,
        limit=limit.value,
        bound="at most",
        unit="m",
        margin=margin,
        angle=math.degrees(angle),
        where=as_place(model.anchors[wire.side].eye),
        message=say("slack in the wire at its loosest: so far the mast can lean to the other side"),
        basis=limit.basis,
    )


def _judge_stay(model: Model, stay: LengthChange, first_raise: bool) -> Finding:
    if not model.anchors[stay.side].placed:
        return not_checked("side stay", stay.name, UNPLACED)
    angle, change = stay.tightest
    margin = STAY_CHANGE - change
    when = f" of the {FIRST_RAISE}" if first_raise else ""
    return Finding(
        check="side stay",
        subject=stay.name,
        status="ok" if margin >= 0 else "caution",
        value=change,
        limit=STAY_CHANGE,
        bound="at most",
        unit="m",
        margin=margin,
        angle=math.degrees(angle),
        message=say(
            "tied at the start{}, it must give {} on the way; have it tended by hand",
            when,
            millimetres(max(change, 0.0)),
        ),
        basis=PRACTICE,
    )
