"""Checks of what holds lines and wires: fittings, side stays, hinge and anchors."""

import math

import numpy as np

from visual.checks.capacity import load_finding, unknown, worst
from visual.checks.capacity_lines import line_tension
from visual.checks.finding import Finding
from visual.checks.judge import not_checked
from visual.model import Model
from visual.raising import RaiseForces
from visual.raising.analysis import SWUNG_SIDES
from visual.rig import Side
from visual.units import Quantity, degrees, newtons, say

OWN_CAPACITY = "working load stated in the site file"


def judge_rigging(model: Model, forces: RaiseForces) -> list[Finding]:
    """Return findings on fittings, side stays, hinge and anchors."""
    return [*_judge_fittings(model, forces), *_judge_anchors(model, forces)]


def _judge_fittings(model: Model, forces: RaiseForces) -> list[Finding]:
    tow = model.rig.tow
    _, line = worst(forces, lambda one: line_tension(model, one))
    found = [_rated("shackles of the tow line", "tow.shackle_load", line.value, tow.shackle_load)]
    if tow.through_front_anchor and tow.by == "vehicle":
        _, block = worst(forces, lambda one: np.linalg.norm(one.front_anchor, axis=1))
        found.append(
            _rated("block at the front anchor", "tow.block_load", block.value, tow.block_load)
        )
    return [*found, _judge_stays(forces), _hinge(forces)]


def _judge_stays(forces: RaiseForces) -> Finding:
    """Say what the side stays must hold; the site file does not know them."""
    across = forces.across
    if np.isnan(across.side_stay).any():
        return unknown("gin-pole side stays")
    reason = say(
        "must hold {} with a gust of {} and the lane {} off line; the stays are not in the site "
        "file",
        newtons(float(across.side_stay.max())),
        Quantity(across.gust, "m/s"),
        degrees(across.off_line),
    )
    return not_checked("loads", "gin-pole side stays", reason)


def _rated(subject: str, key: str, value: float, rated: float | None) -> Finding:
    """Hold a load against a rated working load, which includes its own factor."""
    if math.isnan(value):
        return unknown(subject)
    if rated is None:
        reason = say("must carry {}; the load it is rated for was not given", newtons(value))
        return not_checked("loads", subject, reason, missing=key)
    return load_finding(
        "rigging load",
        subject,
        value=value,
        limit=rated,
        unit="N",
        angle=None,
        message=say("largest load of the raise; rated parts only"),
        basis=OWN_CAPACITY,
    )


def _hinge(forces: RaiseForces) -> Finding:
    run, peak = worst(forces, lambda one: one.hinge_force)
    if math.isnan(peak.value):
        return unknown("hinge and base plate")
    front, up, _ = run.hinge[peak.index]
    reason = say(
        "hold the mast with {} to the {} and {} up at {}, and {} sideways in a gust; their "
        "strength is for whoever designs them",
        newtons(abs(float(front))),
        "back" if front < 0 else "front",
        newtons(float(up)),
        degrees(peak.angle),
        newtons(float(forces.across.hinge_sideways.max())),
    )
    return not_checked("loads", "hinge and base plate", reason)


def _judge_anchors(model: Model, forces: RaiseForces) -> list[Finding]:
    """Return one finding per anchor that the raise loads."""
    found = []
    for side, (load, angle, words) in anchor_loads(forces).items():
        subject = f"{side} anchor"
        capacity = model.anchors[side].capacity
        if math.isnan(load):
            found.append(unknown(subject))
        elif capacity is None:
            reason = say("{}: {}; what the anchor can hold was not given", words, newtons(load))
            found.append(not_checked("loads", subject, reason, missing="anchors.capacity"))
        else:
            found.append(
                load_finding(
                    "anchor load",
                    subject,
                    value=load,
                    limit=capacity,
                    unit="N",
                    angle=angle,
                    message=say("{}", words),
                    basis=OWN_CAPACITY,
                )
            )
    return found


def anchor_loads(forces: RaiseForces) -> dict[Side, tuple[float, float, str]]:
    """Return load [N], raising angle [rad] and meaning for each anchor that the raise loads."""
    loads: dict[Side, tuple[float, float, str]] = {}
    _, front = worst(forces, lambda one: np.linalg.norm(one.front_anchor, axis=1))
    if front.value > 0 or math.isnan(front.value):
        loads["front"] = (front.value, front.angle, "pull of block or winch")
    for side in SWUNG_SIDES:
        loads[side] = _side_anchor(forces, side)
    if forces.catch is not None:
        words = "catches the mast if it is let go at its balance"
        loads["back"] = (forces.catch, float(forces.loaded.angles[-1]), words)
    return loads


def _side_anchor(forces: RaiseForces, side: Side) -> tuple[float, float, str]:
    """Add up the wires of a side anchor, a gust and its side stay, as if all pulled one way."""
    across = forces.across
    wires = [wire for wire in forces.wires if wire.change.side == side]
    angles = wires[0].change.angles
    # gust and stay are known from the start with the head on; below it they are taken as there
    more = np.pad(
        across.side_wire + across.side_stay,
        (angles.size - forces.loaded.angles.size, 0),
        mode="edge",
    )
    total = np.sum([wire.tension for wire in wires], axis=0) + more
    words = "side wires, a gust and the side stay, added up"
    if np.isnan(total).any():
        return math.nan, float(angles[0]), words
    index = int(np.argmax(total))
    return float(total[index]), float(angles[index]), words
