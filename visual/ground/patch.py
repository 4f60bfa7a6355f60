"""The part of a DEM around the base, as triangles in the local frame."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from visual.ground.batch import worth_compiling
from visual.ground.cells import Cells
from visual.ground.crossing import crossing
from visual.ground.triangle import Array, blend, gradient, touching_box

CHUNK = 16_384
"""Points looked up at once: what is worked out for them stays near the processor."""


@dataclass(frozen=True, eq=False)
class DemPatch:
    """Nodes of a DEM in the local frame: one node at the middle of each pixel.

    Four neighbouring nodes make a cell, split in two triangles along the diagonal with the
    smaller difference of height; if both are the same, along the higher one. The rule knows no
    left or right, so a mirrored or turned DEM gives the mirrored or turned surface.

    Parameters
    ----------
    x, y : ndarray, shape (rows, columns)
        Position of the nodes, grid east and grid north. Rows and columns may run in any
        direction. [m]
    z : ndarray, shape (rows, columns)
        Height of the nodes in the local frame; NaN where the DEM has none. [m]
    file : str
        Where the heights come from.
    thinning : int
        Every how many-th node of the file was kept; 1 if all of them were.
    """

    x: Array = field(repr=False)
    y: Array = field(repr=False)
    z: Array = field(repr=False)
    file: str
    thinning: int = 1

    @property
    def shape(self) -> tuple[int, int]:
        """Number of rows and columns of nodes."""
        rows, columns = self.z.shape
        return rows, columns

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Box around all nodes: xmin, ymin, xmax, ymax. [m]"""
        return (
            float(self.x.min()),
            float(self.y.min()),
            float(self.x.max()),
            float(self.y.max()),
        )

    @cached_property
    def cell(self) -> float:
        """Smallest width of a cell. [m]"""
        ends = np.array([0, -2])
        base = np.stack([self.x, self.y], axis=-1)[ends][:, ends]
        right = np.stack([self.x, self.y], axis=-1)[ends][:, ends + 1] - base
        down = np.stack([self.x, self.y], axis=-1)[ends + 1][:, ends] - base
        area = np.abs(right[..., 0] * down[..., 1] - right[..., 1] * down[..., 0])
        longest = np.maximum(np.hypot(*right.T), np.hypot(*down.T)).T
        return float((area / longest).min())

    @cached_property
    def cells(self) -> Cells:
        """The cells between the nodes, to find points in."""
        return Cells(self.x, self.y, self.z)

    def index(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return row and column, with fractions, of points; may lie outside the patch."""
        return self.cells.index(x, y)

    def facets(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return the triangle that holds each point, and the point's weights in it.

        Parameters
        ----------
        x, y : ndarray, shape (n,)
            Points in plan. [m]

        Returns
        -------
        corners : ndarray, shape (n, 3, 3)
            The triangles; all NaN where a point lies outside the patch. [m]
        share : ndarray, shape (n, 3)
            Barycentric weights of the points.
        """
        nodes, share = self.cells.locate(x, y)
        return self.cells.corners(nodes), share.T

    def height(self, x: Array, y: Array) -> Array:
        """Return heights at points, shape (n,); NaN where unknown. [m]"""
        if worth_compiling(len(x)):
            return self._compiled_height(x, y)
        parts = [self._height(x[k : k + CHUNK], y[k : k + CHUNK]) for k in range(0, len(x), CHUNK)]
        return parts[0] if len(parts) == 1 else np.concatenate([np.empty(0), *parts])

    def _compiled_height(self, x: Array, y: Array) -> Array:
        z, missed = self.cells.compiled_heights(x, y)
        again = np.flatnonzero(missed)
        z[again] = self._height(x[again], y[again])
        return z

    def _height(self, x: Array, y: Array) -> Array:
        nodes, share = self.cells.locate(x, y)
        return blend(share, self.cells.heights(nodes))

    def gradient(self, x: Array, y: Array) -> Array:
        """Return rise per metre east and north at points, shape (n, 2); NaN where unknown."""
        return gradient(self.facets(x, y)[0])

    def triangles(self, xmin: float, ymin: float, xmax: float, ymax: float) -> Array:
        """Return the known triangles that touch a box in plan, shape (n, 3, 3). [m]"""
        rows, columns = self._cells_in(xmin, ymin, xmax, ymax)
        corners = np.concatenate(self.cells.halves(rows, columns))
        known = np.isfinite(corners[:, :, 2]).all(axis=1)
        return touching_box(corners[known], xmin, ymin, xmax, ymax)

    def crossings(self, origin: Array, along: Array, start: float, stop: float) -> Array:
        """Return where a straight line in plan crosses edges of the triangles.

        Parameters
        ----------
        origin, along : ndarray, shape (2,)
            A point of the line, and its unit vector. [m]
        start, stop : float
            Part of the line that matters, as distance from `origin`. [m]

        Returns
        -------
        ndarray, shape (n,)
            Distances from `origin`, unsorted, some of them outside start … stop. [m]
        """
        rows, columns = self._cells_along(origin, along, start, stop)
        if rows.size == 0:
            return np.empty(0)
        first, second = self.cells.halves(rows, columns)
        corners = np.concatenate([first, second])[:, :, :2] - origin
        ahead = corners @ along
        aside = corners @ np.array([-along[1], along[0]])
        return np.concatenate(
            [
                crossing(ahead[:, i], aside[:, i], ahead[:, j], aside[:, j])
                for i, j in ((0, 1), (1, 2), (2, 0))
            ]
        )

    def _cells_in(
        self, xmin: float, ymin: float, xmax: float, ymax: float
    ) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
        share = np.linspace(0, 1, 9)
        x = xmin + (xmax - xmin) * np.concatenate([share, share, share * 0, share * 0 + 1])
        y = ymin + (ymax - ymin) * np.concatenate([share * 0, share * 0 + 1, share, share])
        row, column = self.index(x, y)
        low = np.floor([row.min(), column.min()]).astype(int) - 1
        high = np.ceil([row.max(), column.max()]).astype(int) + 1
        rows, columns = (
            np.arange(max(a, 0), min(b, n - 1))
            for a, b, n in zip(low, high, self.shape, strict=True)
        )
        i, j = np.meshgrid(rows, columns, indexing="ij")
        return i.ravel(), j.ravel()

    def _cells_along(
        self, origin: Array, along: Array, start: float, stop: float
    ) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
        """Return all cells on a line in plan, and some beside it."""
        xmin, ymin, xmax, ymax = self.bounds
        centre = np.array([xmin + xmax, ymin + ymax]) / 2
        reach = np.hypot(xmax - xmin, ymax - ymin) / 2
        middle = float((centre - origin) @ along)
        start, stop = max(start, middle - reach), min(stop, middle + reach)
        none = np.empty(0, dtype=int)
        if stop < start:
            return none, none
        # Samples closer than a cell is wide: each cell on the line is the cell of a sample or
        # one of its eight neighbours.
        count = int(np.ceil((stop - start) / (0.5 * self.cell))) + 2
        s = np.linspace(start, stop, count)
        row, column = self.index(origin[0] + s * along[0], origin[1] + s * along[1])
        near = np.array([-1, 0, 1])
        rows = np.floor(row).astype(int)[:, None, None] + near[:, None]
        columns = np.floor(column).astype(int)[:, None, None] + near
        rows, columns = (a.ravel() for a in np.broadcast_arrays(rows, columns))
        inside = (rows >= 0) & (rows < self.shape[0] - 1)
        inside &= (columns >= 0) & (columns < self.shape[1] - 1)
        flat = np.sort(rows[inside] * self.shape[1] + columns[inside])
        flat = flat[np.diff(flat, prepend=-1) > 0]  # np.unique would load numpy.ma
        return flat // self.shape[1], flat % self.shape[1]
