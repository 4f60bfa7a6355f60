"""The rows of the field sheet: what a crew sets out, cuts, reads and writes down."""

import math
from collections.abc import Iterator

import numpy as np

from visual.crew.stake import StakedAnchor, StakeOut, TapeCheck
from visual.crew.wire_schedule import WireRow, WireSchedule
from visual.model import Model
from visual.rig import SIDES, Side
from visual.sheets.cells import Blank, Cell, FieldTable, Head, Tick, Value
from visual.units import UnitSystem, format_angle, format_force, format_length

UNKNOWN = "unknown"


def set_out_table(stake: StakeOut, *, units: UnitSystem) -> FieldTable:
    """Return where each anchor peg goes, seen from the base peg."""
    compass = any(anchor.bearing_magnetic is not None for anchor in stake.anchors)
    front = None if compass else _front(stake)
    return FieldTable(
        title="Set out: from the base peg to each anchor peg, both on the ground",
        heads=(
            Head("anchor"),
            Head("compass" if compass else "clockwise from front", "right"),
            Head("tape level", "right"),
            Head("tape straight", "right"),
            Head("rise", "right"),
            Head("eye above peg", "right"),
            Head("peg in", "center"),
            Head("tape read", share=1.0),
        ),
        rows=tuple(_set_out_row(anchor, front, units) for anchor in stake.anchors),
        notes=tuple(_set_out_notes(compass)),
    )


def _set_out_row(anchor: StakedAnchor, front: float | None, units: UnitSystem) -> tuple[Cell, ...]:
    return (
        Value(anchor.side, "as built" if anchor.as_built else "planned"),
        _bearing(anchor, front),
        Value(format_length(anchor.horizontal, units)),
        Value(format_length(anchor.straight, units)),
        Value(signed(anchor.rise, units), _slope(anchor.vertical_angle)),
        Value(format_length(anchor.eye_above_peg, units)),
        Tick(),
        Blank(length_unit(units)),
    )


def _front(stake: StakeOut) -> float:
    """Return the bearing that the others are counted from: that of the front anchor. [rad]"""
    return next(anchor.bearing_grid for anchor in stake.anchors if anchor.side == "front")


def _bearing(anchor: StakedAnchor, front: float | None) -> Value:
    """Return the compass bearing, or the angle from the front where there is none."""
    grid = format_angle(anchor.bearing_grid % math.tau)
    if front is not None:
        turn = round((anchor.bearing_grid - front) % math.tau, 9) % math.tau
        return Value(format_angle(turn), f"grid {grid}")
    magnetic = anchor.bearing_magnetic
    read = UNKNOWN if magnetic is None else format_angle(magnetic % math.tau)
    return Value(read, f"grid {grid}")


def _slope(angle: float) -> str:
    if math.isnan(angle):
        return UNKNOWN
    size = f"{abs(math.degrees(angle)):.1f}°"
    return "level" if size == "0.0°" else f"{size} {'up' if angle > 0 else 'down'}"


def _set_out_notes(compass: bool) -> list[str]:
    notes = ["Base peg plumb below the hinge."]
    if compass:
        notes.append("Compass: magnetic bearing, clear of iron.")
    else:
        notes.append(
            "Compass bearings are not known here: angles from the line to the front anchor."
        )
    return notes


def tape_table(stake: StakeOut, *, units: UnitSystem) -> FieldTable:
    """Return the tapes between anchor pegs that check the setting out."""
    return FieldTable(
        title="Check before an anchor goes in: tape held straight, peg to peg",
        heads=(
            Head("from – to"),
            Head("must read", "right"),
            Head("agrees", "center"),
            Head("tape read", share=1.0),
        ),
        rows=tuple(_tape_row(tape, units) for tape in stake.tapes),
    )


def _tape_row(tape: TapeCheck, units: UnitSystem) -> tuple[Cell, ...]:
    across = "across" if tape.opposite else ""
    return (
        Value(f"{tape.start} – {tape.end}", across),
        Value(format_length(tape.straight, units)),
        Tick(),
        Blank(length_unit(units)),
    )


# --- as built -----------------------------------------------------------------------------------


def as_built_table(model: Model, *, units: UnitSystem) -> FieldTable:
    """Return the readings that find the anchors as built, with what they should be about."""
    hinge = [("hinge", side) for side in SIDES]
    around = [(SIDES[k], SIDES[(k + 1) % 4]) for k in range(4)]
    across: list[tuple[str, Side]] = [("front", "back"), ("right", "left")]
    pairs = [*hinge, *around, *across]
    return FieldTable(
        title="As built: read once the anchors are in, at hinge and eyes",
        heads=(
            Head("from – to"),
            Head("tape, about", "right"),
            Head("tape read", share=1.0),
            Head("level, about", "right"),
            Head("level read", share=1.0),
            Head("compass read", share=0.8),
        ),
        rows=tuple(_reading_row(model, start, end, units) for start, end in pairs),
        notes=(
            "Level: how much higher the second point is than the first.",
            "Type these readings into a table: hillmast asbuilt finds the anchors, and any slip.",
        ),
    )


