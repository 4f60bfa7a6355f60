"""The wire schedule as lines of text."""

from collections.abc import Iterator

from visual.crew.columns import heading, paragraph, table
from visual.crew.spools import SpoolPlan
from visual.crew.wire_schedule import SURE, WireRow, WireSchedule
from visual.raising import ChangeOver
from visual.units import UnitSystem, format_angle, format_force, format_length

NOTICEABLE_PULL = 0.10
"""From this share on, the tension of the balanced wire is worth a word: the band of the gauge."""


def wire_schedule_lines(schedule: WireSchedule, *, units: UnitSystem) -> list[str]:
    """Return the schedule as lines at most 100 columns wide."""
    return [
        *heading("Lengths"),
        *_lengths(schedule, units),
        *heading("Marks on the tape, from the bearing of the collar thimble"),
        *_marks(schedule, units),
        *paragraph(_conditions(schedule, units)),
        *heading("Tension at the anchor, where the gauge is clamped"),
        *_tensions(schedule, units),
        *_slope_note(schedule),
        *heading("Change-over of the front wires, gin-pole tip to front anchor"),
        *_change_overs(schedule, units),
        *heading("Wire in all"),
        *_totals(schedule, units),
    ]


def _tape(metres: float, units: UnitSystem) -> str:
    return format_length(metres, units, decimals=3)


def _lengths(schedule: WireSchedule, units: UnitSystem) -> Iterator[str]:
    titles = ("wire", "straight", "±", "unstressed", "cut", "standing", "turnbuckle")
    yield from table(
        titles,
        [
            (
                row.wire.name,
                _tape(row.wire.straight_length, units),
                _tape(row.wire.straight_length_pm, units),
                _tape(row.wire.shape.unstressed_length, units),
                _tape(row.wire.cut_length, units),
                row.standing,
                row.take_up,
            )
            for row in schedule.rows
        ],
    )
    half = _tape(schedule.rows[0].half_travel, units)
    yield from paragraph(
        f"± is one standard deviation. The turnbuckle gives and takes {half} from its middle: "
        f'"enough" if that is at least {SURE:g} ±.'
    )
    if schedule.provisional:
        yield from paragraph(
            "Provisional: cut only after the anchors are in and measured (hillmast asbuilt), or "
            "leave the lower end open."
        )


def _marks(schedule: WireSchedule, units: UnitSystem) -> list[str]:
    titles = ("wire", "lower thimble", "not before", "not beyond", "cut at", "at gin tip")
    return table(
        titles,
        [
            (
                row.wire.name,
                *(
                    _tape(mark, units)
                    for mark in (
                        row.marks.lower_thimble,
                        row.marks.earliest,
                        row.marks.latest,
                        row.marks.cut,
                    )
                ),
                "" if row.marks.tip is None else _tape(row.marks.tip, units),
            )
            for row in schedule.rows
        ],
    )


def _conditions(schedule: WireSchedule, units: UnitSystem) -> str:
    cutting = schedule.cutting
    kind = "a steel tape" if cutting.steel_tape else "a tape that does not grow with heat"
    longest = max(row.wire.shape.unstressed_length for row in schedule.rows)
    shift = _tape(abs(cutting.reading(longest) - longest), units)
    return (
        f"For {kind}, wire at {cutting.at:.0f} °C, initial tension at {cutting.rigging:.0f} °C: "
        f"{shift} on the longest wire. Lay the wire out straight and unloaded."
    )


def _tensions(schedule: WireSchedule, units: UnitSystem) -> list[str]:
    titles = ("wire", "initial", "for plumb", "gauge from", "to", "angle", "sag")
    return table(
        titles,
        [
            (
                row.wire.name,
                format_force(row.wire.initial_tension, units),
                format_force(row.balanced_tension, units),
                *(format_force(force, units) for force in row.gauge),
                format_angle(row.wire.angle),
                _tape(row.wire.shape.sag, units),
            )
            for row in schedule.rows
        ],
    )


def _slope_note(schedule: WireSchedule) -> list[str]:
    worst = max(schedule.rows, key=lambda row: abs(_excess(row)))
    if abs(_excess(worst)) < NOTICEABLE_PULL:
        return []
    return paragraph(
        f"Equal readings would pull this mast out of plumb: its wires are not equally steep. Set "
        f'the tensions "for plumb"; wire {worst.wire.name} then has {_excess(worst):+.0%} against '
        "the initial tension."
    )


def _excess(row: WireRow) -> float:
    return row.balanced_tension / row.wire.initial_tension - 1.0


def _change_overs(schedule: WireSchedule, units: UnitSystem) -> Iterator[str]:
    rows = [(row, row.change_over) for row in schedule.rows if row.change_over]
    yield from table(
        ("wire", "at the tip", "at the anchor", "to add"),
        [
            (
                over.name,
                _tape(over.at_tip, units),
                _tape(over.at_anchor, units),
                _tape(over.difference, units),
            )
            for _, over in rows
        ],
    )
    for row, over in rows:
        yield from paragraph(change_over_advice(row, over, units=units))


def change_over_advice(row: WireRow, over: ChangeOver, *, units: UnitSystem) -> str:
    """Say by what piece a front wire gets its other length."""
    length = _tape(abs(over.difference), units)
    if abs(over.difference) <= row.half_travel:
        return f"{over.name}: {length}, by its turnbuckle."
    if over.difference > 0:
        return (
            f"{over.name}: take in {length} at the tip: hold the wire at its mark for the gin tip; "
            f"or cut it there and add a rated extension of {length} at the anchor."
        )
    return (
        f"{over.name}: add a rated extension of {length} between wire and tip for the raise, and "
        "take it out at the change-over."
    )


def _totals(schedule: WireSchedule, units: UnitSystem) -> Iterator[str]:
    for total in schedule.totals:
        length = format_length(total.length, units)
        yield f"{total.kind}: {total.count} pieces, {length} at the tape's temperature"
    for plan in schedule.spool_plans:
        yield ""
        yield from _spool_plan(plan, units)


def _spool_plan(plan: SpoolPlan, units: UnitSystem) -> Iterator[str]:
    sure = "no plan opens less wire" if plan.exact else "the best found, perhaps not the best"
    left, opened = format_length(plan.left, units), format_length(plan.opened, units)
    yield f"{plan.wire}: open {opened}, {left} stays on the spools ({sure})"
    for number, spool in enumerate(plan.spools, start=1):
        cuts = ", ".join(f"{p.name} {_tape(p.length, units)}" for p in spool.pieces)
        yield from paragraph(
            f"spool {number}, {format_length(spool.length, units)}: {cuts}; "
            f"{format_length(spool.left, units)} left",
            indent="  ",
        )
