"""Plan geometry laid on the ground of a model."""

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon as PlanPolygon
from shapely.geometry.polygon import orient

from visual.exports.drawing import Points, Polygon, Solid
from visual.model import Model
from visual.scene.surroundings import paths_of
from visual.scene.terrain import densify

STEP = 1.0
"""The ground is looked up at least this often along a line. [m]"""

_IDLE = 1e-6  # a point this near to the straight line between its neighbours says nothing [m]

Plan = NDArray[np.float64]
"""Plan points, shape (n, 2 or more). [m]"""


def on_ground(model: Model, plan: Plan) -> Points:
    """Return plan points with the height of the ground, NaN where unknown, shape (n, 3). [m]"""
    x, y = np.asarray(plan, dtype=float)[:, :2].T
    return np.column_stack([x, y, model.ground.height(x, y)])


def draped(model: Model, plan: Plan) -> Points:
    """Return a plan line laid on the ground, with points added where it is not straight. [m]"""
    return without_idle(on_ground(model, densify(np.asarray(plan, dtype=float)[:, :2], STEP)))


def without_idle(path: Points) -> Points:
    """Return a line without the points that lie straight between their neighbours."""
    before, at, after = path[:-2], path[1:-1], path[2:]
    chord = after - before
    with np.errstate(invalid="ignore"):
        share = (chord * (at - before)).sum(axis=1) / (chord**2).sum(axis=1)
    off = np.linalg.norm(before + share[:, None] * chord - at, axis=1)
    return np.concatenate([path[:1], at[~(off < _IDLE)], path[-1:]])  # one that is unknown stays


def polygons(model: Model, shape: Any) -> tuple[Polygon, ...]:
    """Return the polygons of a plan geometry, outer rings anticlockwise, holes clockwise.

    Corners are those of the geometry, each on the ground.
    """
    parts = getattr(shape, "geoms", [shape])
    found = [orient(p) for p in parts if isinstance(p, PlanPolygon) and not p.is_empty]
    return tuple(
        tuple(on_ground(model, np.asarray(r.coords)) for r in (p.exterior, *p.interiors))
        for p in found
    )


def edges(model: Model, shape: Any) -> tuple[Points, ...]:
    """Return the lines of a plan geometry and the rings of its areas, laid on the ground. [m]"""
    rings = [ring[:, :2] for polygon in polygons(model, shape) for ring in polygon]
    return tuple(draped(model, line) for line in (*rings, *paths_of(shape)))


def grid_cover(model: Model, rows: Iterable[Plan]) -> Solid | None:
    """Return a net of plan points as triangles on the ground; those of unknown ground left out.

    Parameters
    ----------
    model : Model
        The mast on its site.
    rows : iterable of ndarray, shape (n, 2)
        Rows of the net, each to the left of the one before as seen along it, so that the
        triangles look up. [m]
    """
    net = np.stack([on_ground(model, row) for row in rows])
    count, width = net.shape[:2]
    first = (np.arange(count - 1)[:, None] * width + np.arange(width - 1)).ravel()
    after, left, across = first + 1, first + width, first + width + 1
    both = np.column_stack([first, after, across, first, across, left]).reshape(-1, 3)
    vertices = net.reshape(-1, 3)
    known = both[np.isfinite(vertices[:, 2])[both].all(axis=1)]
    return packed(vertices, known) if len(known) else None


def packed(vertices: Points, triangles: NDArray[np.int64]) -> Solid:
    """Return the solid without vertices that no triangle uses."""
    used, numbers = np.unique(triangles, return_inverse=True)
    return vertices[used], numbers.reshape(triangles.shape).astype(np.int32)
