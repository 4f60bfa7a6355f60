"""Readings of the crew once the anchors are in: tape, level, compass, clinometer, GPS."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from visual.crew.reading_table import (
    CellError,
    TableRow,
    degrees,
    every_row,
    length,
    number,
    read_rows,
    word,
)
from visual.units import UnitSystem

COLUMNS = (
    "reading",
    "from",
    "to",
    "value",
    "sigma",
    "from_height",
    "to_height",
    "easting",
    "northing",
    "height",
    "note",
)

LENGTH_KINDS = ("slope", "horizontal", "level")
ANGLE_KINDS = ("compass", "bearing", "clinometer")
KINDS = (*LENGTH_KINDS, *ANGLE_KINDS, "gps")

SIGMAS: Mapping[str, float] = {
    "slope": 0.02,
    "horizontal": 0.03,
    "level": 0.01,
    "compass": math.radians(1.0),
    "bearing": math.radians(0.2),
    "clinometer": math.radians(0.5),
    "gps": 3.0,
}
"""One standard deviation where a row states none; common practice, no source. [m] or [rad]"""

GPS_HEIGHT_FACTOR = 2.0
"""Heights of a satellite receiver are about so much worse; common practice, no source."""

FIXED = ("hinge", "base")
"""Points that are known: the middle of the hinge axis, and the ground plumb below it."""


@dataclass(frozen=True)
class Reading:
    """One row of the file.

    Parameters
    ----------
    line : int
        Line in the file.
    kind : str
        One of `KINDS`; or ``"ground"`` for a height taken from the ground data.
    start, end : str
        The points it goes from and to; both the same for a place.
    value : float
        Length [m] or angle [rad]; NaN for a place.
    sigma : float
        One standard deviation. [m] or [rad]
    start_height, end_height : float
        Instrument or tape end above its point. [m]
    place : tuple of float or None
        Easting, northing in the site's grid and height [m] (NaN if not given), of a GPS reading.
    """

    line: int
    kind: str
    start: str
    end: str
    value: float
    sigma: float
    start_height: float = 0.0
    end_height: float = 0.0
    place: tuple[float, float, float] | None = None

    @property
    def name(self) -> str:
        """What the report calls it."""
        if self.kind == "ground":
            return f"ground data at {self.end}"
        where = self.end if self.kind == "gps" else f"{self.start} – {self.end}"
        return f"row {self.line}: {self.kind} {where}"

    @property
    def is_angle(self) -> bool:
        """True if its value is an angle."""
        return self.kind in ANGLE_KINDS


def read_readings(path: Path, *, units: UnitSystem) -> tuple[Reading, ...]:
    """Read a file of readings.

    Parameters
    ----------
    path : Path
        The file; its columns are in `COLUMNS`, its kinds in `KINDS`.
    units : {"metric", "imperial"}
        Units of the site; on an imperial site lengths need their unit.

    Raises
    ------
    InputError
        With every row that cannot be used.
    """
    rows = read_rows(path, columns=COLUMNS, needed=("reading", "to"))
    return tuple(every_row(rows, lambda row: _reading(row, units)))


def _reading(row: TableRow, units: UnitSystem) -> Reading:
    kind = word(row, "reading", KINDS)
    if kind == "gps":
        return _gps(row, units)
    start, end = word(row, "from"), word(row, "to")
    if start == end:
        raise CellError(row.problem("to", "is the same point as from", "name two points"))
    if {start, end} <= set(FIXED):
        rule = "both points are fixed, so the reading tells nothing about the anchors"
        raise CellError(row.problem("to", rule, "remove the row"))
    return Reading(
        line=row.line,
        kind=kind,
        start=start,
        end=end,
        value=_value(row, kind, units),
        sigma=_sigma(row, kind, units),
        start_height=length(row, "from_height", units, 0.0),
        end_height=length(row, "to_height", units, 0.0),
    )


def _value(row: TableRow, kind: str, units: UnitSystem) -> float:
    if kind in LENGTH_KINDS:
        value = length(row, "value", units)
        if kind != "level" and value <= 0:
            raise CellError(row.problem("value", "a tape reads more than nothing", "correct it"))
        return value
    angle = degrees(row, "value")
    if kind == "clinometer" and abs(angle) >= math.pi / 2:
        rule = "a clinometer reads less than 90 degrees up or down"
        raise CellError(row.problem("value", rule, "correct it"))
    if kind != "clinometer" and not 0 <= angle <= math.tau:
        rule = "a bearing is 0 to 360 degrees, clockwise from north"
        raise CellError(row.problem("value", rule, "correct it"))
    return angle


def _sigma(row: TableRow, kind: str, units: UnitSystem) -> float:
    if kind in ANGLE_KINDS:
        sigma = degrees(row, "sigma", SIGMAS[kind])
    else:
        sigma = length(row, "sigma", units, SIGMAS[kind])
    if sigma <= 0:
        rule = "must be more than nothing: no reading is perfect"
        raise CellError(row.problem("sigma", rule, "write how good it is, or leave it empty"))
    return sigma


def _gps(row: TableRow, units: UnitSystem) -> Reading:
    point = word(row, "to")
    height = length(row, "height", units, math.nan)
    place = (number(row, "easting"), number(row, "northing"), height)
    sigma = _sigma(row, "gps", units)
    up = length(row, "to_height", units, 0.0)
    return Reading(row.line, "gps", point, point, math.nan, sigma, end_height=up, place=place)
