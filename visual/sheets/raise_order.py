"""The order of work of a raise: what is done, and where the crew stops and looks."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from visual.checks import Report
from visual.checks.first_raise import worse_stays
from visual.crew.wire_schedule import wire_schedule
from visual.errors import HeightUnknownError
from visual.raising import RaiseRun
from visual.scene.layers import degrees_text
from visual.sheets.field_rows import listed, tape
from visual.sheets.raise_holds import Hold, holds_on_the_way
from visual.units import UnitSystem, format_force, format_length, format_quantity


@dataclass(frozen=True)
class Step:
    """One thing to do, or one stop to look.

    Parameters
    ----------
    kind : {"do", "stop"}
        Whether the crew works or stops and looks.
    text : str
        What to do, or why to stop.
    looks : tuple of str
        What to look at.
    angle : float or None
        Raising angle of a stop on the way; else None. [rad]
    travel : float
        What has been driven, or wound in, by then; NaN where it is unknown or nothing is. [m]
    """

    kind: Literal["do", "stop"]
    text: str
    looks: tuple[str, ...] = ()
    angle: float | None = None
    travel: float = math.nan


@dataclass(frozen=True)
class Phase:
    """Steps that belong together.

    Parameters
    ----------
    title : str
        What they achieve.
    steps : tuple of Step
        In the order of the work.
    """

    title: str
    steps: tuple[Step, ...]


def order_of_work(report: Report, *, units: UnitSystem) -> tuple[Phase, ...]:
    """Return the order of work with the numbers of this site.

    Parameters
    ----------
    report : Report
        The judged model.
    units : {"metric", "imperial"}
        Units of lengths and forces.
    """
    forces = report.forces
    phases = [
        Phase("Before the day", tuple(_before(report))),
        Phase("Lay out", tuple(_lay_out(report, units))),
        Phase("Gin pole up", tuple(_pole_up(report, units))),
    ]
    if forces.loaded.with_head:
        phases += [
            Phase("First raise, without the head", _raise(report, forces.bare, units)),
            Phase("Adjust, and down again", tuple(_down(forces.bare, units))),
            Phase("Raise with the head", _raise(report, forces.loaded, units)),
        ]
    else:
        phases.append(Phase("Raise", _raise(report, forces.loaded, units)))
    phases += [
        Phase("Upright: front wires over, one at a time", tuple(_change_over(report, units))),
        Phase("Finish", tuple(_finish(report))),
    ]
    return tuple(phases)


def _before(report: Report) -> Iterator[Step]:
    stops = sum(finding.status == "stop" for finding in report.findings)
    if stops:
        things = "1 finding says" if stops == 1 else f"{stops} findings say"
        yield Step("stop", f"Do not raise like this: {things} stop. Change the layout first.")
    unknown = sum(finding.status == "not checked" for finding in report.findings)
    if unknown:
        yield Step("do", f"Settle what was not checked: {unknown} lines of the findings.")
    for line in report.model.surroundings.lines:
        yield Step("do", f"Ask the owner of {line.name}. The line is live.")
    if not report.model.surroundings.lines:
        yield Step("do", "Look up: no overhead line is in the data of this site. Is there one?")
    yield Step("do", "Light wind only, daylight, dry ground for the wheels. Else not today.")


def _lay_out(report: Report, units: UnitSystem) -> Iterator[Step]:
    model = report.model
    yield Step("do", "Base and anchors set out, screwed in, read as built (field sheet).")
    trestle = format_length(model.site.limits.trestle.value, units)
    yield Step("do", f"Mast along the line to the back anchor, its top on a trestle of {trestle}.")
    yield Step("do", "Side and back wires to their anchors.")
    yield from _front_wires_at_tip(report, units)
    yield from _slackened(report, units)
    both = (stay for stay, _ in worse_stays(report.raised))
    stays = [stay for stay in both if not np.isnan(stay.change).any()]
    give = max((max(stay.tightest[1], 0.0) for stay in stays), default=math.nan)
    tended = "" if not give > 0.05 else f"; one gives {format_length(give, units)}: tend by hand"
    yield Step("do", f"Side stays from the gin-pole tip to both side anchors{tended}.")
    if any((run.gin_compression < 0).any() for run in report.forces.runs):
        yield Step("do", "Foot of the gin pole pinned: the line will pull it.")
    yield Step(
        "stop",
        "Lay-out done. Walk round it once.",
        (
            "Hinge pin in and secured; no shackle open; no wire crossed or under the mast.",
            "Half of every turnbuckle's thread to spare, each way.",
            "Fall zone empty; everybody in place and knows the word to stop.",
        ),
    )


def _front_wires_at_tip(report: Report, units: UnitSystem) -> Iterator[Step]:
    overs = report.raised.change_overs
    if any(math.isnan(over.at_tip) for over in overs):
        yield Step("do", "Front wires on the gin-pole tip.")
        return
    held = listed([f"{over.name} at {tape(over.at_tip, units)}" for over in overs])
    yield Step("do", f"Front wires on the gin-pole tip: {held} from the collar.")


def _slackened(report: Report, units: UnitSystem) -> Iterator[Step]:
    for wire in report.forces.wires:
        if wire.cure is None:
            continue
        length = format_length(wire.cure.pay_out, units, rounding="up")
        turns = format_quantity(wire.cure.turns, "", units, decimals=0, rounding="up")
        how = f"{turns} turns" if wire.cure.within_travel else "tie it off longer"
        until = degrees_text(wire.cure.until)
        yield Step(
            "do",
            f"Slacken {wire.change.name} by {length} ({how}), until {until}. Until then it does "
            "not hold the mast: better move its anchor.",
        )


def _pole_up(report: Report, units: UnitSystem) -> Iterator[Step]:
    walk, model = report.forces.hand, report.model
    force, angle = walk.worst
    yield Step(
        "do",
        f"{walk.people} people walk the pole up, {format_force(force, units)} at "
        f"{degrees_text(angle)}, on to {degrees_text(walk.by_hand_to)} of the pole.",
    )
    by = "winch" if model.rig.tow.by == "winch" else "vehicle"
    hitch = float(report.raised.tow.distance[0])
    yield Step("do", f"Tow line over the tip to the {by}. Take up the slack by hand.")
    if not math.isnan(hitch) and by == "vehicle":
        yield Step("do", f"Hitch at lift-off: {format_length(hitch, units)} from the base.")
    marks = "Marks on the line" if by == "winch" else "Pegs along the lane"
    yield Step("do", f"{marks} at the travel of every stop (table).")
    yield Step(
        "stop",
        "Line snug. People out from under the pole, out of the fall zone.",
        ("Side stays snug, pole straight above the tow line.",),
    )


def _raise(report: Report, run: RaiseRun, units: UnitSystem) -> tuple[Step, ...]:
    first = Step("do", "Driver pulls on the caller's word only, at a walk, no jerks.")
    holds = holds_on_the_way(report, run, units=units)
    return (first, *(_stop(report, hold, run) for hold in holds))


def _stop(report: Report, hold: Hold, run: RaiseRun) -> Step:
    travel = travel_at(run, hold.angle, parts=report.model.rig.tow.parts)
    return Step("stop", hold.title, hold.looks, hold.angle, travel)


def travel_at(run: RaiseRun, angle: float, *, parts: int = 1) -> float:
    """Return what has been driven, or wound in by all parts of line, at a raising angle. [m]"""
    return parts * float(np.interp(angle, run.angles, run.tow.travel))


def travel_word(report: Report) -> str:
    """Return what travel is: ground driven, or line wound in."""
    return "wound in" if report.model.rig.tow.by == "winch" else "driven"


def _down(run: RaiseRun, units: UnitSystem) -> Iterator[Step]:
    yield Step("do", "Set all wires, mast plumb. Gauge readings on the field sheet.")
    if run.hold_from is not None:
        hold = float(np.max(run.hold_back))
        force = "" if math.isnan(hold) else f" with {format_force(hold, units)} in the back wire"
        until = degrees_text(run.hold_from, 1)
        yield Step("do", f"Tow line tight. Pull the mast back{force} until {until}.")
    yield Step("do", "Lower slowly on the tow line, with the same stops, onto its support.")
    yield Step("do", "Cable in, head and rotor on. Generator leads shorted, blades tied.")
    yield Step(
        "stop",
        "Head on. Walk round it once more.",
        (
            "Rotor cannot turn; cable hangs free of hinge and wires; head bolts tight.",
            "Fall zone empty; everybody in place.",
        ),
    )


def _change_over(report: Report, units: UnitSystem) -> Iterator[Step]:
    yield Step(
        "stop",
        "Mast upright, held by back and side wires and by the tow line.",
        ("One person goes in to the front anchor. Nobody else.",),
    )
    wires = _front_wires(report, units)
    if len(wires) == 1:
        # with a single one nothing holds the mast forward while it is off
        yield Step("do", "Only one front wire: first a second rated line, collar to front anchor.")
    for name, place in wires:
        then = " Then the next." if len(wires) > 1 else ""
        yield Step("do", f"{name} from the tip to the front anchor{place}.{then}")
    yield Step("do", "Plumb as seen from all four sides; gauge readings on the field sheet.")
    yield Step("stop", "Every turnbuckle secured?", ("Thread left at both ends; wired or locked.",))


def _front_wires(report: Report, units: UnitSystem) -> list[tuple[str, str]]:
    """Return each front wire with the place of its lower thimble, lowest first."""
    try:
        schedule = wire_schedule(report.model)
    except HeightUnknownError:
        return [(over.name.capitalize(), "") for over in report.raised.change_overs]
    rows = [row for row in schedule.rows if row.change_over is not None]
    return [
        (row.wire.name.capitalize(), f", thimble at {tape(row.marks.lower_thimble, units)}")
        for row in rows
    ]


def _finish(report: Report) -> Iterator[Step]:
    yield Step("do", "Tow line off, gin pole down.")
    if report.model.rig.mast.head is not None:
        yield Step("do", "Cable to the breaker box, lead by lead.")
        yield Step("do", "Rotor released last.")
