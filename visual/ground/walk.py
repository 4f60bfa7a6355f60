"""Heights of very many points on triangles: start near each point, then walk there."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.ground.batch import side_by_side
from visual.ground.triangle import Array, Numbers, cross

BUCKETS = 2.0
"""Buckets per triangle: with two a walk is one or two steps long."""


@dataclass(frozen=True, eq=False)
class Walk:
    """Triangles that know their neighbours, and where to begin to look.

    Parameters
    ----------
    triangles : ndarray, shape (t, 3, 3)
        The triangles, anticlockwise. [m]
    neighbours : ndarray of int, shape (t, 3)
        The triangle across the side opposite each corner; −1 at the rim.
    kept : ndarray of int, shape (t,)
        2 for ground, 1 for ground that touches a sliver, 0 for a sliver.
    starts : ndarray of int, shape (rows, columns)
        Triangle to begin at, bucket by bucket.
    grid : ndarray, shape (3,)
        x and y of the first bucket [m], and buckets per metre.
    """

    triangles: Array = field(repr=False)
    neighbours: Numbers = field(repr=False)
    kept: Numbers = field(repr=False)
    starts: Numbers = field(repr=False)
    grid: Array = field(repr=False)

    def heights(self, x: Array, y: Array) -> tuple[Array, Numbers]:
        """Return heights, NaN beside the ground, and the triangle of each point.

        The triangle is −1 where there is none, and −2 where more care is needed: on an edge at
        the rim or of a sliver.
        """
        from visual.ground.kernels import tin_heights  # loads the compiler

        out, found = np.empty(x.shape), np.empty(x.shape, dtype=np.int_)
        tables = self.triangles, self.neighbours, self.kept, self.starts, self.grid
        side_by_side(tin_heights, tables, x, y, out, found)
        return out, found


def make_walk(
    points: Array,
    triangles: NDArray[np.integer],
    neighbours: NDArray[np.integer],
    kept: NDArray[np.bool_],
) -> Walk:
    """Make the walk over a Delaunay triangulation.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Its points. [m]
    triangles : ndarray of int, shape (t, 3)
        Numbers of the corners, turning either way.
    neighbours : ndarray of int, shape (t, 3)
        The triangle across the side opposite each corner; −1 at the rim.
    kept : ndarray of bool, shape (t,)
        True for ground, False for a sliver.
    """
    corners, beyond = points[triangles], np.array(neighbours, dtype=np.int_)
    clockwise = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]) < 0
    corners[clockwise] = corners[clockwise][:, [0, 2, 1]]
    beyond[clockwise] = beyond[clockwise][:, [0, 2, 1]]
    low, high = corners[..., :2].min(axis=(0, 1)), corners[..., :2].max(axis=(0, 1))
    per_metre = math.sqrt(BUCKETS * len(corners) / float(np.prod(high - low)))
    columns, rows = np.maximum(np.ceil((high - low) * per_metre).astype(int), 1)
    return Walk(
        triangles=np.ascontiguousarray(corners),
        neighbours=beyond,
        kept=np.where(kept, np.where(_beside_slivers(triangles, kept), 1, 2), 0),
        starts=_nearest_triangles(corners, low, per_metre, rows, columns),
        grid=np.array([*low, per_metre]),
    )


def _beside_slivers(triangles: NDArray[np.integer], kept: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Tell which triangles share a corner with a sliver."""
    return np.asarray(np.isin(triangles, triangles[~kept]).any(axis=1))


def _nearest_triangles(
    corners: Array, low: Array, per_metre: float, rows: int, columns: int
) -> Numbers:
    """Return for each bucket a triangle whose middle is in it or near it."""
    from scipy.spatial import cKDTree

    row, column = np.mgrid[:rows, :columns] + 0.5
    middles = low + np.stack([column, row], axis=-1) / per_metre
    _, nearest = cKDTree(corners[..., :2].mean(axis=1)).query(middles)
    return np.asarray(nearest, dtype=np.int_)
