"""Plumb as lines of text."""

from collections.abc import Iterator

from visual.crew.columns import heading, paragraph, table
from visual.crew.plumb import CONTRADICTION, DISAGREE, PLUMB, TURN_PARTS, Plumb, WireTurn
from visual.crew.plumb_rounds import LOOSE
from visual.units import UnitSystem, format_force, format_length


def plumb_lines(found: Plumb, *, units: UnitSystem) -> list[str]:
    """Return the plumb correction as lines at most 100 columns wide."""
    return [
        *heading("Lean"),
        *_lean(found, units),
        *heading("Turnbuckles"),
        *_wires(found, units),
        *heading("Order of work"),
        *_rounds(found),
        *heading("Then"),
        *_after(found, units),
    ]


def _lean(found: Plumb, units: UnitSystem) -> Iterator[str]:
    front, right = found.top_to_front, found.top_to_right
    state = "plumb enough" if found.is_plumb else "out of plumb"
    yield from paragraph(
        f"The mast top is {_tape(abs(front), units)} to the {'front' if front >= 0 else 'back'} "
        f"and {_tape(abs(right), units)} to the {'right' if right >= 0 else 'left'}: "
        f"{found.lean_size:.2%} of the height, {state} (limit {PLUMB:.2%})."
    )
    for reading, off in found.readings:
        if abs(off) > DISAGREE:
            yield from paragraph(
                f"DOES NOT GO TOGETHER: {reading.text} is {abs(off):.0f} standard deviations off "
                "the others. Is its sign right? Read it again before turning anything."
            )
    if found.contradiction > CONTRADICTION:
        yield from paragraph(
            "DOES NOT GO TOGETHER: on tensions as they were read the mast would not stand where it "
            f"is seen to stand; they are off by up to {found.contradiction:.0%} of the initial "
            "tension. Read the gauges again."
        )


def _wires(found: Plumb, units: UnitSystem) -> Iterator[str]:
    yield from table(
        ("wire", "tension", "wanted", "change", "turns", ""),
        [
            (
                wire.name,
                format_force(wire.tension, units) + ("" if wire.read else " *"),
                format_force(wire.wanted, units),
                _change(wire.change, units),
                f"{wire.turns:+.2f}",
                "" if wire.room else "beyond half the travel",
            )
            for wire in found.wires
        ],
    )
    if not all(wire.read for wire in found.wires):
        yield from paragraph(
            "* not read: worked out, as balanced about the mean of those read, or the initial "
            "tension."
        )
    if not found.per_turn_stated:
        yield from paragraph(
            f"One turn is taken as {found.per_turn * 1000:.1f} mm. Turn one and measure; if yours "
            "differs, state turnbuckle.per_turn in the site file."
        )
    kept = (
        "The mean tension of every level stays."
        if found.mean_kept
        else ("The mean tension is more than a tenth off the initial one, and is brought to it.")
    )
    yield from paragraph(f"+ lengthen, − shorten. {kept}")


def _rounds(found: Plumb) -> Iterator[str]:
    rounds = found.rounds
    if rounds.count == 0:
        yield "Nothing to turn."
        return
    times = "once" if rounds.count == 1 else f"{rounds.count} times"
    yield from paragraph(
        f"Go around {times}; in each round one wire after the other, from left to right "
        "(turns; − shorten, + lengthen):"
    )
    yield from table(("round", *(wire.name for wire in _in_order(found))), _round_rows(found))
    low, high = f"{rounds.lowest:.0%}", f"{rounds.highest:.0%}"
    yield from paragraph(
        f"Tensions stay between {low} and {high} of the initial tension on the way."
    )
    if not rounds.never_loose:
        yield from paragraph(
            f"LOOSE: a wire is below {LOOSE:.0%} of its initial tension on the way. Begin by "
            "tightening what is loose by hand, and read again."
        )
    yield from paragraph("Look at the mast from two sides after every round, and stop when plumb.")


def _in_order(found: Plumb) -> list[WireTurn]:
    wires = {wire.key: wire for wire in found.wires}
    return [wires[key] for key, _ in found.rounds.steps]


def _round_rows(found: Plumb) -> Iterator[list[str]]:
    """Yield the rounds; what is rounded off in one round is made good in the next."""
    count, steps = found.rounds.count, found.rounds.steps

    def so_far(change: float, rounds: int) -> float:
        return round(change * rounds / found.per_turn * TURN_PARTS) / TURN_PARTS

    for number in range(1, count + 1):
        turned = [so_far(change, number) - so_far(change, number - 1) for _, change in steps]
        yield [str(number), *(f"{value:+.2f}" if value else "0" for value in turned)]


def _after(found: Plumb, units: UnitSystem) -> Iterator[str]:
    yield from paragraph(
        f"Worked out anew with all wires as they then are, the mast top is "
        f"{_tape(found.top_after, units)} off. Gauge readings then:"
    )
    yield from table(
        ("wire", "tension"),
        [(wire.name, format_force(found.after.tensions[wire.key], units)) for wire in found.wires],
    )


def _change(metres: float, units: UnitSystem) -> str:
    if units == "imperial":
        shown = format_length(metres, units)
        return shown if shown.startswith("-") else f"+{shown}"
    return f"{metres * 1000:+.0f} mm"


def _tape(metres: float, units: UnitSystem) -> str:
    return format_length(metres, units, decimals=3)
