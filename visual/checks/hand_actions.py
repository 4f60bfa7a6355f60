"""What is done by hand during a raise, in the order in which it is done, with its numbers."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks.capacity import as_force, as_length, degrees
from visual.checks.report import Report
from visual.mechanics.handling import REACH
from visual.model import Model
from visual.raising import RaiseRun
from visual.units import LENGTH_UNITS

_Step = tuple[float, str]


def hand_actions(report: Report, run: RaiseRun) -> Iterator[str]:
    """Yield what is done by hand, in the order of the raise, one sentence each."""
    yield from _slacken(report)
    yield (
        "before lifting: let out the turnbuckles of side and back wires, so that they come snug "
        "and not tight when the mast is upright"
    )
    yield _walk(report)
    yield from _lift_off(report, run)
    steps = [*_pulled_pole(report.model, run), *_fit_again(report), *_near_upright(report, run)]
    yield from (text for _, text in sorted(steps, key=lambda step: step[0]))
    yield _upright(report.model)
    yield from _down(report, run)


def _slacken(report: Report) -> Iterator[str]:
    """Yield one sentence for each wire that would go tight on the way."""
    for wire in report.forces.wires:
        cure = wire.cure
        if cure is None:
            continue
        way = (
            f" ({cure.turns:.0f} turns)"
            if cure.within_travel
            else ", more than its turnbuckle gives: tie it off longer"
        )
        yield (
            f"before lifting: slacken wire {wire.change.name} by "
            f"{as_length(report.model, cure.pay_out)}{way}; until {degrees(cure.until)} it then "
            "does not hold the mast sideways: better move the anchor"
        )


def _fit_again(report: Report) -> Iterator[_Step]:
    wires: dict[float, list[str]] = {}
    for wire in report.forces.wires:
        if wire.cure is not None:
            wires.setdefault(wire.cure.until, []).append(wire.change.name)
    for angle, names in wires.items():
        several = "wires" if len(names) > 1 else "wire"
        lengths = "their lengths" if len(names) > 1 else "its length"
        yield (
            angle,
            f"at {degrees(angle)}: stop; {several} {' and '.join(names)} may have {lengths} again",
        )


def _walk(report: Report) -> str:
    model, walk = report.model, report.forces.hand
    force, angle = walk.worst
    over = (
        "the tow line never gets a lever"
        if walk.take_over is None
        else f"the tow line can take over with the pole at {degrees(walk.take_over)} "
        "(the trade says about 45°)"
    )
    return (
        f"gin pole: {walk.people} people walk it up; {as_force(model, float(walk.tip_force[0]))} "
        f"lift its tip off the ground, up to {as_force(model, force)} with the pole at "
        f"{degrees(angle)} and hands {_reach(model)} up; {over}"
    )


def _reach(model: Model) -> str:
    """Return the height of the hands, which is no more than a round number."""
    if model.site.site.units == "metric":
        return f"{REACH:g} m"
    return f"{REACH / LENGTH_UNITS['ft']:.0f} ft"


def _lift_off(report: Report, run: RaiseRun) -> Iterator[str]:
    model, start = report.model, run.angles[0]
    if math.isnan(run.tow_tension[0]):
        yield f"at {degrees(float(start))}: the pull at lift-off is unknown"
        return
    yield (
        f"at {math.degrees(start):z.1f}°: lift-off with "
        f"{as_force(model, float(run.tow_tension[0]))}"
        f"{_there(report, run)}; stop as soon as the mast is clear of its support and look at "
        "every anchor, shackle and wire"
    )


def _there(report: Report, run: RaiseRun) -> str:
    """Say what that is at hitch or winch, and what these can pull at lift-off."""
    model, tow, forces = report.model, report.model.rig.tow, report.forces
    words = " on the pole"
    if tow.by == "winch":
        words += f", {as_force(model, float(run.hauling[0]))} on the winch's part of line"
        if tow.winch_pull is not None:
            words += f"; the winch can pull {as_force(model, tow.winch_pull)}"
        return words
    if tow.through_front_anchor:
        words += f", {as_force(model, float(run.hauling[0]))} at the hitch"
    vehicle = forces.vehicle if run is forces.loaded else forces.vehicle_bare
    if vehicle is not None and math.isfinite(vehicle.available[0]):
        words += f"; the vehicle can pull {as_force(model, float(vehicle.available[0]))} there"
    return words


def _pulled_pole(model: Model, run: RaiseRun) -> Iterator[_Step]:
    pulled = np.flatnonzero(run.gin_compression < 0)
    if pulled.size:
        first, last = float(run.angles[pulled[0]]), float(run.angles[pulled[-1]])
        most = as_force(model, -float(np.nanmin(run.gin_compression)))
        yield (
            first,
            f"from {degrees(first)} to {degrees(last)}: the line pulls the gin pole off its foot, "
            f"with up to {most}; it must be pinned there",
        )


def _near_upright(report: Report, run: RaiseRun) -> Iterator[_Step]:
    model = report.model
    if run.over_centre is not None:
        angle = float(run.angles[run.over_centre])
        yield (
            angle,
            f"at {degrees(angle)}: the tow line has no lever left; it cannot be raised further "
            "like this",
        )
    if run.hold_from is not None and not math.isnan(run.hold_back[-1]):
        hold = as_force(model, float(run.hold_back.max()))
        yield (
            run.hold_from,
            f"from {math.degrees(run.hold_from):.1f}°: the mast goes over by itself and the "
            f"tow line goes slack; a line on the back in hand, up to {hold} along the top back "
            "wire",
        )


def _upright(model: Model) -> str:
    """Say how the front wires are moved.

    The tow line has next to no lever at upright: no pull on it balances back wires at their
    initial tension, and a mast with one level has nothing to the front while its wire is moved.
    """
    start = "upright: stop; keep the tow line tight, and side and back wires just snug; "
    end = "; only then give all wires their tension"
    if len(model.rig.mast.collars) > 1:
        return f"{start}move the front wires to their anchor one at a time{end}"
    return (
        f"{start}there is one front wire, and nothing else holds the mast to the front: first tie "
        f"a second line from its collar to the front anchor, then move the wire{end}"
    )


def _down(report: Report, run: RaiseRun) -> Iterator[str]:
    if run.hold_from is None or math.isnan(run.hold_back[-1]):
        return
    hold = as_force(report.model, float(run.hold_back.max()))
    front = (
        "front wires on the gin pole again, one at a time"
        if len(report.model.rig.mast.collars) > 1
        else "the front wire on the gin pole again before the second line comes off"
    )
    yield (
        f"going down: side and back wires slackened until they are just snug; {front}; with the "
        f"tow line tight all the while, pull the mast back with {hold} along the top back wire "
        f"until {math.degrees(run.hold_from):.1f}°"
    )
