"""Reading surveyed points: the ground, and what stands on it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from visual.errors import InputError, Problem
from visual.frame import Frame
from visual.frame.crs import crs_unit_metres, is_local, read_crs
from visual.site.feature import Feature, RawFeature
from visual.site.feature_maker import FeatureMaker
from visual.site.kinds import KIND_RULES, Kind
from visual.site.survey_codes import GROUND, SKIP, Code, parse_code
from visual.site.survey_table import SPELLINGS, Column, Row, SurveyTable, read_table
from visual.units import LENGTH_UNITS

_DETAILS = ("crown_radius", "voltage_kv", "sag", "spread", "eye_height")


@dataclass(frozen=True)
class SurveyPoint:
    """One surveyed point.

    Parameters
    ----------
    name : str
        Name or number; empty if it has none.
    easting, northing : float
        In the unit of the site's CRS.
    height : float
        In the height system of the survey; NaN for a coded point without one. [m]
    code : Code
        What it was taken on.
    row : int
        Its line in the file.
    properties : mapping of str to str
        What the row says of the feature the point belongs to.
    """

    name: str
    easting: float
    northing: float
    height: float
    code: Code
    row: int
    properties: dict[str, str] = field(default_factory=dict, repr=False)


@dataclass(frozen=True)
class Survey:
    """A survey file.

    Parameters
    ----------
    file : str
        The file, as the user knows it.
    crs : str
        CRS of the points.
    points : tuple of SurveyPoint
        All points, in the order of the file.
    """

    file: str
    crs: str
    points: tuple[SurveyPoint, ...]

    @property
    def ground_points(self) -> NDArray[np.float64]:
        """Points on the ground, shape (n, 3): easting, northing [unit of the CRS], height [m].

        Points of features count, because the staff stands on the ground beside them.
        """
        on_ground = [p for p in self.points if p.code.on_ground and math.isfinite(p.height)]
        rows = [(p.easting, p.northing, p.height) for p in on_ground]
        return np.array(rows, dtype=float).reshape(-1, 3)

    @property
    def middle(self) -> tuple[float, float]:
        """Middle of the ground points, easting and northing; NaN without any."""
        points = self.ground_points
        if not len(points):
            return math.nan, math.nan
        east, north = (points[:, :2].min(axis=0) + points[:, :2].max(axis=0)) / 2
        return float(east), float(north)

    def features(self, frame: Frame) -> tuple[Feature, ...]:
        """Return what the coded points stand for, in the local frame.

        Raises
        ------
        InputError
            With every feature that lacks points or properties.
        """
        maker = FeatureMaker(file=self.file, frame=frame, crs=self.crs, crs_key="site.crs")
        features: list[Feature] = []
        for number, (kind, points) in enumerate(_groups(self.points), start=1):
            raw, trouble = _raw_feature(number, kind, points)
            if trouble:
                maker.problems.append(Problem(self.file, raw.place, None, *trouble))
            else:
                features += maker.make(raw)
        if maker.problems:
            raise InputError(map(_in_words_of_table, maker.problems))
        return tuple(features)


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
        With every row and column that cannot be used.
    """
    table = read_table(path)
    reader = _PointReader(str(path), table, crs=crs, height_unit=height_unit or "m")
    points = [reader.point(row) for row in table.rows]
    problems = [*reader.header_problems, *table.problems, *reader.problems]
    if not points and not problems:
        problems = [Problem(str(path), "", None, "it holds no point", "add the surveyed points")]
    if problems:
        raise InputError(problems)
    return Survey(str(path), crs, tuple(points))


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
        for name in ("feature_height", *_DETAILS):
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


def _groups(points: Sequence[SurveyPoint]) -> list[tuple[Kind, list[SurveyPoint]]]:
    """Return the points of each feature, in the order of their first points."""
    groups: dict[tuple[Code, int], tuple[Kind, list[SurveyPoint]]] = {}
    for number, point in enumerate(points):
        kind = point.code.kind
        if kind is None:
            continue
        # a tree or viewpoint is one point, also where several have the same code
        single = KIND_RULES[kind].shapes == ("point",)
        groups.setdefault((point.code, number if single else -1), (kind, []))[1].append(point)
    return list(groups.values())


def _raw_feature(
    number: int, kind: Kind, points: Sequence[SurveyPoint]
) -> tuple[RawFeature, tuple[str, str] | None]:
    """Return a feature from its points, and rule and way out if there are too few of them."""
    name = points[0].code.name
    place = f"row {points[0].row}, {kind} {name}".rstrip()
    shape, needed = _shape_of(kind, [(point.easting, point.northing) for point in points])
    properties: dict[str, object] = {"kind": kind, "name": name}
    for name in _DETAILS:
        properties[name] = next((p.properties[name] for p in points if name in p.properties), None)
    heights = [point.properties.get("feature_height") for point in points]
    if kind == "overhead_line" and None not in heights:
        properties["conductor_heights"] = heights
    else:
        properties["height"] = next((one for one in heights if one is not None), None)
    raw = RawFeature(place, number, shape, properties)
    if shape is None:
        rule = f"{len(points)} points with this code, and {needed} are needed"
        return raw, (rule, "add points, or use the same code and name for all its points")
    return raw, None


def _in_words_of_table(problem: Problem) -> Problem:
    """Name the column to fill in where a feature lacks a property."""
    name = problem.key.rpartition(", ")[2]
    column = "feature_height" if name in ("height", "conductor_heights") else name
    if problem.value is not None or column not in SPELLINGS:
        return problem
    return replace(problem, way_out=f"fill in the column {column}")


def _shape_of(kind: Kind, places: list[tuple[float, float]]) -> tuple[BaseGeometry | None, int]:
    """Return the geometry through the points, and how many points it needs."""
    shape = KIND_RULES[kind].shapes[0]
    if shape == "point":
        return shapely.Point(places[0]), 1
    if shape == "line" or kind == "road":  # a surveyed road is its middle line
        return (shapely.LineString(places) if len(places) >= 2 else None), 2
    return (shapely.Polygon(places) if len(places) >= 3 else None), 3
