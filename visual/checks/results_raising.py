"""The part of the results document that is about the raise: geometry and forces."""

import math
from typing import Any

import numpy as np

from visual.raising import LengthChange, Raise, RaiseForces, RaiseRun
from visual.raising.forces_run import Peak
from visual.raising.motion import Array

Json = dict[str, Any]


def raising_results(raised: Raise, forces: RaiseForces) -> Json:
    """Return the raise as plain values; what is not known is NaN here and null in the document."""
    run = forces.loaded
    return {
        "start_angle": math.degrees(raised.start.angle),
        "start_limited_by": raised.start.limited_by,
        "balance_angle": _degrees(run.balance_angle),
        "vehicle_travel": float(raised.tow.travel[-1]),
        "hand_lift": forces.hand.worst[0],
        "peak": _peaks(run),
        "steps": [_step(run, index) for index in range(run.angles.size)],
        "first_raise": _first_raise(forces),
        "hand_walk": _hand_walk(forces),
    }


def side_wire_results(change: LengthChange, forces: RaiseForces) -> Json:
    """Return one side wire as plain values; the lower start of the first raise counts too."""
    start = int(np.argmin(np.abs(change.angles - forces.loaded.angles[0])))
    tight_angle, tight = change.tightest
    slack_angle, slack = change.slackest
    tension = [wire.at_tightest for wire in forces.wires if wire.change is change]
    return {
        "wire": change.name,
        "change_at_start": float(change.change[start]),
        "tightest": {"angle": math.degrees(tight_angle), "change": tight},
        "slackest": {"angle": math.degrees(slack_angle), "change": slack},
        "tension_at_tightest": tension[0] if tension else None,
    }


def _degrees(angle: float | None) -> float | None:
    return None if angle is None else math.degrees(angle)


def _peaks(run: RaiseRun) -> Json:
    return {
        "tow_tension": _peak(run, run.tow_tension),
        "lift_wire": _peak(run, run.lift_wires.max(axis=1)),
        "gin_compression": _peak(run, run.gin_compression),
        "hinge": _peak(run, run.hinge_force),
        "mast_stress": _peak(run, run.mast_stress),
    }


def _peak(run: RaiseRun, values: Array) -> Json | None:
    """Return the largest value and its angle; None where any step is unknown."""
    peak: Peak = run.peak(np.asarray(values))
    if math.isnan(peak.value):
        return None
    return {"value": peak.value, "angle": math.degrees(peak.angle)}


def _step(run: RaiseRun, index: int) -> Json:
    front, up, _ = run.hinge[index]
    return {
        "angle": math.degrees(float(run.angles[index])),
        "tow_tension": float(run.tow_tension[index]),
        "lift_wires": [float(tension) for tension in run.lift_wires[index]],
        "gin_compression": float(run.gin_compression[index]),
        "hinge": {"front": float(front), "up": float(up)},
        "vehicle_travel": float(run.tow.travel[index]),
        "mast_moment": float(run.mast_moment[index]),
        "mast_stress": float(run.mast_stress[index]),
        "hitch_tension": float(run.hauling[index]),
        "hold_back": float(run.hold_back[index]),
    }


def _first_raise(forces: RaiseForces) -> Json:
    """Return the first raise, without the head."""
    run = forces.bare
    return {
        "start_angle": math.degrees(float(run.angles[0])),
        "balance_angle": _degrees(run.balance_angle),
        "peak": _peaks(run),
    }


def _hand_walk(forces: RaiseForces) -> Json:
    walk = forces.hand
    return {
        "tip_force": float(walk.tip_force[0]),
        "pole_angle": math.degrees(walk.worst[1]),
        "people": walk.people,
        "take_over_angle": _degrees(walk.take_over),
    }
