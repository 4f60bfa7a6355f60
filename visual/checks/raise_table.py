"""The table of the raise: angle, travel, forces, and what is done by hand on the way."""

import csv
import io
import math
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from visual.checks.capacity import as_force, as_length, degrees
from visual.checks.report import Report
from visual.model import Model
from visual.raising import RaiseRun
from visual.raising.motion import Array
from visual.units import FORCE_UNITS, LENGTH_UNITS, STRESS_UNITS, UnitSystem

WIDTH = 100
ROW_STEP = math.radians(5.0)
MARK = "*"
MOST_LEVELS = 2  # lift wires with a column each; with more of them the largest is shown

NOTE = (
    f"{MARK} marks the worst of a column. Lift 1 is the wire to the lowest collar. Gin pole: "
    "thrust, minus where it is pulled. Hinge: force of the base on the mast, minus to the back. "
    "Everything stands still at every step: no jerks, no wind, no ice. What is assumed: "
    "docs/forces.md."
)


@dataclass(frozen=True)
class Column:
    """One column of the table.

    Parameters
    ----------
    title, unit : str
        Heading and unit.
    values : ndarray, shape (n,)
        One value a step, in `unit`.
    decimals : int
        Digits after the point.
    marked : bool
        True if the worst is marked: the largest without its sign.
    """

    title: str
    unit: str
    values: Array
    decimals: int
    marked: bool = True

    @property
    def worst(self) -> int | None:
        """Step of the largest value, without its sign; None where any is unknown or all are 0."""
        size = np.abs(self.values)
        if not self.marked or np.isnan(size).any() or size.max() == 0.0:
            return None
        return int(np.argmax(size))

    def cell(self, step: int) -> str:
        """Return the cell of one step, marked if it is the worst."""
        value = float(self.values[step])
        shown = "unknown" if math.isnan(value) else f"{value:z.{self.decimals}f}"
        return shown + (MARK if step == self.worst else " ")


def raise_table(report: Report, *, first: bool = False) -> tuple[str, ...]:
    """Return the lines of the table, at most 100 columns wide.

    Parameters
    ----------
    report : Report
        The judged model.
    first : bool
        True for the first raise, without the head.
    """
    run = report.forces.bare if first else report.forces.loaded
    columns = raise_columns(report.model, run)
    widths = [7, *(max(9, len(column.title) + 1) for column in columns[1:])]
    heading = "".join(c.title.rjust(w - 1) + " " for c, w in zip(columns, widths, strict=True))
    units = "".join(c.unit.rjust(w - 1) + " " for c, w in zip(columns, widths, strict=True))
    rows = [
        "".join(c.cell(step).rjust(w) for c, w in zip(columns, widths, strict=True)).rstrip()
        for step in shown_steps(run, columns)
    ]
    rule = "-" * min(WIDTH, sum(widths))
    actions = [line for text in hand_actions(report, run) for line in _item(text)]
    head = "with the head" if run.with_head else "without a head"
    return (
        f"Raise {head}, {run.weights.mass:.0f} kg in all",
        heading.rstrip(),
        units.rstrip(),
        rule,
        *rows,
        rule,
        *textwrap.wrap(NOTE, WIDTH),
        "",
        "By hand",
        *actions,
    )


def raise_columns(model: Model, run: RaiseRun) -> tuple[Column, ...]:
    """Return the columns of the table, in the units of the site's results."""
    system = model.site.site.units
    force, length, stress = _units(system)
    winch = model.rig.tow.by == "winch"
    driven = run.tow.travel * model.rig.tow.parts  # of all parts of line a winch takes in
    columns = [
        Column("angle", "deg", np.degrees(run.angles), 1, marked=False),
        Column("wound in" if winch else "travel", length[0], driven / length[1], 2, False),
        Column("pull", force[0], run.tow_tension / force[1], force[2]),
    ]
    if winch or model.rig.tow.through_front_anchor:
        columns.append(
            Column("winch" if winch else "hitch", force[0], run.hauling / force[1], force[2])
        )
    lifts = run.lift_wires / force[1]
    if lifts.shape[1] > MOST_LEVELS:
        columns.append(Column("lift wire", force[0], lifts.max(axis=1), force[2]))
    else:
        named = [f"lift {level + 1}" for level in range(lifts.shape[1])]
        columns += [
            Column(name, force[0], lifts[:, level], force[2]) for level, name in enumerate(named)
        ]
    return (
        *columns,
        Column("gin pole", force[0], run.gin_compression / force[1], force[2]),
        Column("hinge fwd", force[0], run.hinge[:, 0] / force[1], force[2]),
        Column("hinge up", force[0], run.hinge[:, 1] / force[1], force[2]),
        Column("mast", stress[0], run.mast_stress / stress[1], 1),
        Column("hold back", force[0], run.hold_back / force[1], force[2]),
    )


