"""The rows of the table on the raise sheet: angle, travel, pull, and what to do there."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Report
from visual.checks.raise_table import ROW_STEP
from visual.raising import RaiseRun
from visual.raising.motion import Array
from visual.scene.layers import degrees_text
from visual.sheets.cells import Cell, FieldTable, Head, Value
from visual.sheets.raise_holds import Hold, holds_on_the_way
from visual.sheets.raise_order import travel_at, travel_word
from visual.units import UnitSystem, format_force, format_length

NONE = "–"
"""Stands where a raise does not come by: below its start."""

_SAME = math.radians(0.05)  # angles nearer than this are one row


def raise_rows(report: Report, *, units: UnitSystem) -> FieldTable:
    """Return the table of the raise: every five degrees, every stop, both raises side by side.

    Parameters
    ----------
    report : Report
        The judged model.
    units : {"metric", "imperial"}
        Units of lengths and forces.
    """
    runs = report.forces.runs[::-1]  # the first raise first
    holds = [holds_on_the_way(report, run, units=units) for run in runs]
    driven, angles = travel_word(report), shown_angles(runs, holds)
    heads = [Head("angle", "right")]
    for name in names_of(runs):
        heads += [Head(f"{name}{driven}", "right"), Head(f"{name}pull", "right")]
    return FieldTable(
        title="Raise: angle, travel, pull, and where to stop",
        heads=(*heads, Head("stop and look", share=1.0)),
        rows=tuple(_row(report, runs, holds, angle, units) for angle in angles),
        notes=tuple(_notes(report)),
        size=0.74,
        marked=frozenset(k for k, angle in enumerate(angles) if _stops(runs, holds, angle)),
    )


def names_of(runs: tuple[RaiseRun, ...]) -> tuple[str, ...]:
    """Return what is written before the headings of each raise; nothing if there is one."""
    if len(runs) == 1:
        return ("",)
    return tuple("with head: " if run.with_head else "first raise: " for run in runs)


def shown_angles(runs: tuple[RaiseRun, ...], holds: list[tuple[Hold, ...]]) -> tuple[float, ...]:
    """Return the raising angles that have a row, lowest first. [rad]"""
    starts = [angle for run in runs for angle, _ in _events(run)]
    whole = np.arange(math.ceil(min(starts) / ROW_STEP), round(math.pi / 2 / ROW_STEP) + 1)
    wanted = [*starts, *(hold.angle for one in holds for hold in one), *(whole * ROW_STEP)]
    shown: list[float] = []
    for angle in sorted(float(one) for one in wanted):
        if not shown or angle - shown[-1] > _SAME:
            shown.append(angle)
    return tuple(shown)


def _row(
    report: Report,
    runs: tuple[RaiseRun, ...],
    holds: list[tuple[Hold, ...]],
    angle: float,
    units: UnitSystem,
) -> tuple[Cell, ...]:
    numbers = [cell for run in runs for cell in _numbers(report, run, angle, units)]
    stops = _stops(runs, holds, angle)
    action = _action(stops) if stops else _event(runs, angle)
    return (Value(degrees_text(angle, 1)), *numbers, action)


def _events(run: RaiseRun) -> Iterator[tuple[float, str]]:
    """Yield the angles [rad] of a raise at which something happens by itself, and what."""
    yield float(run.angles[0]), "lift-off"
    if run.hold_from is not None:
        yield run.hold_from, "the mast goes over by itself: hold it from the back"


def _event(runs: tuple[RaiseRun, ...], angle: float) -> Cell:
    said = [
        f"{name}{words}"
        for name, run in zip(names_of(runs), runs, strict=True)
        for at, words in _events(run)
        if abs(at - angle) <= _SAME
    ]
    return Value("; ".join(said)) if said else ""


def _stops(
    runs: tuple[RaiseRun, ...], holds: list[tuple[Hold, ...]], angle: float
) -> list[tuple[str, str]]:
    """Return the stops at an angle: which raise, and what for."""
    return [
        (name, hold.title)
        for name, one in zip(names_of(runs), holds, strict=True)
        for hold in one
        if abs(hold.angle - angle) <= _SAME
    ]


def _action(actions: list[tuple[str, str]]) -> Cell:
    """Return the stops of a row; both raises together where they stop for the same."""
    titles = {title for _, title in actions}
    if len(titles) == 1:
        prefix = actions[0][0] if len(actions) == 1 else ""
        return Value(f"STOP: {prefix}{_small(titles.pop())}")
    return Value("STOP: " + "; ".join(f"{name}{_small(title)}" for name, title in actions))


def _small(title: str) -> str:
    return title[0].lower() + title[1:]


def _numbers(report: Report, run: RaiseRun, angle: float, units: UnitSystem) -> Iterator[Cell]:
    """Yield travel and pull of one raise at an angle; the largest pull is marked."""
    if angle < run.angles[0] - _SAME:
        yield from (NONE, NONE)
        return
    travel = travel_at(run, angle, parts=report.model.rig.tow.parts)
    yield Value(format_length(travel, units))
    if run.balance_angle is not None and angle > run.balance_angle:
        yield Value("slack")
        return
    pull = value_at(run, run.hauling, angle)
    most = float(np.max(run.hauling))
    mark = "largest" if not math.isnan(most) and math.isclose(pull, most, rel_tol=1e-6) else ""
    yield Value(format_force(pull, units), mark)


def value_at(run: RaiseRun, values: Array, angle: float) -> float:
    """Return a value of every step at an angle between steps."""
    return float(np.interp(angle, run.angles, values))


def _notes(report: Report) -> Iterator[str]:
    where = "winch" if report.model.rig.tow.by == "winch" else "hitch"
    yield f"Pull at the {where}. Everything stands still at every step: no jerks, no wind, no ice."
    yield f"Travel counts from lift-off: mark it on lane or line. {NONE} below the start."
