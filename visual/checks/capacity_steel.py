"""Checks of mast and gin pole as steel: stress, buckling, and the handbook rules of gin poles."""

import math

import numpy as np

from visual.checks.capacity import load_finding, unknown, which_raise, worst
from visual.checks.finding import Finding
from visual.model import Model
from visual.raising import RaiseForces, RaiseRun
from visual.raising.forces_pole import gin_elevation, gin_pole_stress, pole_strut
from visual.raising.motion import Array
from visual.units import Quantity, Sentence, degrees, metres, newtons, say

HANDBOOK = "US Army FM 5-125 (1995), chapter 5, and US Navy Steelworker: gin poles"
SLENDEREST = 60.0  # times its least thickness (read)
MOST_LEAN = 45.0  # [deg] from vertical (read)


def judge_steel(model: Model, forces: RaiseForces) -> list[Finding]:
    """Return findings on mast and gin pole."""
    stuck = next((run for run in forces.runs if run.unstable), None)
    if stuck is not None:
        return [_does_not_stand(stuck), *_rules(model, forces)]
    return [
        _judge_mast_stress(model, forces),
        _judge_mast_buckling(model, forces),
        _judge_pole_stress(model, forces),
        *_judge_pole_buckling(model, forces),
        *_judge_pole_foot(forces),
        *_rules(model, forces),
    ]


def _does_not_stand(run: RaiseRun) -> Finding:
    index = run.unstable[0]
    return Finding(
        check="mast buckling",
        subject="mast on its lift wires",
        status="stop",
        angle=math.degrees(run.angles[index]),
        message=say(
            "buckles, or the lift wires cannot hold it; use a stiffer tube or another level of "
            "wires"
        ),
        basis="beam on tension-only wires, second order",
    )


def _judge_mast_stress(model: Model, forces: RaiseForces) -> Finding:
    """Hold the stress against yield, section by section: the worst share of yield counts."""
    factor = model.site.limits.yield_factor
    run, peak = worst(forces, lambda one: _yield_share(one))
    if math.isnan(peak.value):
        return unknown("mast in bending")
    state = run.mast[peak.index]
    assert state is not None  # its share is a number
    shares = state.stress / yields_along(run, state.places)
    at = int(np.argmax(shares))
    limit = float(yields_along(run, state.places)[at]) / factor.value
    return load_finding(
        "mast stress",
        "mast in bending",
        value=float(state.stress[at]),
        limit=limit,
        unit="Pa",
        angle=peak.angle,
        message=say(
            "bending {} and thrust {}{}, {} above the hinge; joints between sections are taken to "
            "be as strong as the tube",
            Quantity(abs(float(state.moment[at])), "Nm"),
            newtons(float(state.thrust[at])),
            which_raise(run, forces),
            metres(float(state.places[at]), decimals=1),
        ),
        basis=f"yield strength / {factor.value:g}: {factor.basis}",
    )


def yields_along(run: RaiseRun, places: Array) -> Array:
    """Return the yield strength of the section at places along the mast. [Pa]"""
    feet = np.array([foot for foot, _ in run.weights.sections])
    strengths = np.array([tube.yield_strength for _, tube in run.weights.sections])
    upper = np.searchsorted(feet, places - 1e-9, side="left") - 1
    lower = np.searchsorted(feet, places + 1e-9, side="right") - 1
    return np.asarray(np.minimum(strengths[np.maximum(upper, 0)], strengths[lower]))


def _yield_share(run: RaiseRun) -> Array:
    """Return the largest stress over yield strength at each step; NaN where unknown."""
    standing = [state for state in run.mast if state is not None]
    shares = np.full(len(run.mast), math.nan)
    if standing:
        # one structure for all steps: the places along the mast are the same
        strength = yields_along(run, standing[0].places)
        stress = np.array([state.stress for state in standing])
        shares[[state is not None for state in run.mast]] = (stress / strength).max(axis=1)
    return shares


def _judge_mast_buckling(model: Model, forces: RaiseForces) -> Finding:
    limit = model.site.limits.euler_factor
    run, peak = worst(forces, lambda one: 1 / one.mast_buckling)
    if math.isnan(peak.value):
        return unknown("mast as a strut")
    factor = 1 / peak.value if peak.value > 0 else math.inf
    return _factor_finding(
        "mast buckling",
        "mast as a strut",
        factor,
        limit.value,
        peak.angle,
        say("buckling thrust over the thrust of the lift wires{}", which_raise(run, forces)),
        limit.basis,
    )


