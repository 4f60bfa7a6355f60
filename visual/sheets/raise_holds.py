"""Where the crew stops on the way up and looks: raising angles with the reason for each stop."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from visual.checks import Report
from visual.checks.judge import NEAR
from visual.checks.moving import Clearance
from visual.checks.on_the_way import NOTICEABLE
from visual.raising import LengthChange, RaiseRun
from visual.raising.wires import wire_change
from visual.rig import Side
from visual.scene.layers import degrees_text
from visual.sheets.field_rows import listed, opened
from visual.units import UnitSystem, format_force, format_length

HAND_WIDTH = 0.1
"""How far the head is lifted before the first look; common practice, no source. [m]"""

HALF_WAY = math.radians(45.0)
"""A stop in any case; common practice, no source. [rad]"""

BEFORE = math.radians(5.0)
"""The crew stops this much before the mast goes over by itself; common practice, no source."""

AHEAD = math.radians(2.0)
"""The crew stops this much before something comes near; common practice, no source. [rad]"""

TOGETHER = math.radians(2.5)
"""Stops nearer to each other than this are one. [rad]"""

_NAMED = 2  # so many reasons for one stop are in its title
_WITH_HEAD = ("head", "rotor")
_SWUNG: tuple[Side, ...] = ("left", "right", "back")


@dataclass(frozen=True)
class Hold:
    """One stop on the way up.

    Parameters
    ----------
    angle : float
        Raising angle at which to stop. [rad]
    title : str
        What it is about, in two or three words.
    looks : tuple of str
        What to look at, one short sentence each.
    """

    angle: float
    title: str
    looks: tuple[str, ...]


@dataclass(frozen=True)
class _Reason:
    """One reason to stop. Lower ranks give the title where several fall together."""

    angle: float
    title: str
    look: str
    rank: int = 5


def holds_on_the_way(report: Report, run: RaiseRun, *, units: UnitSystem) -> tuple[Hold, ...]:
    """Return where to stop during one raise, from lift-off to upright.

    Parameters
    ----------
    report : Report
        The judged model.
    run : RaiseRun
        The raise with the head, or the first one without.
    units : {"metric", "imperial"}
        Units of lengths and forces.
    """
    first = float(run.angles[0]) + HAND_WIDTH / report.model.rig.mast.length
    last = math.pi / 2
    found = [
        *_lift_off(first),
        *_wires(report, run, units),
        *_near(report, run, units),
        *_in_front(report, units),
        *_gin_pole(run),
        *_half_way(first),
        *_balance(run, units),
        _Reason(last, "Upright", "Stop the pull. Hold the mast from the back.", rank=0),
    ]
    inside = [_Reason(min(max(r.angle, first), last), r.title, r.look, r.rank) for r in found]
    return tuple(_merged(sorted(inside, key=lambda reason: reason.angle)))


def _merged(reasons: Iterable[_Reason]) -> Iterator[Hold]:
    """Yield stops; reasons close together share the first one's angle, never passing upright."""
    group: list[_Reason] = []
    for reason in reasons:
        own = reason.title == "Upright" and group and reason.angle - group[0].angle > 1e-9
        if group and (reason.angle - group[0].angle > TOGETHER or own):
            yield _hold(group)
            group = []
        group.append(reason)
    if group:
        yield _hold(group)


def _hold(group: list[_Reason]) -> Hold:
    ranked = sorted(group, key=lambda reason: reason.rank)
    titles = list(dict.fromkeys(reason.title for reason in ranked))
    looks = tuple(dict.fromkeys(reason.look for reason in ranked))
    more = [title[0].lower() + title[1:] for title in titles[1:_NAMED]]
    return Hold(group[0].angle, ", ".join([titles[0], *more]), looks)


def _lift_off(angle: float) -> Iterator[_Reason]:
    look = "Head a hand-width up: every anchor, shackle and wire holds, mast clear of its support."
    yield _Reason(angle, "A hand-width up", look, rank=0)


def _half_way(start: float) -> Iterator[_Reason]:
    if start < HALF_WAY - BEFORE:
        look = "Anchors do not move, mast is straight, tow line runs free, both spotters agree."
        yield _Reason(HALF_WAY, "Half way", look, rank=6)


# --- wires --------------------------------------------------------------------------------------


def changes_of(report: Report, run: RaiseRun) -> tuple[LengthChange, ...]:
    """Return the changes of side and back wires over the angles of a run."""
    model = report.model
    levels = range(len(model.rig.mast.collars))
    placed = [side for side in _SWUNG if model.anchors[side].placed]
    return tuple(wire_change(model, side, c, run.angles) for side in placed for c in levels)


def _wires(report: Report, run: RaiseRun, units: UnitSystem) -> Iterator[_Reason]:
    changes = changes_of(report, run)
    for side, of_side in groupby(changes, key=lambda change: change.side):
        wires = list(of_side)
        yield from _tight(side, wires, units)
        if side != "back":
            yield from _slack(side, wires, report.model.site.limits.side_wire_slack.value, units)


def wires_named(wires: list[LengthChange]) -> str:
    """Return the names of wires to begin a sentence with."""
    return f"Wire{'s' if len(wires) > 1 else ''} {listed([wire.name for wire in wires])}"


