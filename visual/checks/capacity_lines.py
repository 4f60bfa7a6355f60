"""Checks of everything that is pulled: lines, wires, fittings and anchors."""

import math

import numpy as np

from visual.checks.capacity import (
    as_force,
    as_length,
    degrees,
    load_finding,
    unknown,
    which_raise,
    worst,
)
from visual.checks.finding import Finding
from visual.checks.judge import not_checked
from visual.model import Model, wire_name
from visual.raising import RaiseForces, RaiseRun, WireOnTheWay
from visual.raising.analysis import SWUNG_SIDES
from visual.raising.motion import Array
from visual.rig import Side, WireType

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
        message=f"tension of the line{which_raise(run, forces)}, on the hauling side of a block",
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
                message=f"share of this level{which_raise(run, forces)}, with all lift wires just "
                "snug; if others hang slack it carries more",
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
    at_rest = float(run.hold_back.max())
    return [
        Finding(
            check="balance",
            subject="top back wire holds the mast",
            status="ok" if forces.catch <= limit else "caution",
            value=forces.catch,
            limit=limit,
            unit="N",
            margin=limit - forces.catch,
            angle=math.degrees(run.hold_from),
            message=f"from {math.degrees(run.hold_from):.1f}° on the mast goes over by itself; "
            f"{as_force(model, at_rest)} in the top back wire hold it and start it down again, but "
            "let go it would be caught with the tension given: keep a line on the back in hand",
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
        message=f"pulled to {as_force(model, tension)} if nothing gives; "
        + cure_in_words(model, wire),
        basis=basis,
    )


def cure_in_words(model: Model, wire: WireOnTheWay) -> str:
    """Say what takes the tightness out of a wire, with numbers."""
    cure = wire.cure
    if cure is None:
        return "never tighter than it is upright"
    ways = []
    if cure.move_back > 0:
        ways.append(
            f"move its anchor {as_length(model, cure.move_back)} to the back at the same height"
        )
    if cure.lower_eye is not None and cure.lower_eye > 0:
        ways.append(f"lower its eye by {as_length(model, cure.lower_eye)}")
    slacken = (
        f"slacken it by {as_length(model, cure.pay_out)} ({cure.turns:.0f} turns) until "
        f"{degrees(cure.until)}"
    )
    if not cure.within_travel:
        slacken += ", more than the turnbuckle gives: tie it off longer there"
    return ", or ".join([*ways, slacken])


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
        message=f"gust of {across.gust:.0f} m/s across: {as_force(model, across.mast_wind)} on "
        "mast, wires and rotor, held by this wire alone on top of its initial tension",
        basis=basis,
    )


def _judge_fittings(model: Model, forces: RaiseForces) -> list[Finding]:
    tow = model.rig.tow
    _, line = worst(forces, lambda one: _line_tension(model, one))
    found = [
        _rated(model, "shackles of the tow line", "tow.shackle_load", line.value, tow.shackle_load)
    ]
    if tow.through_front_anchor and tow.by == "vehicle":
        _, block = worst(forces, lambda one: np.linalg.norm(one.front_anchor, axis=1))
        found.append(
            _rated(
                model, "block at the front anchor", "tow.block_load", block.value, tow.block_load
            )
        )
    return [*found, _judge_stays(model, forces), _hinge(model, forces)]


def _judge_stays(model: Model, forces: RaiseForces) -> Finding:
    """Say what the side stays must hold; the site file does not know them."""
    across = forces.across
    if np.isnan(across.side_stay).any():
        return unknown("gin-pole side stays")
    reason = (
        f"must hold {as_force(model, float(across.side_stay.max()))} with a gust of "
        f"{across.gust:.0f} m/s and the lane {degrees(across.off_line)} off line; the stays "
        "are not in the site file"
    )
    return not_checked("loads", "gin-pole side stays", reason)


def _rated(model: Model, subject: str, key: str, value: float, rated: float | None) -> Finding:
    """Hold a load against a rated working load, which includes its own factor."""
    if math.isnan(value):
        return unknown(subject)
    if rated is None:
        reason = f"must carry {as_force(model, value)}; the load it is rated for was not given"
        return not_checked("loads", subject, reason, missing=key)
    return load_finding(
        "rigging load",
        subject,
        value=value,
        limit=rated,
        unit="N",
        angle=None,
        message="largest load of the raise; rated parts only",
        basis=OWN_CAPACITY,
    )


def _hinge(model: Model, forces: RaiseForces) -> Finding:
    run, peak = worst(forces, lambda one: one.hinge_force)
    if math.isnan(peak.value):
        return unknown("hinge and base plate")
    front, up, _ = run.hinge[peak.index]
    way = "back" if front < 0 else "front"
    across = forces.across
    reason = (
        f"hold the mast with {as_force(model, abs(float(front)))} to the {way} and "
        f"{as_force(model, float(up))} up at {degrees(peak.angle)}, and "
        f"{as_force(model, float(across.hinge_sideways.max()))} sideways in a gust; their "
        "strength is for whoever designs them"
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
            reason = f"{words}: {as_force(model, load)}; what the anchor can hold was not given"
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
                    message=words,
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
