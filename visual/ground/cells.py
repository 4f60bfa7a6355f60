"""Which triangle of a lattice of nodes holds a point.

Between four neighbouring nodes a, b over c, d lies a cell, split in two triangles along a–d or
b–c.  Nodes are counted row after row; a triangle is named by the numbers of its three nodes.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from visual.ground.batch import side_by_side
from visual.ground.triangle import Array, Numbers, shares

SAME_PLACE = 1e-12
"""A barycentric weight this little below zero is rounding."""

SMOOTH = 1e-9
"""Of a cell: if rows and columns are known to this, they are as good as looked up."""

STRAIGHT = 1e-13
"""Of a cell: what bends less is straight but for rounding."""

SLACK = 1e-6
"""Of a cell: a place this near to the last row is on it, whatever the rounding."""

_MOST_STEPS = 8
"""Of Newton's method; two or three are usual."""


@dataclass(frozen=True, eq=False)
class Cells:
    """The cells between nodes; every array has shape (rows, columns).

    Parameters
    ----------
    x, y, z : ndarray
        Position of the nodes; z is NaN where unknown. [m]
    """

    x: Array = field(repr=False)
    y: Array = field(repr=False)
    z: Array = field(repr=False)

    def index(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return row and column, with fractions, of points; may lie outside the lattice.

        Newton's method on the cell found so far: after reprojection the nodes form no exactly
        regular grid.
        """
        row, column = self._affine_index(x, y)
        for _ in range(_MOST_STEPS):
            step_row, step_column = self._index_step(x, y, row, column)
            row, column = row + step_row, column + step_column
            if max(np.abs(step_row).max(initial=0), np.abs(step_column).max(initial=0)) < 1e-11:
                break
        return row, column

    def locate(self, x: Array, y: Array) -> tuple[Numbers, Array]:
        """Return the triangle that holds each point, and the point's weights in it.

        Parameters
        ----------
        x, y : ndarray, shape (n,)
            Points in plan. [m]

        Returns
        -------
        nodes : ndarray of int, shape (3, n)
            Corners of the triangles; all -1 where a point lies outside.
        share : ndarray, shape (3, n)
            Barycentric weights of the points.
        """
        rows, columns = self.z.shape
        row, column = self._affine_index(x, y)
        nodes, share = self._half(_cell(row, rows), _cell(column, columns), x, y)
        # Weights below zero: not this cell. Only then is it worth finding out exactly which.
        least = np.minimum(np.minimum(share[0], share[1]), share[2])
        missed = np.flatnonzero(~(least >= -SAME_PLACE))
        if missed.size:
            nodes[:, missed], share[:, missed] = self._locate_exactly(x[missed], y[missed])
        return nodes, share

    def heights(self, nodes: Numbers) -> Array:
        """Return the heights of nodes, NaN for -1. [m]"""
        return np.where(nodes < 0, np.nan, self.flat[2][nodes])

    def compiled_heights(self, x: Array, y: Array) -> tuple[Array, NDArray[np.bool_]]:
        """Return heights of points [m], and True where only `locate` can tell."""
        from visual.ground.kernels import lattice_heights, smooth_heights  # loads the compiler

        out, missed = np.empty(x.shape), np.empty(x.shape, dtype=np.bool_)
        if self._bend is None:
            nodes = self._packed, self.z.shape, self._leading
            side_by_side(lattice_heights, nodes, x, y, out, missed)
        else:
            heights = np.ascontiguousarray(self.z), self._leading, self._bend
            side_by_side(smooth_heights, heights, x, y, out, missed)
        return out, missed

    def corners(self, nodes: Numbers) -> Array:
        """Return triangles named by their nodes, shape (3, n), as an array (n, 3, 3). [m]"""
        known = np.stack([axis[nodes] for axis in self.flat], axis=1)
        return np.asarray(np.where(nodes[:, np.newaxis] < 0, np.nan, known).transpose(2, 0, 1))

    def halves(self, rows: Numbers, columns: Numbers) -> tuple[Array, Array]:
        """Return the two triangles of each cell, each of shape (n, 3, 3). [m]"""
        a, b, c, d = self._cell_nodes(rows, columns)
        along_ad = self._split_along_ad(a, b, c, d)
        first = np.stack([a, np.where(along_ad, d, c), b])
        second = np.stack([np.where(along_ad, a, b), c, d])
        return self.corners(first), self.corners(second)

    @cached_property
    def flat(self) -> tuple[Array, Array, Array]:
        """x, y and z row after row."""
        return self.x.ravel(), self.y.ravel(), self.z.ravel()

    @cached_property
    def _packed(self) -> Array:
        """x, y and z of each node side by side, row after row, shape (nodes, 3)."""
        return np.stack(self.flat, axis=1)

    @cached_property
    def _leading(self) -> Array:
        """What leads from a place to its row and column, as the compiled loops want it."""
        x0, y0, inverse = self._affine
        return np.array([x0, y0, *inverse.ravel(), self._hand])

    @cached_property
    def _bend(self) -> Array | None:
        """Polynomial that adds to row and column what they bend, shape (2, 10); None if none fits.

        After a map projection rows and columns bend, but smoothly: then no node need be looked
        up to find a cell. Held against every node.
        """
        from visual.ground.kernels import largest_miss

        rows, columns = self.z.shape
        some = np.ix_(*(np.unique(np.linspace(0, n - 1, 30).astype(int)) for n in (rows, columns)))
        row, column = self._affine_index(self.x[some].ravel(), self.y[some].ravel())
        p, q = row / rows, column / columns
        terms = [p**0, p, p**2, p**3, q, q * p, q * p**2, q**2, q**2 * p, q**3]
        i, j = (index.ravel() for index in np.broadcast_arrays(*some))
        bends = np.linalg.lstsq(np.stack(terms, axis=1), np.stack([i - row, j - column], axis=1))
        bend = np.ascontiguousarray(bends[0].T)
        bend[:, np.abs(bend).max(axis=0) < STRAIGHT] = 0.0
        miss = largest_miss(self.x, self.y, self._leading, bend)
        return bend if miss < SMOOTH else None

    @cached_property
    def _affine(self) -> tuple[float, float, Array]:
        """First node, and the matrix from metres beside it to rows and columns."""
        rows, columns = self.z.shape
        p = np.array([self.x[0, 0], self.y[0, 0]])
        down = (np.array([self.x[-1, 0], self.y[-1, 0]]) - p) / (rows - 1)
        right = (np.array([self.x[0, -1], self.y[0, -1]]) - p) / (columns - 1)
        return float(p[0]), float(p[1]), np.linalg.inv(np.column_stack([down, right]))

    def _affine_index(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return row and column as if the nodes were evenly spaced between three corners."""
        x0, y0, ((row_x, row_y), (column_x, column_y)) = self._affine
        east, north = x - x0, y - y0
        return row_x * east + row_y * north, column_x * east + column_y * north

    def _index_step(self, x: Array, y: Array, row: Array, column: Array) -> tuple[Array, Array]:
        rows, columns = self.z.shape
        i, j = _cell(row, rows), _cell(column, columns)
        v, u = row - i, column - j
        nodes = self._cell_nodes(i, j)
        error, down, right = [], [], []
        for axis, target in zip(self.flat[:2], (x, y), strict=True):
            a, b, c, d = (axis[node] for node in nodes)
            twist = a - b - c + d
            error.append(target - (a + u * (b - a) + v * (c - a) + u * v * twist))
            right.append(b - a + v * twist)
            down.append(c - a + u * twist)
        area = down[0] * right[1] - down[1] * right[0]
        step_row = (error[0] * right[1] - error[1] * right[0]) / area
        step_column = (down[0] * error[1] - down[1] * error[0]) / area
        return step_row, step_column

    def _locate_exactly(self, x: Array, y: Array) -> tuple[Numbers, Array]:
        """Do what `locate` does from the exact index of each point."""
        rows, columns = self.z.shape
        known = np.isfinite(x) & np.isfinite(y)
        row, column = self.index(np.where(known, x, 0.0), np.where(known, y, 0.0))
        inside = known & (row >= -SLACK) & (row <= rows - 1 + SLACK)
        inside &= (column >= -SLACK) & (column <= columns - 1 + SLACK)
        nodes, share = self._half(_cell(row, rows), _cell(column, columns), x, y)
        return np.where(inside, nodes, -1), share

    def _half(self, rows: Numbers, columns: Numbers, x: Array, y: Array) -> tuple[Numbers, Array]:
        """Return the half of each cell on whose side of the diagonal its point lies."""
        a, b, c, d = self._cell_nodes(rows, columns)
        along_ad = self._split_along_ad(a, b, c, d)
        first, last = np.where(along_ad, a, b), np.where(along_ad, d, c)
        to_x, to_y, _ = self.flat
        x0, y0, x1, y1 = to_x[first], to_y[first], to_x[last], to_y[last]
        aside = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)
        # Seen from the diagonal a–d node b lies where, seen from b–c, node d does.
        third = np.where(aside * self._hand > 0, np.where(along_ad, b, d), np.where(along_ad, c, a))
        share = shares((x0, y0), (x1, y1), (to_x[third], to_y[third]), x, y)
        return np.stack([first, last, third]), share

    @cached_property
    def _hand(self) -> float:
        """1 if a turn from down to right is anticlockwise, as with north up, else -1."""
        return float(np.sign(np.linalg.det(self._affine[2])))

    def _cell_nodes(
        self, rows: Numbers, columns: Numbers
    ) -> tuple[Numbers, Numbers, Numbers, Numbers]:
        """Return the four nodes of each cell: a, b over c, d."""
        width = self.z.shape[1]
        a = rows * width + columns
        return a, a + 1, a + width, a + width + 1

    def _split_along_ad(self, *nodes: Numbers) -> NDArray[np.bool_]:
        """Tell whether cells with nodes a, b over c, d are split from a to d.

        An unknown corner is cut off, so that the other three still make a triangle.
        """
        a, b, c, d = (self.flat[2][node] for node in nodes)
        ad, bc = np.abs(a - d), np.abs(b - c)
        smaller = (ad < bc) | ((ad == bc) & (a + d > b + c)) | np.isnan(bc)
        return np.asarray(smaller & ~np.isnan(ad), dtype=bool)


def _cell(index: Array, nodes: int) -> Numbers:
    """Return the cell of each index with fractions, the nearest one for a place outside."""
    # fmax and fmin turn what is not a number into a cell too; its weights are none.
    return np.fmin(np.fmax(index, 0), nodes - 2).astype(int)