def _tight(side: Side, wires: list[LengthChange], units: UnitSystem) -> Iterator[_Reason]:
    tight = [wire for wire in wires if wire.change.max() > NOTICEABLE]
    if not tight:
        return
    worst = max(tight, key=lambda wire: wire.tightest[1])
    names = wires_named(tight)
    first = min(float(w.angles[np.flatnonzero(w.change > NOTICEABLE)[0]]) for w in tight)
    last = max(float(w.angles[np.flatnonzero(w.change > NOTICEABLE)[-1]]) for w in tight)
    most, at = format_length(worst.tightest[1], units), degrees_text(worst.tightest[0])
    yield _Reason(
        max(first - AHEAD, float(wires[0].angles[0])),
        f"{opened(side)} wires go tight",
        f"{names}: up to {most} too short (at {at}); they must hang slack by that much.",
        rank=2,
    )
    if last < math.pi / 2 - AHEAD:
        yield _Reason(
            last,
            f"{side.capitalize()} wires may be taken up",
            f"{names}: give back their length from here on, by hand, a turn at a time.",
            rank=3,
        )


def _slack(
    side: Side, wires: list[LengthChange], limit: float, units: UnitSystem
) -> Iterator[_Reason]:
    slack = [wire for wire in wires if -wire.change.min() > limit]
    if not slack:
        return
    worst = min(slack, key=lambda wire: wire.slackest[1])
    other = "left" if side == "right" else "right"
    yield _Reason(
        worst.slackest[0],
        f"{side.capitalize()} wires slack",
        f"{wires_named(slack)}: up to "
        f"{format_length(-worst.slackest[1], units)} slack; the mast can lean to the {other}.",
        rank=4,
    )
    held = max(float(w.angles[np.flatnonzero(w.change < -limit)[-1]]) for w in slack)
    if worst.slackest[0] + AHEAD < held < math.pi / 2 - AHEAD:
        look = f"{wires_named(slack)}: hold the mast again; look that it stands true."
        yield _Reason(held, f"{side.capitalize()} wires hold again", look, rank=6)


# --- things that come near ----------------------------------------------------------------------


def near_things(report: Report, *, with_head: bool) -> tuple[Clearance, ...]:
    """Return the worst clearance to everything that comes nearer than it should, or nearly."""
    near: dict[str, Clearance] = {}
    for clearance in report.clearances:
        if not with_head and clearance.part in _WITH_HEAD:
            continue
        name = clearance.obstacle.name
        if clearance.margin < NEAR and (name not in near or clearance.margin < near[name].margin):
            near[name] = clearance
    return tuple(sorted(near.values(), key=lambda one: one.closest.angle))


def _near(report: Report, run: RaiseRun, units: UnitSystem) -> Iterator[_Reason]:
    for clearance in near_things(report, with_head=run.with_head):
        closest, name = clearance.closest, clearance.obstacle.name
        distance = format_length(closest.distance, units)
        needed = clearance.obstacle.requirement.distance
        keep = "" if needed is None else f", keep {format_length(needed, units)}"
        at = degrees_text(closest.angle)
        yield _Reason(
            closest.angle - AHEAD,
            f"Near {name}",
            f"{opened(clearance.part)} comes within {distance} of {name} at {at}{keep}.",
            rank=1 if clearance.obstacle.kind == "overhead_line" else 3,
        )


def _in_front(report: Report, units: UnitSystem) -> Iterator[_Reason]:
    """Yield stops for gin pole and tow line near the ground, and for a vehicle near its limit."""
    words = {
        "gin tip": ("Gin pole near the ground", "Gin pole comes within {found} of the slope."),
        "tow line": ("Tow line on a hump", "Tow line touches the ground: look for chafe."),
        "vehicle pull": ("Wheels may spin", "Pull {found}: wheels must not spin, nobody behind."),
        "tow lever": ("Tow line loses its lever", "Stop if the pull rises and the mast stands."),
    }
    for finding in report.findings:
        if finding.check in words and finding.status != "ok" and finding.angle is not None:
            title, look = words[finding.check]
            value = finding.value or 0.0
            show = format_force if finding.unit == "N" else format_length
            yield _Reason(
                math.radians(finding.angle) - AHEAD,
                title,
                look.format(found=show(max(value, 0.0), units)),
                rank=2,
            )


def _gin_pole(run: RaiseRun) -> Iterator[_Reason]:
    pulled = np.flatnonzero(run.gin_compression < 0)
    if pulled.size:
        angle = float(run.angles[pulled[0]])
        look = "From here the line pulls the gin pole off its foot: look at its pin."
        yield _Reason(angle, "Gin pole pulled", look, rank=4)


def _balance(run: RaiseRun, units: UnitSystem) -> Iterator[_Reason]:
    if run.hold_from is None:
        return
    over = degrees_text(run.hold_from, 1)
    hold = float(np.nanmax(run.hold_back))
    force = "" if math.isnan(hold) else f", up to {format_force(hold, units)} in the top back wire"
    yield _Reason(
        run.hold_from - BEFORE,
        "Before the balance",
        f"Somebody at the back line, and it is tight. From {over} the mast goes over by itself "
        f"and the tow line goes slack: hold it from the back{force}.",
        rank=0,
    )
