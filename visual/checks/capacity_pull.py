"""Checks of what pulls: lever of the tow line, vehicle or winch, and the walk by hand."""

import math
from dataclasses import replace

import numpy as np

from visual.checks.capacity import load_finding, unknown, which_raise, worst
from visual.checks.finding import Finding
from visual.checks.judge import not_checked
from visual.mechanics.handling import REFERENCE_MASS, REFERENCE_MASS_ISO
from visual.model import Model
from visual.raising import RaiseForces, RaiseRun, tow_path
from visual.raising.forces_pulls import at_hitch, find_pulls
from visual.raising.forces_vehicle import VehiclePull
from visual.raising.weights import find_weights
from visual.units import Sentence, degrees, joined, kilograms, metres, newtons, say

CREW = 3  # people: one person or a crew of two or three puts these masts up
SPARE = 0.1  # of the pull: closer than that deserves a second look; common practice, no source
LONGEST_POLE = 2.0  # times the pole there is: beyond that another way is wanted
TRACTION = (
    "grip and rolling resistance as in the site file; R. K. Noon (1994): wet grass 0.20, gravel or "
    "dirt road 0.35; Moyer in Marks' Handbook: wet loose gravel 0.06"
)


def judge_pull(model: Model, forces: RaiseForces) -> list[Finding]:
    """Return findings on lever, vehicle or winch, balance and hands."""
    findings = [_judge_lever(run, forces) for run in forces.runs]
    if model.rig.tow.by == "vehicle":
        findings += _judge_vehicle(model, forces)
    else:
        findings += [_judge_winch(model, forces)]
    return [*findings, _judge_hands(forces)]


def _judge_lever(run: RaiseRun, forces: RaiseForces) -> Finding:
    first = run is forces.bare and run is not forces.loaded
    subject = "tow line, first raise" if first else "tow line"
    known = np.isfinite(run.lever)
    if not known.any():
        return not_checked("tow lever", subject, say("the line has no place on the lane"))
    lifting = known & (run.weight_moment > 0.0)
    if run.over_centre is not None:
        index = run.over_centre
    else:
        index = int(np.argmin(np.where(lifting, run.lever, math.inf)))
    lever = float(run.lever[index])
    return Finding(
        check="tow lever",
        subject=subject,
        status="stop" if lever <= 0 else "ok",
        value=lever,
        limit=0.0,
        bound="at least",
        unit="m",
        margin=lever,
        angle=math.degrees(run.angles[index]),
        message=(
            _lever_advice(index) if lever <= 0 else say("lever of the tow line about the hinge")
        ),
        basis="moments about the hinge",
    )


def _lever_advice(index: int) -> Sentence:
    """Say what to do about a line that passes over the hinge on its wrong side."""
    if index == 0:
        return say(
            "over-centre start: the line passes below the hinge and pulls the pole down; set the "
            "pole at a larger angle to the mast, or pull from farther out or higher up"
        )
    return say(
        "the line passes over the hinge before the mast is upright, and no pull can bring it "
        "further; pull from lower ground, through a block at the front anchor, or make the angle "
        "between mast and gin pole smaller"
    )


def _judge_vehicle(model: Model, forces: RaiseForces) -> list[Finding]:
    runs = [(forces.loaded, forces.vehicle)]
    if forces.bare is not forces.loaded:
        runs.append((forces.bare, forces.vehicle_bare))
    pairs = [(run, vehicle) for run, vehicle in runs if vehicle is not None]
    run, vehicle = min(pairs, key=lambda pair: _spare(pair[1]))
    i = vehicle.worst
    if math.isnan(_spare(vehicle)):
        return [unknown("pull of the vehicle")]
    words = _vehicle_words(model, run, vehicle, forces)
    if float(vehicle.available[i] - vehicle.needed[i]) < SPARE * vehicle.needed[i]:
        words = say("{}; {}", words, _more_pull(model, run, vehicle))
    finding = load_finding(
        "vehicle pull",
        "vehicle on its lane",
        value=float(vehicle.needed[i]),
        limit=float(vehicle.available[i]),
        unit="N",
        angle=float(run.angles[i]),
        message=words,
        basis=TRACTION,
    )
    return [finding, _judge_lift(run, vehicle)]


def _spare(vehicle: VehiclePull) -> float:
    """Return the pull left over where it is smallest. [N]"""
    i = vehicle.worst
    return float(vehicle.available[i] - vehicle.needed[i])


def _vehicle_words(
    model: Model, run: RaiseRun, vehicle: VehiclePull, forces: RaiseForces
) -> Sentence:
    i = vehicle.worst
    tow = model.rig.tow
    wheels = (
        "all wheels driven" if tow.driven_share == 1 else f"{tow.driven_share:.0%} of the weight"
    )
    return say(
        "largest pull of {} with grip {}, {}, on a slope of {}{}; the line lifts the hitch with {}",
        kilograms(tow.vehicle_mass),
        f"{tow.grip:.2f}",
        wheels,
        f"{math.degrees(vehicle.slope[i]):+.1f}°",
        which_raise(run, forces),
        newtons(float(vehicle.lift[i])),
    )


