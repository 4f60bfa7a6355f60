"""Checks of everything that is pulled: lines and wires."""

import math

import numpy as np

from visual.checks.capacity import load_finding, unknown, which_raise, worst
from visual.checks.finding import Finding
from visual.model import Model, wire_name
from visual.raising import RaiseForces, RaiseRun, WireOnTheWay
from visual.raising.motion import Array
from visual.rig import WireType
from visual.units import Quantity, Sentence, degrees, joined, metres, newtons, say

MORE_THAN_TRAVEL = ", more than the turnbuckle gives: tie it off longer there"


def judge_lines(model: Model, forces: RaiseForces) -> list[Finding]:
    """Return findings on tow line, lift wires, back wire and side wires."""
    return [
        _judge_tow_line(model, forces),
        *_judge_lift_wires(model, forces),
        *_judge_balance(model, forces),
        *(_judge_side_wire(model, wire) for wire in forces.wires if wire.cure is not None),
        _judge_gust(model, forces),
    ]


def working_load(model: Model, kind: WireType) -> tuple[float, str]:
    """Return the most a wire may carry [N], and where that comes from."""
    factor = model.site.limits.design_factor
    return kind.breaking_load / factor.value, f"breaking load / {factor.value:g}: {factor.basis}"


def _judge_tow_line(model: Model, forces: RaiseForces) -> Finding:
    run, peak = worst(forces, lambda one: line_tension(model, one))
    if math.isnan(peak.value):
        return unknown("tow line")
    limit, basis = working_load(model, model.rig.line_type)
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


def line_tension(model: Model, run: RaiseRun) -> Array:
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
    kind = model.rig.wire_of_level(-1)
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
    kind = model.rig.wire_of_level(change.collar or 0)
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
    kind = model.rig.wire_of_level(-1)
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
