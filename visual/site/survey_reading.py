"""Reading a survey file: from cells to points, with everything that is wrong at once."""

import math
from pathlib import Path

from visual.errors import InputError, Problem
from visual.frame.crs import crs_unit_metres, is_local, read_crs
from visual.site.survey import DETAILS, Survey, SurveyPoint
from visual.site.survey_codes import GROUND, SKIP, Code, parse_code
from visual.site.survey_table import Column, Row, SurveyTable, read_table
from visual.units import LENGTH_UNITS


def read_survey(path: Path, *, crs: str, height_unit: str | None = None) -> Survey:
    """Read a survey file.

    Parameters
    ----------
    path : Path
        Table with a header; commas, semicolons or tabs between cells.
    crs : str
        CRS of the points. Coordinates whose header states a unit are turned into its unit.
    height_unit : {"m", "ft", "us-ft"} or None
        Unit of heights whose header states none; metres if None.

    Raises
    ------
    InputError
        With every row and column that cannot be used, or if the CRS is not known.
    """
    table = read_table(path)
    _check_crs(path, crs)
    reader = _PointReader(str(path), table, crs=crs, height_unit=height_unit or "m")
    points = [reader.point(row) for row in table.rows]
    problems = [*reader.header_problems, *table.problems, *reader.problems]
    if not points and not problems:
        problems = [Problem(str(path), "", None, "it holds no point", "add the surveyed points")]
    if problems:
        raise InputError(problems)
    return Survey(str(path), crs, tuple(points))


def _check_crs(path: Path, crs: str) -> None:
    if is_local(crs):
        return
    try:
        read_crs(crs)
    except ValueError as error:
        rule, _, way_out = str(error).partition("; ")
        raise InputError.one(
            file=str(path), key="crs", value=crs, rule=rule, way_out=way_out or "correct it"
        ) from None


class _PointReader:
    """Reads rows as points and collects the cells that cannot be used."""

    def __init__(self, file: str, table: SurveyTable, *, crs: str, height_unit: str) -> None:
        self.file = file
        self.table = table
        self.problems: list[Problem] = []
        self.header_problems: list[Problem] = []
        self._codes: dict[str, Code] = {}
        height = table.columns["height"]
        self._factors = {
            "easting": self._factor(table.columns["easting"], crs),
            "northing": self._factor(table.columns["northing"], crs),
            "height": LENGTH_UNITS[height_unit] if height.unit is None else height.unit,
        }

    def _factor(self, column: Column, crs: str) -> float:
        """Return units of the CRS in a unit of the column."""
        geographic = not is_local(crs) and read_crs(crs).is_geographic
        is_angle = column.degrees or column.title.lower().startswith(("lon", "lat"))
        if geographic != is_angle and (is_angle or column.unit is not None):
            rule = f"the column does not fit the CRS {crs}, which is {'not ' * is_angle}in degrees"
            way_out = "correct site.crs or the header"
            self.header_problems.append(Problem(self.file, "header", column.title, rule, way_out))
            return 1.0
        return 1.0 if column.unit is None else column.unit / crs_unit_metres(crs)

    def point(self, row: Row) -> SurveyPoint:
        """Return the point of a row; what cannot be read is NaN and noted."""
        code = self._code(row)
        return SurveyPoint(
            name=row.cells.get("point", ""),
            easting=self._number(row, "easting"),
            northing=self._number(row, "northing"),
            height=self._number(row, "height", optional=code is not GROUND),
            code=code,
            row=row.line,
            properties=self._properties(row),
        )

    def _number(self, row: Row, name: str, *, optional: bool = False) -> float:
        text = row.cells.get(name, "")
        if not text:
            if not optional:
                self._refuse(row, name, None, "the cell is empty", "fill it in or remove the row")
            return math.nan
        try:
            number = float(self._plain(text))
        except ValueError:
            number = math.nan
        if not math.isfinite(number):
            way_out = "write a plain number; the unit belongs into the header"
            self._refuse(row, name, text, "must be a number", way_out)
        return number * self._factors[name]

    def _plain(self, text: str) -> str:
        comma = self.table.decimal_comma and text.count(",") == 1 and "." not in text
        return text.replace(",", ".") if comma else text

    def _code(self, row: Row) -> Code:
        text = row.cells.get("code", "")
        if text not in self._codes:
            try:
                self._codes[text] = parse_code(text)
            except ValueError as error:
                # told once for each code, not once for each point
                self._codes[text] = SKIP
                rule, _, way_out = str(error).partition("; ")
                self._refuse(row, "code", text, rule, way_out)
        return self._codes[text]

    def _properties(self, row: Row) -> dict[str, str]:
        """Return what the row says of its feature; lengths take the unit of the header along."""
        said = {}
        for name in ("feature_height", *DETAILS):
            text = self._plain(row.cells.get(name, ""))
            unit = self.table.columns[name].unit if name in self.table.columns else None
            if text:
                said[name] = _with_unit(text, unit)
        return said

    def _refuse(self, row: Row, name: str, value: object, rule: str, way_out: str) -> None:
        place = f"row {row.line}, column {name}"
        self.problems.append(Problem(self.file, place, value, rule, way_out))


def _with_unit(text: str, unit: float | None) -> str:
    try:
        return text if unit is None else f"{float(text) * unit!r} m"
    except ValueError:  # it has its own unit, or is wrong; the rules of the kind will tell
        return text
