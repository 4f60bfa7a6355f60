"""The surveyed surface: triangles between surveyed points."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from visual.errors import InputError, Problem
from visual.ground.batch import worth_compiling
from visual.ground.crossing import crossing
from visual.ground.triangle import (
    EDGE_TOLERANCE,
    Array,
    blend,
    cross,
    gradient,
    touching_box,
    weights,
)
from visual.ground.walk import Walk, make_walk

if TYPE_CHECKING:
    from scipy.spatial import Delaunay

SAME_PLACE = 0.001
"""Points nearer than this in plan are the same place; a survey is not finer. [m]"""

SLIVER = 1e-3
"""Height over length below which a triangle at the rim is no ground.

Points measured along a fence are never quite in line: without this rule a strip a few millimetres
wide would rise and fall like a wall.
"""


@dataclass(frozen=True, eq=False)
class Tin:
    """Triangles between surveyed points (Delaunay); make one with `make_tin`.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Surveyed points in the local frame. [m]
    file : str
        Where the points come from.
    """

    points: Array = field(repr=False)
    file: str

    @cached_property
    def _delaunay(self) -> "Delaunay":
        from scipy.spatial import Delaunay  # slow to load, and a DEM alone needs none

        return Delaunay(self.points[:, :2])

    @cached_property
    def _kept(self) -> NDArray[np.bool_]:
        return _without_slivers(self.points[:, :2], self._delaunay)

    @property
    def corners(self) -> Array:
        """All triangles, shape (n, 3, 3). [m]"""
        return np.asarray(self.points[self._delaunay.simplices[self._kept]], dtype=float)

    @property
    def all_corners(self) -> Array:
        """All triangles, those too thin to be ground with them, shape (n, 3, 3). [m]"""
        return np.asarray(self.points[self._delaunay.simplices], dtype=float)

    @property
    def slivers(self) -> Array:
        """Triangles at the rim that are too thin to be ground, shape (n, 3, 3). [m]"""
        return np.asarray(self.points[self._delaunay.simplices[~self._kept]], dtype=float)

    @cached_property
    def hull(self) -> Array:
        """Corners of the convex hull in plan, anticlockwise, shape (n, 2). [m]"""
        from scipy.spatial import ConvexHull

        plan = self.points[:, :2]
        return np.asarray(plan[ConvexHull(plan).vertices], dtype=float)

    @cached_property
    def rim(self) -> Array:
        """Edges around the surface, shape (n, 2, 3), in no order. [m]"""
        triangles, neighbours = self._delaunay.simplices, self._delaunay.neighbors
        outer = (neighbours < 0) | ~self._kept[neighbours]
        row, opposite = np.nonzero(outer & self._kept[:, None])
        ends = np.stack([triangles[row, (opposite + k) % 3] for k in (1, 2)], axis=1)
        return np.asarray(self.points[ends], dtype=float)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Box around all points: xmin, ymin, xmax, ymax. [m]"""
        xmin, ymin = self.points[:, :2].min(axis=0).tolist()
        xmax, ymax = self.points[:, :2].max(axis=0).tolist()
        return xmin, ymin, xmax, ymax

    def facets(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return the triangle that holds each point, and the point's weights in it.

        Same as `DemPatch.facets`.
        """
        found = self._delaunay.find_simplex(np.stack([x, y], axis=-1), tol=EDGE_TOLERANCE)
        corners = np.asarray(self.points[self._delaunay.simplices[found]], dtype=float)
        share = weights(corners, x, y)
        # A point on the inner edge of a sliver belongs to the good triangle behind that edge.
        neighbours = self._delaunay.neighbors[found]
        on_edge = np.abs(share) < EDGE_TOLERANCE
        saved = (on_edge & (neighbours >= 0) & self._kept[neighbours]).any(axis=1)
        corners[(found < 0) | ~(self._kept[found] | saved)] = np.nan
        return corners, share

    def height(self, x: Array, y: Array) -> Array:
        """Return heights at points, shape (n,); NaN outside the surveyed surface. [m]"""
        if not worth_compiling(len(x)):
            return self._height(x, y)
        z, found = self._walk.heights(x, y)
        careful = np.flatnonzero(found == -2)
        z[careful] = self._height(x[careful], y[careful])
        return z

    def _height(self, x: Array, y: Array) -> Array:
        corners, share = self.facets(x, y)
        return blend(share.T, corners[:, :, 2].T)

    @cached_property
    def _walk(self) -> Walk:
        found = self._delaunay
        return make_walk(self.points, found.simplices, found.neighbors, self._kept)

    def gradient(self, x: Array, y: Array) -> Array:
        """Return rise per metre east and north at points, shape (n, 2); NaN where unknown."""
        return gradient(self.facets(x, y)[0])

    def triangles(self, xmin: float, ymin: float, xmax: float, ymax: float) -> Array:
        """Return the triangles that touch a box in plan, shape (n, 3, 3). [m]"""
        return touching_box(self.corners, xmin, ymin, xmax, ymax)

    def crossings(self, origin: Array, along: Array) -> Array:
        """Return where a straight line in plan crosses edges, as distance from `origin`. [m]"""
        plan = self.points[:, :2] - origin
        ahead, aside = plan @ along, plan @ np.array([-along[1], along[0]])
        triangles = self._delaunay.simplices
        edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
        a, b = edges.T
        return crossing(ahead[a], aside[a], ahead[b], aside[b])


def make_tin(points: ArrayLike, *, file: str, names: Sequence[str] | None = None) -> Tin:
    """Make the surveyed surface from its points.

    A point measured twice counts once.

    Parameters
    ----------
    points : array_like, shape (n, 3)
        Surveyed ground points in the local frame. [m]
    file : str
        File they come from, for messages.
    names : sequence of str, optional
        Names of the points, for messages; otherwise they are counted from 1.

    Raises
    ------
    InputError
        If there are fewer than three different places, if all lie in line, if a number is
        missing, or if one place has two heights.
    """
    given = np.asarray(points, dtype=float).reshape(-1, 3)
    labels = list(names) if names is not None else [str(k + 1) for k in range(len(given))]
    problems = _missing(given, labels, file)
    if not problems:
        single, problems = _single_places(given, labels, file)
    if not problems:
        problems = _too_few(single, file)
    if problems:
        raise InputError(problems)
    return Tin(points=single, file=file)


def _missing(points: Array, labels: Sequence[str], file: str) -> list[Problem]:
    bad = np.flatnonzero(~np.isfinite(points).all(axis=1))
    return [
        Problem(
            file=file,
            key=f"point {labels[k]}",
            value=points[k].tolist(),
            rule="a surveyed point needs easting, northing and height",
            way_out="fill in the missing number or delete the point",
        )
        for k in bad.tolist()
    ]


def _single_places(points: Array, labels: Sequence[str], file: str) -> tuple[Array, list[Problem]]:
    """Merge points at the same place; a place with two heights is a problem."""
    from scipy.spatial import cKDTree

    pairs = cKDTree(points[:, :2]).query_pairs(SAME_PLACE, output_type="ndarray")
    rise = np.abs(points[pairs[:, 0], 2] - points[pairs[:, 1], 2])
    problems = [
        Problem(
            file=file,
            key=f"points {labels[i]} and {labels[j]}",
            value=None,
            rule=f"both are at the same place but their heights differ by {dz:.3f} m",
            way_out="delete the wrong one; for the top and foot of a wall, move one by 0.05 m",
        )
        for (i, j), dz in zip(pairs.tolist(), rise.tolist(), strict=True)
        if dz > SAME_PLACE
    ]
    return np.delete(points, np.unique(pairs[:, 1]), axis=0), problems


def _too_few(points: Array, file: str) -> list[Problem]:
    if len(points) < 3:
        rule = (
            f"a surface needs at least three ground points at different places, not {len(points)}"
        )
    elif _in_line(points[:, :2]):
        rule = f"all {len(points)} ground points lie in one line, so they span no surface"
    else:
        return []
    way_out = "measure more ground points to the left and right, or give a DEM as well"
    return [Problem(file=file, key="", value=None, rule=rule, way_out=way_out)]


def _in_line(plan: Array) -> bool:
    spread = np.linalg.svd(plan - plan.mean(axis=0), compute_uv=False)
    return bool(spread[1] < SLIVER * spread[0])


def _without_slivers(plan: Array, delaunay: "Delaunay") -> NDArray[np.bool_]:
    """Tell which triangles are ground: peel thin ones off the rim until none is left."""
    corners = plan[delaunay.simplices]
    sides = np.roll(corners, -1, axis=1) - np.roll(corners, -2, axis=1)
    length = np.linalg.norm(sides, axis=-1)
    area = np.abs(cross(sides[:, 0], sides[:, 1]))
    thin = area < SLIVER * length.max(axis=1) ** 2
    longest = length.argmax(axis=1)
    behind = delaunay.neighbors[np.arange(len(corners)), longest]
    kept = np.ones(len(corners), dtype=bool)
    while True:
        peel = kept & thin & ((behind < 0) | ~kept[behind])
        if not peel.any():
            return kept
        kept &= ~peel
