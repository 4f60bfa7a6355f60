"""Surveyed points: the ground, and what stands on it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from visual.errors import InputError, Problem
from visual.frame import Frame
from visual.site.feature import Feature, RawFeature
from visual.site.feature_maker import FeatureMaker
from visual.site.kinds import KIND_RULES, Kind
from visual.site.survey_codes import Code
from visual.site.survey_table import SPELLINGS

DETAILS = ("crown_radius", "voltage_kv", "sag", "spread", "eye_height")
"""What a row may say of its feature besides `feature_height`."""


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
        rows = [(p.easting, p.northing, p.height) for p in self._on_ground]
        return np.array(rows, dtype=float).reshape(-1, 3)

    @property
    def ground_names(self) -> tuple[str, ...]:
        """Names of the `ground_points`, in their order."""
        return tuple(point.name for point in self._on_ground)

    @property
    def _on_ground(self) -> list[SurveyPoint]:
        return [p for p in self.points if p.code.on_ground and math.isfinite(p.height)]

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
    for name in DETAILS:
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