def _factor_finding(
    check: str,
    subject: str,
    factor: float,
    least: float,
    angle: float,
    message: Sentence,
    basis: str,
) -> Finding:
    """Return a finding that holds a factor against the least it must be."""
    finite = math.isfinite(factor)
    return Finding(
        check=check,
        subject=subject,
        status="ok" if factor >= least else "stop",
        value=factor if finite else None,
        limit=least,
        bound="at least",
        margin=factor - least if finite else None,
        angle=math.degrees(angle),
        message=message,
        basis=basis,
    )


def _judge_pole_stress(model: Model, forces: RaiseForces) -> Finding:
    """Hold the stress at multiplied loads against yield: a slender pole bends out of proportion."""
    factor = model.site.limits.yield_factor

    def stress(run: RaiseRun) -> Array:
        return (
            gin_pole_stress(model, run.gin_compression, run.angles, factor=factor.value)
            / factor.value
        )

    run, peak = worst(forces, stress)
    if math.isnan(peak.value):
        return unknown("gin pole as a strut")
    buckles = "" if math.isfinite(peak.value) else "; it buckles: use a thicker or shorter pole"
    message = say(
        "thrust {}, its own weight across and a bow of 0.2 %{}; found with all loads times {}{}",
        newtons(float(run.gin_compression[peak.index])),
        which_raise(run, forces),
        f"{factor.value:g}",
        buckles,
    )
    return load_finding(
        "gin pole",
        "gin pole stress",
        value=peak.value,
        limit=model.rig.gin_pole.tube.yield_strength / factor.value,
        unit="Pa",
        angle=peak.angle,
        message=message,
        basis=f"yield strength / {factor.value:g}: {factor.basis}; bow: EN 10210-2",
    )


def _judge_pole_buckling(model: Model, forces: RaiseForces) -> list[Finding]:
    limit = model.site.limits.euler_factor
    run, peak = worst(forces, lambda one: one.gin_compression)
    if math.isnan(peak.value) or peak.value <= 0:
        return []
    euler_load = pole_strut(model).euler_load
    message = say(
        "Euler's load {} over the largest thrust {}{}",
        newtons(euler_load),
        newtons(peak.value),
        which_raise(run, forces),
    )
    found = _factor_finding(
        "gin pole",
        "gin pole as a strut",
        euler_load / peak.value,
        limit.value,
        peak.angle,
        message,
        limit.basis,
    )
    return [found]


def _judge_pole_foot(forces: RaiseForces) -> list[Finding]:
    """Return the finding on a pole that is pulled out of its foot; none where it never is."""
    run, peak = worst(forces, lambda one: -one.gin_compression)
    if math.isnan(peak.value) or peak.value <= 0:
        return []
    pulled = np.flatnonzero(run.gin_compression < 0)
    first = float(run.angles[pulled[0]])
    return [
        Finding(
            check="gin pole",
            subject="foot of the gin pole",
            status="caution",
            value=peak.value,
            unit="N",
            angle=math.degrees(peak.angle),
            message=say(
                "from {} on the line pulls the pole off its foot: it must be pinned there, not "
                "stand in a socket",
                degrees(first),
            ),
            basis="forces at the gin-pole tip",
        )
    ]


def _rules(model: Model, forces: RaiseForces) -> list[Finding]:
    """Return the handbook rules of gin poles: length over thickness, and lean at the start."""
    tube = model.rig.gin_pole.tube
    slender = tube.length / tube.outer_diameter
    start = float(forces.loaded.angles[0])
    lean = abs(math.degrees(float(gin_elevation(model, np.array(start)))) - 90.0)
    return [
        Finding(
            check="gin pole",
            subject="length over thickness",
            status="ok" if slender <= SLENDEREST else "caution",
            value=slender,
            limit=SLENDEREST,
            bound="at most",
            margin=SLENDEREST - slender,
            message=say("rule of thumb for any pole; for a tube the gin pole stress counts"),
            basis=f"{HANDBOOK}, length at most 60 times the least thickness",
        ),
        Finding(
            check="gin pole",
            subject="lean at the start",
            status="ok" if lean <= MOST_LEAN else "caution",
            value=lean,
            limit=MOST_LEAN,
            bound="at most",
            unit="deg",
            margin=MOST_LEAN - lean,
            angle=math.degrees(start),
            message=say("off vertical when the mast leaves its support and loads are largest"),
            basis=f"{HANDBOOK}, lean at most 45°",
        ),
    ]
