"""The printed table of the raise: angle, travel and forces, limits, and what is done by hand."""

import math
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from visual.checks.capacity_lines import working_load
from visual.checks.hand_actions import hand_actions
from visual.checks.report import Report
from visual.model import Model
from visual.raising import RaiseRun
from visual.raising.forces_pole import pole_strut
from visual.raising.motion import Array
from visual.units import FORCE_UNITS, LENGTH_UNITS, STRESS_UNITS, UnitSystem, format_mass

WIDTH = 100
ROW_STEP = math.radians(5.0)
MARK = "*"
MOST_LEVELS = 2  # lift wires with a column each; with more of them the largest is shown

NOTE = (
    f"{MARK} marks the worst of a column. Pull: on the gin-pole tip. Lift 1 is the wire to the "
    "lowest collar. Gin pole: thrust, minus where it is pulled. Hinge: force of the base on the "
    "mast, minus to the back. Mast: largest stress along it. Hold back: in the top back wire. "
    "Limit: working load of line and wires, buckling of the gin pole, yield, each with its factor; "
    "what the vehicle can pull is in hillmast check."
)
ASSUMED = (
    "Everything stands still at every step: no jerks, no wind, no ice. Side and back wires pull "
    "nothing until the top back wire holds the mast; their tension comes after the raise. What the "
    "site file does not state (flanges, shackles, cable, steps) weighs nothing. All that is "
    "assumed: docs/forces.md."
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
    limit : float
        The most it may be, in `unit`; NaN where it has no limit of its own.
    """

    title: str
    unit: str
    values: Array
    decimals: int
    marked: bool = True
    limit: float = math.nan

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

    @property
    def limit_cell(self) -> str:
        """Return the cell of the limit; empty where there is none."""
        return "" if math.isnan(self.limit) else f"{self.limit:.{self.decimals}f} "


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
    limits = (
        "limit".rjust(widths[0] - 1)
        + " "
        + "".join(c.limit_cell.rjust(w) for c, w in zip(columns[1:], widths[1:], strict=True))
    )
    rule = "-" * min(WIDTH, sum(widths))
    actions = [line for text in hand_actions(report, run) for line in _item(text)]
    head = "with the head" if run.with_head else "without a head"
    mass = format_mass(run.weights.mass, report.model.site.site.units, decimals=0)
    return (
        f"Raise {head}, {mass} in all",
        *_standing(report),
        heading.rstrip(),
        units.rstrip(),
        rule,
        *rows,
        rule,
        limits.rstrip(),
        "",
        *textwrap.wrap(NOTE, WIDTH),
        *textwrap.wrap(ASSUMED, WIDTH),
        "",
        "By hand",
        *actions,
    )


def _standing(report: Report) -> list[str]:
    """Say what the findings say of this raise, so that no table looks like a permit."""
    stops, unknown = (
        sum(finding.status == status for finding in report.findings)
        for status in ("stop", "not checked")
    )
    if stops:
        return [
            f"STOP: do not raise like this (hillmast check: {stops} stop, {unknown} not checked)"
        ]
    return [f"hillmast check: nothing stops, {unknown} not checked"] if unknown else []


def raise_columns(model: Model, run: RaiseRun) -> tuple[Column, ...]:
    """Return the columns of the table, in the units of the site's results."""
    system = model.site.site.units
    force, length, stress = _units(system)
    winch = model.rig.tow.by == "winch"
    limits = model.site.limits
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
    # the line behind block or tackle feels what its own column shows, else the pull
    columns[-1] = replace(columns[-1], limit=_working(model, model.rig.tow.line) / force[1])
    top = model.rig.mast.collars[-1].wire
    return (
        *columns,
        *_lift_columns(model, run, force),
        Column(
            "gin pole",
            force[0],
            run.gin_compression / force[1],
            force[2],
            limit=pole_strut(model).euler_load / limits.euler_factor.value / force[1],
        ),
        Column("hinge fwd", force[0], run.hinge[:, 0] / force[1], force[2]),
        Column("hinge up", force[0], run.hinge[:, 1] / force[1], force[2]),
        Column(
            "mast",
            stress[0],
            run.mast_stress / stress[1],
            1,
            limit=min(tube.yield_strength for tube in model.rig.mast.sections)
            / limits.yield_factor.value
            / stress[1],
        ),
        Column(
            "hold back",
            force[0],
            run.hold_back / force[1],
            force[2],
            limit=_working(model, top) / force[1],
        ),
    )


def _lift_columns(model: Model, run: RaiseRun, force: tuple[str, float, int]) -> Iterator[Column]:
    """Yield a column for each lift wire, or one for the largest of many."""
    lifts = run.lift_wires / force[1]
    limits = [_working(model, collar.wire) / force[1] for collar in model.rig.mast.collars]
    if lifts.shape[1] > MOST_LEVELS:
        same = min(limits) == max(limits)
        limit = limits[0] if same else math.nan
        yield Column("lift wire", force[0], lifts.max(axis=1), force[2], limit=limit)
        return
    for level, limit in enumerate(limits):
        yield Column(f"lift {level + 1}", force[0], lifts[:, level], force[2], limit=limit)


def _working(model: Model, wire: str) -> float:
    """Return the working load of a wire type by its name. [N]"""
    return working_load(model, model.rig.wire_types[wire])[0]


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


def _item(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="- ", subsequent_indent="  ")
