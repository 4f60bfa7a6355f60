"""What is done by hand during a raise, in the order in which it is done, with its numbers."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks.report import Report
from visual.mechanics.handling import REACH
from visual.model import Model
from visual.raising import RaiseRun
from visual.units import (
    LENGTH_UNITS,
    Quantity,
    Sentence,
    degrees,
    metres,
    newtons,
    say,
)

_Step = tuple[float, Sentence]


def hand_actions(report: Report, run: RaiseRun) -> Iterator[str]:
    """Yield what is done by hand, in the order of the raise, one sentence each.

    They are in the units of the site's results.
    """
    units = report.model.site.site.units
    yield from (action.in_units(units) for action in _actions(report, run))


def _actions(report: Report, run: RaiseRun) -> Iterator[Sentence]:
    yield from _slacken(report)
    yield say(
        "before lifting: let out the turnbuckles of side and back wires, so that they come snug "
        "and not tight when the mast is upright"
    )
    yield _walk(report)
    yield from _lift_off(report, run)
    steps = [*_pulled_pole(run), *_fit_again(report), *_near_upright(run)]
    yield from (text for _, text in sorted(steps, key=lambda step: step[0]))
    yield _upright(report.model)
    yield from _down(report, run)


def _slacken(report: Report) -> Iterator[Sentence]:
    """Yield one sentence for each wire that would go tight on the way."""
    for wire in report.forces.wires:
        cure = wire.cure
        if cure is None:
            continue
        turns = Quantity(cure.turns, "", decimals=0, rounding="up")
        way = (
            say(" ({} turns)", turns)
            if cure.within_travel
            else say(", more than its turnbuckle gives: tie it off longer")
        )
        yield say(
            "before lifting: slacken wire {} by {}{}; until {} it then does not hold the mast "
            "sideways: better move the anchor",
            wire.change.name,
            metres(cure.pay_out, rounding="up"),
            way,
            degrees(cure.until),
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
            say(
                "at {}: stop; {} {} may have {} again",
                degrees(angle),
                several,
                " and ".join(names),
                lengths,
            ),
        )


def _walk(report: Report) -> Sentence:
    model, walk = report.model, report.forces.hand
    force, angle = walk.worst
    over = (
        say("the tow line never gets a lever")
        if walk.take_over is None
        else say(
            "the tow line can take over with the pole at {} (the trade says about 45°)",
            degrees(walk.take_over),
        )
    )
    return say(
        "gin pole: {} people walk it up; {} lift its tip off the ground, up to {} with the pole at "
        "{} and hands {} up; {}",
        walk.people,
        newtons(float(walk.tip_force[0])),
        newtons(force),
        degrees(angle),
        _reach(model),
        over,
    )


def _reach(model: Model) -> str:
    """Return the height of the hands, which is no more than a round number."""
    if model.site.site.units == "metric":
        return f"{REACH:g} m"
    return f"{REACH / LENGTH_UNITS['ft']:.0f} ft"


def _lift_off(report: Report, run: RaiseRun) -> Iterator[Sentence]:
    start = float(run.angles[0])
    if math.isnan(run.tow_tension[0]):
        yield say("at {}: the pull at lift-off is unknown", degrees(start))
        return
    yield say(
        "at {}: lift-off with {}{}; stop as soon as the mast is clear of its support and look at "
        "every anchor, shackle and wire",
        degrees(start, decimals=1),
        newtons(float(run.tow_tension[0])),
        _there(report, run),
    )


def _there(report: Report, run: RaiseRun) -> Sentence:
    """Say what that is at hitch or winch, and what these can pull at lift-off."""
    tow, forces = report.model.rig.tow, report.forces
    words = say(" on the pole")
    if tow.by == "winch":
        words = say("{}, {} on the winch's part of line", words, newtons(float(run.hauling[0])))
        if tow.winch_pull is not None:
            words = say("{}; the winch can pull {}", words, newtons(tow.winch_pull))
        return words
    if tow.through_front_anchor:
        words = say("{}, {} at the hitch", words, newtons(float(run.hauling[0])))
    vehicle = forces.vehicle if run is forces.loaded else forces.vehicle_bare
    if vehicle is not None and math.isfinite(vehicle.available[0]):
        can = newtons(float(vehicle.available[0]))
        words = say("{}; the vehicle can pull {} there", words, can)
    return words


def _pulled_pole(run: RaiseRun) -> Iterator[_Step]:
    pulled = np.flatnonzero(run.gin_compression < 0)
    if pulled.size:
        first, last = float(run.angles[pulled[0]]), float(run.angles[pulled[-1]])
        yield (
            first,
            say(
                "from {} to {}: the line pulls the gin pole off its foot, with up to {}; it must "
                "be pinned there",
                degrees(first),
                degrees(last),
                newtons(-float(np.nanmin(run.gin_compression))),
            ),
        )


def _near_upright(run: RaiseRun) -> Iterator[_Step]:
    if run.over_centre is not None:
        angle = float(run.angles[run.over_centre])
        yield (
            angle,
            say(
                "at {}: the tow line has no lever left; it cannot be raised further like this",
                degrees(angle),
            ),
        )
    if run.hold_from is not None and not math.isnan(run.hold_back[-1]):
        yield (
            run.hold_from,
            say(
                "from {}: the mast goes over by itself and the tow line goes slack; a line on the "
                "back in hand, up to {} along the top back wire",
                degrees(run.hold_from, decimals=1),
                newtons(float(run.hold_back.max())),
            ),
        )


def _upright(model: Model) -> Sentence:
    """Say how the front wires are moved.

    The tow line has next to no lever at upright: no pull on it balances back wires at their
    initial tension, and a mast with one level has nothing to the front while its wire is moved.
    """
    move = (
        "move the front wires to their anchor one at a time"
        if len(model.rig.mast.collars) > 1
        else "there is one front wire, and nothing else holds the mast to the front: first tie "
        "a second line from its collar to the front anchor, then move the wire"
    )
    return say(
        "upright: stop; keep the tow line tight, and side and back wires just snug; {}; only then "
        "give all wires their tension",
        move,
    )


def _down(report: Report, run: RaiseRun) -> Iterator[Sentence]:
    if run.hold_from is None or math.isnan(run.hold_back[-1]):
        return
    front = (
        "front wires on the gin pole again, one at a time"
        if len(report.model.rig.mast.collars) > 1
        else "the front wire on the gin pole again before the second line comes off"
    )
    yield say(
        "going down: side and back wires slackened until they are just snug; {}; with the tow line "
        "tight all the while, pull the mast back with {} along the top back wire until {}",
        front,
        newtons(float(run.hold_back.max())),
        degrees(run.hold_from, decimals=1),
    )
