"""Checks of everything that is pulled: lines, wires, fittings and anchors."""

import math

import numpy as np

from visual.checks.capacity import load_finding, unknown, which_raise, worst
from visual.checks.finding import Finding
from visual.checks.judge import not_checked
from visual.model import Model, wire_name
from visual.raising import RaiseForces, RaiseRun, WireOnTheWay
from visual.raising.analysis import SWUNG_SIDES
from visual.raising.motion import Array
from visual.rig import Side, WireType
from visual.units import Quantity, Sentence, degrees, joined, metres, newtons, say

MORE_THAN_TRAVEL = ", more than the turnbuckle gives: tie it off longer there"
OWN_CAPACITY = "working load stated in the site file"


def judge_lines(model: Model, forces: RaiseForces) -> list[Finding]:
    """Return findings on tow line, lift wires, back wire, side wires, fittings and anchors."""
    return [
        _judge_tow_line(model, forces),
        *_judge_lift_wires(model, forces),
        *_judge_balance(model, forces),
        *(_judge_side_wire(model, wire) for wire in forces.wires if wire.cure is not None),
        _judge_gust(model, forces),
        *_judge_fittings(model, forces),
        *_judge_anchors(model, forces),
    ]


def working_load(model: Model, kind: WireType) -> tuple[float, str]:
    """Return the most a wire may carry [N], and where that comes from."""
    factor = model.site.limits.design_factor
    return kind.breaking_load / factor.value, f"breaking load / {factor.value:g}: {factor.basis}"


def _judge_tow_line(model: Model, forces: RaiseForces) -> Finding:
    run, peak = worst(forces, lambda one: _line_tension(model, one))
    if math.isnan(peak.value):
        return unknown("tow line")
    limit, basis = working_load(model, model.rig.wire_types[model.rig.tow.line])
    return load_finding(
        "wire load",
        "tow line",
        value=peak.value,
        limit=limit,
        unit="N",
        angle=peak.angle,
        message=say(
            "tension of the line{}, on the hauling side of a block", which_raise(run, forces)
        ),
        basis=basis,
    )


def _line_tension(model: Model, run: RaiseRun) -> Array:
    """Return the larger tension of the line, before or behind block or tackle. [N]"""
    return np.maximum(run.hauling, run.tow_tension / model.rig.tow.parts)


def _judge_lift_wires(model: Model, forces: RaiseForces) -> list[Finding]:
    findings = []
    for level, collar in enumerate(model.rig.mast.collars):
        subject = f"lift wire {wire_name(model, 'front', level)}"
        run, peak = worst(forces, lambda one, at=level: one.lift_wires[:, at])  # type: ignore[misc]
        if math.isnan(peak.value):
            findings.append(unknown(subject))
            continue
        limit, basis = working_load(model, model.rig.wire_types[collar.wire])
        findings.append(
            load_finding(
                "wire load",
                subject,
                value=peak.value,
                limit=limit,
                unit="N",
                angle=peak.angle,
                message=say(
                    "share of this level{}, with all lift wires just snug; if others hang slack it "
                    "carries more",
                    which_raise(run, forces),
                ),
                basis=basis,
            )
        )
    return findings


def _judge_balance(model: Model, forces: RaiseForces) -> list[Finding]:
    """Return the finding on the mast going over by itself near upright."""
    run = forces.loaded
    if run.balance_angle is None or forces.catch is None or run.hold_from is None:
        return []
    kind = model.rig.wire_types[model.rig.mast.collars[-1].wire]
    limit, basis = working_load(model, kind)
    return [
        Finding(
            check="balance",
            subject="top back wire holds the mast",
            status="ok" if forces.catch <= limit else "caution",
            value=forces.catch,
            limit=limit,
            bound="at most",
            unit="N",
            margin=limit - forces.catch,
            angle=math.degrees(run.hold_from),
            message=say(
                "from {} on the mast goes over by itself; {} in the top back wire hold it and "
                "start it down again, but let go it would be caught with the tension given: keep a "
                "line on the back in hand",
                degrees(run.hold_from, decimals=1),
                newtons(float(run.hold_back.max())),
            ),
            basis=basis,
        )
    ]


def _judge_side_wire(model: Model, wire: WireOnTheWay) -> Finding:
    change = wire.change
    kind = model.rig.wire_types[model.rig.mast.collars[change.collar or 0].wire]
    limit, basis = working_load(model, kind)
    angle, tension = wire.tightest
    return load_finding(
        "side wire load",
        f"wire {change.name}",
        value=tension,
        limit=limit,
        unit="N",
        angle=angle,
        message=say("pulled to {} if nothing gives; {}", newtons(tension), cure_in_words(wire)),
        basis=basis,
    )


def cure_in_words(wire: WireOnTheWay) -> Sentence:
    """Say what takes the tightness out of a wire, with numbers."""
    cure = wire.cure
    if cure is None:
        return say("never tighter than it is upright")
    ways = []
    if cure.move_back > 0:
        far = metres(cure.move_back, rounding="up")
        ways.append(say("move its anchor {} to the back at the same height", far))
    if cure.lower_eye is not None and cure.lower_eye > 0:
        ways.append(say("lower its eye by {}", metres(cure.lower_eye, rounding="up")))
    more = "" if cure.within_travel else MORE_THAN_TRAVEL
    length = metres(cure.pay_out, rounding="up")
    turns = Quantity(cure.turns, "", decimals=0, rounding="up")
    until = degrees(cure.until)
    ways.append(say("slacken it by {} ({} turns) until {}{}", length, turns, until, more))
    return joined(ways, ", or ")


def _judge_gust(model: Model, forces: RaiseForces) -> Finding:
    """Hold the top side wire against a gust across, on top of its initial tension."""
    across = forces.across
    kind = model.rig.wire_types[model.rig.mast.collars[-1].wire]
    limit, basis = working_load(model, kind)
    index = int(np.argmax(across.side_wire))
    initial = model.rig.tension_share * kind.breaking_load
    return load_finding(
        "side load",
        "top side wire in a gust",
        value=float(across.side_wire[index]) + initial,
        limit=limit,
        unit="N",
        angle=float(forces.loaded.angles[index]),
        message=say(
            "gust of {} across: {} on mast, wires and rotor, held by this wire alone on top of its "
            "initial tension",
            Quantity(across.gust, "m/s"),
            newtons(across.mast_wind),
        ),
        basis=basis,
    )


def _judge_fittings(model: Model, forces: RaiseForces) -> list[Finding]:
    tow = model.rig.tow
    _, line = worst(forces, lambda one: _line_tension(model, one))
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