def _units(
    system: UnitSystem,
) -> tuple[tuple[str, float, int], tuple[str, float], tuple[str, float]]:
    """Return name, size and decimals of the units of force, length and stress."""
    if system == "metric":
        return ("kN", 1e3, 2), ("m", 1.0), ("MPa", 1e6)
    return (
        ("lbf", FORCE_UNITS["lbf"], 0),
        ("ft", LENGTH_UNITS["ft"]),
        ("ksi", STRESS_UNITS["ksi"]),
    )


def shown_steps(run: RaiseRun, columns: tuple[Column, ...]) -> tuple[int, ...]:
    """Return the steps that are printed: every five degrees, both ends, and every worst one."""
    wanted = {0, run.angles.size - 1}
    for angle in np.arange(math.ceil(run.angles[0] / ROW_STEP), 19) * ROW_STEP:
        wanted.add(int(np.argmin(np.abs(run.angles - angle))))
    wanted |= {column.worst for column in columns if column.worst is not None}
    if run.balance_angle is not None:
        wanted.add(int(np.searchsorted(run.angles, run.balance_angle)))
    return tuple(sorted(step for step in wanted if step < run.angles.size))


def hand_actions(report: Report, run: RaiseRun) -> Iterator[str]:
    """Yield what is done by hand, in the order of the raise, one sentence each."""
    model, forces = report.model, report.forces
    yield _walk(report)
    for wire in forces.wires:
        if wire.cure is not None:
            yield (
                f"before lifting: slacken wire {wire.change.name} by "
                f"{as_length(model, wire.cure.pay_out)} ({wire.cure.turns:.0f} turns); it may have "
                f"its length again from {degrees(wire.cure.until)}; until then it does not hold "
                "the mast sideways: better move the anchor"
            )
    yield from _lift_off(model, run)
    pulled = np.flatnonzero(run.gin_compression < 0)
    if pulled.size:
        yield (
            f"from {degrees(float(run.angles[pulled[0]]))}: the line pulls the gin pole off its "
            "foot; it must be pinned there"
        )
    yield from _near_upright(report, run)


def _walk(report: Report) -> str:
    walk = report.forces.hand
    force, angle = walk.worst
    tip = as_force(report.model, float(walk.tip_force[0]))
    over = (
        "the tow line never gets a lever"
        if walk.take_over is None
        else f"the tow line can take over from {degrees(walk.take_over)} (the trade says about 45°)"
    )
    return (
        f"gin pole: {walk.people} people walk it up; {tip} lift its tip off the ground, up to "
        f"{as_force(report.model, force)} at {degrees(angle)} of the pole; {over}"
    )


def _lift_off(model: Model, run: RaiseRun) -> Iterator[str]:
    start = run.angles[0]
    if math.isnan(run.tow_tension[0]):
        yield f"at {degrees(float(start))}: the pull at lift-off is unknown"
        return
    yield (
        f"at {degrees(float(start))}: lift-off with {as_force(model, float(run.tow_tension[0]))}; "
        "stop as soon as the mast is clear of its support and look at every anchor, shackle and "
        "wire"
    )


def _near_upright(report: Report, run: RaiseRun) -> Iterator[str]:
    model = report.model
    if run.over_centre is not None:
        angle = degrees(float(run.angles[run.over_centre]))
        yield f"at {angle}: the tow line has no lever left; it cannot be raised further like this"
    if run.hold_from is not None and not math.isnan(run.hold_back[-1]):
        hold = as_force(model, float(run.hold_back.max()))
        yield (
            f"from {math.degrees(run.hold_from):.1f}°: the mast goes over by itself and the "
            f"tow line goes slack; a line on the back in hand, up to {hold} in the top back wire"
        )
        yield (
            "going down: with the tow line tight all the while, pull it back with "
            f"{hold} in the top back wire until {math.degrees(run.hold_from):.1f}°"
        )
    yield "upright: stop; move the front wires to their anchor one at a time"


def _item(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="- ", subsequent_indent="  ")


def raise_csv(report: Report, *, first: bool = False) -> str:
    """Return every step as comma-separated text: degrees, metres, newtons, pascals.

    Parameters
    ----------
    report : Report
        The judged model.
    first : bool
        True for the first raise, without the head.
    """
    run = report.forces.bare if first else report.forces.loaded
    columns: dict[str, Array] = {
        "angle_deg": np.degrees(run.angles),
        "travel_m": run.tow.travel,
        "pull_N": run.tow_tension,
        "hitch_N": run.hauling,
        "hitch_going_down_N": run.letting_out,
    }
    for level in range(run.lift_wires.shape[1]):
        columns[f"lift_wire_{level + 1}_N"] = run.lift_wires[:, level]
    columns |= {
        "gin_pole_N": run.gin_compression,
        "gin_pole_Pa": run.gin_stress,
        "hinge_front_N": run.hinge[:, 0],
        "hinge_up_N": run.hinge[:, 1],
        "mast_Nm": run.mast_moment,
        "mast_Pa": run.mast_stress,
        "hold_back_N": run.hold_back,
    }
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    for row in zip(*columns.values(), strict=True):
        writer.writerow(["" if math.isnan(value) else repr(float(value)) for value in row])
    return text.getvalue()