def _reading_row(model: Model, start: str, end: Side, units: UnitSystem) -> tuple[Cell, ...]:
    away = _point(model, end) - _point(model, start)
    is_across = {start, end} in ({"front", "back"}, {"right", "left"})
    unit = length_unit(units)
    return (
        Value(f"{start} – {end}"),
        Value(format_length(float(np.linalg.norm(away)), units)),
        Blank(unit),
        "" if is_across else Value(signed(float(away[2]), units)),
        "" if is_across else Blank(unit),
        Blank("°") if start == "hinge" else "",
    )


def _point(model: Model, name: str) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    found = [anchor.eye for side, anchor in model.anchors.items() if side == name]
    return np.asarray(found[0] if found else np.zeros(3))


# --- wires --------------------------------------------------------------------------------------


def wire_table(schedule: WireSchedule, *, units: UnitSystem) -> FieldTable:
    """Return one row a wire: where to mark and cut it, how tight to set it, what was read."""
    tips = any(row.marks.tip is not None for row in schedule.rows)
    heads = [
        Head("wire"),
        Head("cut at", "right"),
        Head("lower thimble at", "right"),
        *([Head("hold at gin tip", "right")] if tips else []),
        Head("cut", "center"),
        Head("tape read", share=1.0),
        Head("gauge at the anchor", "right"),
        Head("gauge read", share=1.0),
        Head("secured", "center"),
    ]
    return FieldTable(
        title="Wires: tape from the bearing of the collar thimble",
        heads=tuple(heads),
        rows=tuple(_wire_row(row, tips, units) for row in schedule.rows),
        notes=tuple(_wire_notes(schedule, units)),
    )


def _wire_row(row: WireRow, tips: bool, units: UnitSystem) -> tuple[Cell, ...]:
    marks = row.marks
    tip: list[Cell] = []
    if tips:
        tip = [Value(tape(marks.tip, units)) if marks.tip is not None else ""]
    return (
        Value(row.wire.name, f"{row.kind}, {row.standing}"),
        Value(tape(marks.cut, units), f"± {tape(row.wire.straight_length_pm, units)}"),
        Value(
            tape(marks.lower_thimble, units),
            f"{tape(marks.earliest, units)} … {tape(marks.latest, units)}",
        ),
        *tip,
        Tick(),
        Blank(length_unit(units)),
        Value(
            format_force(row.balanced_tension, units),
            f"{format_force(row.gauge[0], units)} … {format_force(row.gauge[1], units)}",
        ),
        Blank(force_unit(row.balanced_tension, units)),
        Tick(),
    )


def _wire_notes(schedule: WireSchedule, units: UnitSystem) -> list[str]:
    half = tape(schedule.rows[0].half_travel, units)
    notes = [
        f"Turnbuckle half open: it gives and takes {half}. Lay each wire out straight, unloaded.",
    ]
    short = [row.wire.name for row in schedule.rows if row.take_up != "enough"]
    if short:
        notes.append(
            f"The turnbuckle may not take up the ± of {listed(short)}: "
            "cut these after the anchors are in and measured."
        )
    return [*notes, *_change_over_notes(schedule, units)]


def _change_over_notes(schedule: WireSchedule, units: UnitSystem) -> Iterator[str]:
    """Yield one sentence for all front wires that get their other length in the same way."""
    ways: dict[str, list[str]] = {}
    for row in schedule.rows:
        over = row.change_over
        if over is None:
            continue
        if abs(over.difference) <= row.half_travel:
            way = "From tip to anchor by the turnbuckle"
        elif over.difference > 0:
            way = "Held at the gin-tip mark, or cut there with a rated extension at the anchor"
        else:
            way = "For the raise a rated extension between wire and tip"
        ways.setdefault(way, []).append(f"{over.name} {tape(abs(over.difference), units)}")
    for way, names in ways.items():
        yield f"{way}: {listed(names)}."


# --- words --------------------------------------------------------------------------------------


def tape(metres: float, units: UnitSystem) -> str:
    """Return a length as a tape shows it: millimetres, or sixteenths of an inch."""
    return format_length(metres, units, decimals=3)


def signed(metres: float, units: UnitSystem) -> str:
    """Return a height difference with its sign."""
    text = format_length(metres, units)
    if text == UNKNOWN or not text.strip("-0. minft"):  # nothing is left of a nought
        return text
    return f"−{text.removeprefix('-')}" if text.startswith("-") else f"+{text}"


def length_unit(units: UnitSystem) -> str:
    """Return what a length is written down in."""
    return "m" if units == "metric" else "ft  in"


def force_unit(newtons: float, units: UnitSystem) -> str:
    """Return the unit in which a force of about this size is written down. [N]"""
    return format_force(newtons, units).rpartition(" ")[2]


def opened(text: str) -> str:
    """Return a text with a capital to begin with; the rest stays as it is."""
    return text[:1].upper() + text[1:]


def listed(names: list[str]) -> str:
    """Return names in a row: ``"a, b and c"``."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
