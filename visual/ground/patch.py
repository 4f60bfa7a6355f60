"""The part of a DEM around the base, as triangles in the local frame."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from visual.ground.crossing import crossing
from visual.ground.triangle import Array, blend, gradient, touching_box, weights

_A, _B, _C, _D = (0, 0), (0, 1), (1, 0), (1, 1)
"""Corners of a cell: row and column offset from its first node."""

SAME_PLACE = 1e-12
"""A barycentric weight this little below zero is rounding."""


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

    def index(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return row and column, with fractions, of points; may lie outside the patch.

        Newton's method on the cell found so far: after reprojection the nodes form no exactly
        regular grid.
        """
        row, column = self._affine_index(x, y)
        for _ in range(8):
            step_row, step_column = self._index_step(x, y, row, column)
            row, column = row + step_row, column + step_column
            if max(np.abs(step_row).max(initial=0), np.abs(step_column).max(initial=0)) < 1e-11:
                break
        return row, column

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
        rows, columns = self.shape
        row, column = self._affine_index(x, y)
        corners, share = self._better_half(_cell(row, rows), _cell(column, columns), x, y)
        # Weights below zero: not this cell. Only then is it worth finding out exactly which.
        missed = np.flatnonzero(~(share.min(axis=1) >= -SAME_PLACE))
        if missed.size:
            corners[missed], share[missed] = self._exact_facets(x[missed], y[missed])
        return corners, share

    def height(self, x: Array, y: Array) -> Array:
        """Return heights at points, shape (n,); NaN where unknown. [m]"""
        corners, share = self.facets(x, y)
        return blend(share, corners[:, :, 2])

    def gradient(self, x: Array, y: Array) -> Array:
        """Return rise per metre east and north at points, shape (n, 2); NaN where unknown."""
        return gradient(self.facets(x, y)[0])

    def triangles(self, xmin: float, ymin: float, xmax: float, ymax: float) -> Array:
        """Return the known triangles that touch a box in plan, shape (n, 3, 3). [m]"""
        rows, columns = self._cells_in(xmin, ymin, xmax, ymax)
        corners = np.concatenate(self._halves(rows, columns))
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
        first, second = self._halves(rows, columns)
        corners = np.concatenate([first, second])[:, :, :2] - origin
        ahead = corners @ along
        aside = corners @ np.array([-along[1], along[0]])
        return np.concatenate(
            [
                crossing(ahead[:, i], aside[:, i], ahead[:, j], aside[:, j])
                for i, j in ((0, 1), (1, 2), (2, 0))
            ]
        )

    def _exact_facets(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return what `facets` does, from the exact index of each point."""
        rows, columns = self.shape
        known = np.isfinite(x) & np.isfinite(y)
        row, column = self.index(np.where(known, x, 0.0), np.where(known, y, 0.0))
        slack = 1e-6  # of a cell: a place on the last row is on it, whatever the rounding
        inside = known & (row >= -slack) & (row <= rows - 1 + slack)
        inside &= (column >= -slack) & (column <= columns - 1 + slack)
        corners, share = self._better_half(_cell(row, rows), _cell(column, columns), x, y)
        corners[~inside] = np.nan
        return corners, share

    def _better_half(
        self, rows: NDArray[np.int_], columns: NDArray[np.int_], x: Array, y: Array
    ) -> tuple[Array, Array]:
        """Return the half of each cell that holds its point, or is nearer to it, and weights."""
        first, second = self._halves(rows, columns)
        share, other = weights(first, x, y), weights(second, x, y)
        in_second = (other.min(axis=1) > share.min(axis=1))[:, None]
        return np.where(in_second[..., None], second, first), np.where(in_second, other, share)

    @cached_property
    def _affine(self) -> tuple[Array, Array]:
        """Corner node, and the matrix from metres beside it to rows and columns."""
        rows, columns = self.shape
        p = np.array([self.x[0, 0], self.y[0, 0]])
        down = (np.array([self.x[-1, 0], self.y[-1, 0]]) - p) / (rows - 1)
        right = (np.array([self.x[0, -1], self.y[0, -1]]) - p) / (columns - 1)
        return p, np.linalg.inv(np.column_stack([down, right]))

    def _affine_index(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return row and column as if the nodes were evenly spaced between three corners."""
        p, inverse = self._affine
        right, up = x - p[0], y - p[1]
        return inverse[0, 0] * right + inverse[0, 1] * up, inverse[1, 0] * right + inverse[
            1, 1
        ] * up

    @cached_property
    def _flat(self) -> tuple[Array, Array, Array]:
        """x, y and z row after row."""
        return self.x.ravel(), self.y.ravel(), self.z.ravel()

    def _index_step(self, x: Array, y: Array, row: Array, column: Array) -> tuple[Array, Array]:
        rows, columns = self.shape
        i, j = _cell(row, rows), _cell(column, columns)
        v, u = row - i, column - j
        node = i * columns + j
        error, down, right = [], [], []
        for axis, target in zip(self._flat[:2], (x, y), strict=True):
            a, b, c, d = (axis[node + r * columns + s] for r, s in (_A, _B, _C, _D))
            twist = a - b - c + d
            error.append(target - (a + u * (b - a) + v * (c - a) + u * v * twist))
            right.append(b - a + v * twist)
            down.append(c - a + u * twist)
        area = down[0] * right[1] - down[1] * right[0]
        step_row = (error[0] * right[1] - error[1] * right[0]) / area
        step_column = (down[0] * error[1] - down[1] * error[0]) / area
        return step_row, step_column

    def _halves(self, rows: NDArray[np.int_], columns: NDArray[np.int_]) -> tuple[Array, Array]:
        """Return the two triangles of each cell, each of shape (n, 3, 3).

        In memory the corner comes first, then the axis, then the cell: numpy is several times
        faster that way.
        """
        node = rows * self.shape[1] + columns
        a, b, c, d = (
            np.stack([axis[node + r * self.shape[1] + s] for axis in self._flat])
            for r, s in (_A, _B, _C, _D)
        )
        along_ad = _split_along_ad(a[2], b[2], c[2], d[2])
        first = np.stack([a, np.where(along_ad, d, c), b])
        second = np.stack([np.where(along_ad, a, b), c, d])
        return first.transpose(2, 0, 1), second.transpose(2, 0, 1)

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
        flat = np.unique(rows[inside] * self.shape[1] + columns[inside])
        return flat // self.shape[1], flat % self.shape[1]


def _cell(index: Array, nodes: int) -> NDArray[np.int_]:
    """Return the cell of each index with fractions, the nearest one for a place outside."""
    # fmax and fmin turn what is not a number into a cell too; its weights are none.
    return np.fmin(np.fmax(index, 0), nodes - 2).astype(int)


def _split_along_ad(a: Array, b: Array, c: Array, d: Array) -> NDArray[np.bool_]:
    """Tell whether cells with corner heights a, b over c, d are split from a to d.

    An unknown corner is cut off, so that the other three still make a triangle.
    """
    ad, bc = np.abs(a - d), np.abs(b - c)
    smaller = (ad < bc) | ((ad == bc) & (a + d > b + c))
    return np.asarray(np.where(np.isnan(bc), True, smaller) & ~np.isnan(ad), dtype=bool)
