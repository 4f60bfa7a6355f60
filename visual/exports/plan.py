"""Things as plan geometry, for files that know places, lines and areas."""

from collections.abc import Callable
from typing import Any

import numpy as np
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Point
from shapely.geometry import Polygon as PlanPolygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from visual.exports.drawing import Item, Points

Convert = Callable[[Points], Points]
"""From local points, shape (n, 3), to the coordinates of the file, shape (n, 2 or 3)."""

SHORTEST = 1e-6
"""A line shorter than this in plan is upright: a place. [m]"""


def plan_geometry(item: Item, convert: Convert) -> BaseGeometry | None:
    """Return a thing as areas, else as lines, else as a place; None if it has no form at all.

    Areas keep their outer rings anticlockwise and their holes clockwise.
    """
    if item.areas:
        polygons = [[convert(ring) for ring in polygon] for polygon in item.areas]
        return MultiPolygon([orient(PlanPolygon(rings[0], rings[1:])) for rings in polygons])
    lines = [path for path in item.paths if _plan_length(path) > SHORTEST]
    if lines:
        return MultiLineString([LineString(convert(path)) for path in lines])
    at = item.at if item.at is not None else next((path[0] for path in item.paths), None)
    return None if at is None else Point(convert(np.atleast_2d(at))[0])


def heights_known(item: Item) -> bool:
    """Return whether every point of the form that `plan_geometry` takes has a height."""
    found: list[bool] = []

    def look(points: Points) -> Points:
        found.append(bool(np.isfinite(points[:, 2]).all()))
        return points[:, :2]

    plan_geometry(item, look)
    return all(found)


def simplest(geometry: Any) -> BaseGeometry:
    """Return the only part of a geometry of one part, else the geometry itself."""
    parts = list(getattr(geometry, "geoms", [geometry]))
    found: BaseGeometry = parts[0] if len(parts) == 1 else geometry
    return found


def _plan_length(path: Points) -> float:
    return float(np.linalg.norm(np.diff(path[:, :2], axis=0), axis=1).sum())
