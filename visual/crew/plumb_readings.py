"""Readings of how the mast leans, and of the tension of its wires."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from visual.crew.reading_table import (
    CellError,
    TableRow,
    degrees,
    every_row,
    force,
    length,
    read_rows,
    word,
)
from visual.crew.standing import Key, wire_keys
from visual.errors import InputError
from visual.model import Model, Vector, wire_name
from visual.rig import SIDES

COLUMNS = ("reading", "from", "to", "value", "sigma", "height", "distance", "note")
KINDS = ("offset", "angle", "lean", "bob", "tension")

SIGMAS: Mapping[str, float] = {
    "offset": 0.01,
    "angle": math.radians(0.02),
    "lean": math.radians(0.1),
    "bob": 0.005,
}
"""One standard deviation where a row states none; common practice, no source. [m] or [rad]"""


@dataclass(frozen=True)
class LeanReading:
    """One reading of the lean, in one direction.

    Parameters
    ----------
    line : int
        Line in the file.
    text : str
        What the report calls it.
    bearing : float
        Grid bearing of the direction in which it is positive. [rad]
    lean : float
        Lean in that direction over the height. [1]
    sigma : float
        One standard deviation of it. [1]
    """

    line: int
    text: str
    bearing: float
    lean: float
    sigma: float

    @property
    def direction(self) -> Vector:
        """Unit vector in which it is positive, x and y, shape (2,)."""
        return np.array([math.sin(self.bearing), math.cos(self.bearing)])


@dataclass(frozen=True)
class PlumbReadings:
    """A file of plumb readings.

    Parameters
    ----------
    leans : tuple of LeanReading
        In the order of the file.
    tensions : mapping of (side, level) to float
        Tensions read by gauge at the anchor. [N]
    """

    leans: tuple[LeanReading, ...]
    tensions: Mapping[Key, float]


def read_plumb_readings(path: Path, model: Model) -> PlumbReadings:
    """Read a file of plumb readings.

    Raises
    ------
    InputError
        With every row that cannot be used, or if the lean was not seen from two sides.
    """
    rows = read_rows(path, columns=COLUMNS, needed=("reading", "value"))
    names = {wire_name(model, side, level): (side, level) for side, level in wire_keys(model)}

    def read(row: TableRow) -> LeanReading | tuple[Key, float]:
        kind = word(row, "reading", KINDS)
        return _tension(row, names) if kind == "tension" else _lean(row, kind, model)

    found = every_row(rows, read)
    leans = tuple(one for one in found if isinstance(one, LeanReading))
    tensions = dict(one for one in found if not isinstance(one, LeanReading))
    _check_two_sides(leans, str(path))
    return PlumbReadings(leans, tensions)


def _tension(row: TableRow, names: Mapping[str, Key]) -> tuple[Key, float]:
    name = word(row, "to")
    if name not in names:
        rule = f"there is no wire {name!r} (wires: {', '.join(names)})"
        raise CellError(row.problem("to", rule, "write its name as in the wire schedule"))
    value = force(row, "value")
    if value < 0:
        raise CellError(row.problem("value", "a wire does not push", "correct it"))
    return names[name], value


def _lean(row: TableRow, kind: str, model: Model) -> LeanReading:
    units = model.site.site.units
    height = length(row, "height", units, model.rig.mast.length)
    if not 0 < height <= model.rig.mast.reach:
        rule = f"must be on the mast, above 0 and at most {model.rig.mast.reach:.2f} m"
        raise CellError(row.problem("height", rule, "give the height above the hinge"))
    if kind in ("offset", "angle"):
        seen_from = _bearing(row, "from", model)
        # looking from there at the mast, right is a quarter turn counter-clockwise of there
        bearing = seen_from - math.pi / 2
        where = f"{kind} seen from {row.cells['from']}, + right"
    else:
        bearing = _bearing(row, "to", model)
        where = f"{kind} to {row.cells['to']}"
    lean, sigma = _lean_and_sigma(row, kind, height, model)
    return LeanReading(
        line=row.line,
        text=f"row {row.line}: {where}",
        bearing=bearing % math.tau,
        lean=lean,
        sigma=sigma,
    )


def _lean_and_sigma(row: TableRow, kind: str, height: float, model: Model) -> tuple[float, float]:
    units = model.site.site.units
    if kind in ("offset", "bob"):
        value = length(row, "value", units)
        return _small(row, value / height), length(row, "sigma", units, SIGMAS[kind]) / height
    angle = degrees(row, "value")
    sigma = degrees(row, "sigma", SIGMAS[kind])
    if kind == "lean":
        return _small(row, math.tan(angle)), sigma
    distance = length(row, "distance", units)
    if distance <= 0:
        raise CellError(row.problem("distance", "must be more than nothing", "correct it"))
    return _small(row, distance * math.tan(angle) / height), distance * sigma / height


def _small(row: TableRow, lean: float) -> float:
    if not abs(lean) < 0.2:
        rule = "the mast would lean by more than 1 in 5, which no turnbuckle takes up"
        raise CellError(row.problem("value", rule, "correct the value, or its height or distance"))
    return lean


def _bearing(row: TableRow, column: str, model: Model) -> float:
    """Return the grid bearing of a side of the mast, or one written in degrees. [rad]"""
    text = word(row, column)
    for number, side in enumerate(SIDES):
        if text == side:
            return model.rig.front + number * math.pi / 2
    try:
        return degrees(row, column)
    except CellError:
        rule = f"must be one of {', '.join(SIDES)}, or a grid bearing in degrees"
        raise CellError(row.problem(column, rule, "write the side that is meant")) from None


def _check_two_sides(leans: tuple[LeanReading, ...], file: str) -> None:
    directions = np.array([reading.direction for reading in leans])
    if len(leans) > 1 and np.linalg.svd(directions)[1][-1] > 0.3:
        return
    raise InputError.one(
        file=file,
        key="",
        value=None,
        rule="the lean must be read from two sides that are about square to each other",
        way_out="read it from the front or back, and from the left or right",
    )