def _more_pull(model: Model, run: RaiseRun, vehicle: VehiclePull) -> Sentence:
    """Say what would do: a heavier vehicle, or a longer pole."""
    i = vehicle.worst
    ways = []
    if vehicle.available[i] > 0 and np.isfinite(vehicle.needed[i]):  # no weight helps without grip
        share = vehicle.needed[i] / vehicle.available[i] * (1 + SPARE)
        mass = kilograms(float(model.rig.tow.vehicle_mass * share), rounding="up")
        ways.append(say("a vehicle of {}", mass))
    length = pole_that_does(model, run, vehicle)
    if length is not None:
        ways.append(say("a gin pole of {}", metres(length, decimals=1, rounding="up")))
    ways.append(say("a winch at the front anchor"))
    return say("what would do: {}", joined(ways, ", or "))


def pole_that_does(model: Model, run: RaiseRun, vehicle: VehiclePull) -> float | None:
    """Return the shortest gin pole, to 0.1 m, with which the worst step leaves pull to spare.

    The weights are those of the new pole; the vehicle pulls what it can at that step now.

    Parameters
    ----------
    model : Model
        The mast on its site.
    run : RaiseRun
        The raise.
    vehicle : VehiclePull
        What the vehicle can do.
    """
    i = vehicle.worst
    wanted = float(vehicle.available[i]) / (1 + SPARE)
    pole = model.rig.gin_pole
    for tenths in range(math.ceil(pole.length * 10), math.floor(pole.length * LONGEST_POLE * 10)):
        tube = replace(pole.tube, length=tenths / 10)
        longer = replace(model, rig=replace(model.rig, gin_pole=replace(pole, tube=tube)))
        path = tow_path(longer, run.angles[i : i + 1])
        weights = find_weights(longer, with_head=run.with_head)
        pull = at_hitch(longer, find_pulls(longer, path, weights).tow, hauling=True)
        if pull[0] <= wanted:
            return tenths / 10
    return None


def _judge_lift(run: RaiseRun, vehicle: VehiclePull) -> Finding:
    """Hold the pull against the one that takes all weight off the wheels."""
    index = int(np.argmin(vehicle.off_ground - vehicle.needed))
    limit = float(vehicle.off_ground[index])
    if not math.isfinite(limit):
        return Finding(
            "hitch lift", "vehicle at its hitch", "ok", message=say("the line never lifts it")
        )
    return load_finding(
        "hitch lift",
        "vehicle at its hitch",
        value=float(vehicle.needed[index]),
        limit=limit,
        unit="N",
        angle=float(run.angles[index]),
        message=say(
            "the line lifts the hitch with up to {}; the pull that would take all weight off the "
            "wheels is the limit",
            newtons(float(vehicle.lift.max())),
        ),
        basis="balance of forces across the lane",
    )


def _judge_winch(model: Model, forces: RaiseForces) -> Finding:
    tow = model.rig.tow
    run, peak = worst(forces, lambda one: one.hauling)
    subject = "winch at the front anchor"
    if math.isnan(peak.value):
        return unknown(subject)
    parts = f"{tow.parts} parts of line, {tow.block_friction:.0%} lost at each block"
    if tow.winch_pull is None:
        reason = say(
            "needs {} at {} ({}); what the winch can pull was not given",
            newtons(peak.value),
            degrees(peak.angle),
            parts,
        )
        return not_checked("loads", subject, reason, missing="tow.winch_pull")
    return load_finding(
        "winch pull",
        subject,
        value=peak.value,
        limit=tow.winch_pull,
        unit="N",
        angle=peak.angle,
        message=say(
            "pull of the winch{}, {}; if short of it, use more parts of line",
            which_raise(run, forces),
            parts,
        ),
        basis="rated pull stated in the site file",
    )


def _judge_hands(forces: RaiseForces) -> Finding:
    walk = forces.hand
    force, pole_angle = walk.worst
    line = (
        say("never takes over")
        if walk.take_over is None
        else say("takes over at {}", degrees(walk.take_over))
    )
    return Finding(
        check="hand lift",
        subject="gin pole walked up by hand",
        status="ok" if walk.people <= CREW else "caution",
        value=force,
        unit="N",
        message=say(
            "{} people at {} each ({} at {}), the most with the pole at {}; {} to lift the tip off "
            "the ground; the tow line {}; use a lighter pole, or haul the tip up over a prop",
            walk.people,
            kilograms(REFERENCE_MASS),
            walk.people_iso,
            kilograms(REFERENCE_MASS_ISO),
            degrees(pole_angle),
            newtons(float(walk.tip_force[0])),
            line,
        ),
        basis="NIOSH load constant 23 kg (read); ISO 11228-1, 25 kg (from memory); hands at most "
        "1.5 m up (common practice, no source)",
    )
