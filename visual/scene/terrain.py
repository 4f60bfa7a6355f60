"""The drawn ground: a regular grid of heights, and everything that lies on it.

The grid is only for pictures; numbers come from `visual.ground.Surface`. Lines and areas are
laid on the very triangles that are drawn, so that nothing floats or sinks.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from visual.scene.layers import Points

HeightFunction = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]
"""Heights z of the ground at places x, y; NaN where unknown. [m]"""


_AT_ONCE = 300_000
"""Places asked for at once: so few that no compiler is loaded for them."""


@dataclass(frozen=True, eq=False)
class Terrain:
    """Heights on a square grid, each cell split along the diagonal from its lower left corner.

    Parameters
    ----------
    west, south : float
        Lower left grid point. [m]
    step : float
        Distance of grid points. [m]
    heights : ndarray, shape (rows, columns)
        z of the grid points, rows from south to north; NaN where unknown. [m]
    """

    alternating: ClassVar[bool] = False
    """Whether every second cell is split along its other diagonal, as a chessboard is coloured."""

    west: float
    south: float
    step: float
    heights: NDArray[np.float64] = field(repr=False)

    @classmethod
    def sample(
        cls,
        height: HeightFunction,
        *,
        bounds: tuple[float, float, float, float],
        cells: int = 320,
    ) -> "Terrain":
        """Sample a surface over bounds (west, south, east, north) with at most `cells` a side."""
        west, south, east, north = bounds
        step = max(east - west, north - south) / cells
        columns = math.floor((east - west) / step + 1e-9) + 1
        rows = math.floor((north - south) / step + 1e-9) + 1
        east_of, north_of = west + step * np.arange(columns), south + step * np.arange(rows)
        z = np.empty((rows, columns))
        block = max(1, _AT_ONCE // columns)
        for first in range(0, rows, block):
            x, y = np.meshgrid(east_of, north_of[first : first + block])
            z[first : first + block] = height(x.ravel(), y.ravel()).reshape(x.shape)
        return cls(west, south, step, z)

    @property
    def east(self) -> float:
        """Eastern end. [m]"""
        return float(self.west + self.step * (self.heights.shape[1] - 1))

    @property
    def north(self) -> float:
        """Northern end. [m]"""
        return float(self.south + self.step * (self.heights.shape[0] - 1))

    @property
    def lowest(self) -> float:
        """Lowest known height. [m]"""
        return float(np.nanmin(self.heights))

    def height(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return z on the drawn triangles; NaN outside and where unknown. [m]"""
        rows, columns = self.heights.shape
        u = (np.asarray(x, float) - self.west) / self.step
        v = (np.asarray(y, float) - self.south) / self.step
        outside = (u < -1e-9) | (v < -1e-9) | (u > columns - 1 + 1e-9) | (v > rows - 1 + 1e-9)
        i = np.clip(np.floor(u).astype(int), 0, columns - 2)
        j = np.clip(np.floor(v).astype(int), 0, rows - 2)
        a, b = np.clip(u - i, 0, 1), np.clip(v - j, 0, 1)
        near, far, z = i, i + 1, self.heights
        if self.alternating:
            other = (i + j) % 2 == 1  # the same from right to left
            near, far, a = i + other, i + 1 - other, np.where(other, 1 - a, a)
        low, high = z[j, near], z[j + 1, far]
        under = low + a * (z[j, far] - low) + b * (high - z[j, far])
        over = low + b * (z[j + 1, near] - low) + a * (high - z[j + 1, near])
        return np.where(outside, np.nan, np.where(a >= b, under, over))

    @property
    def vertices(self) -> Points:
        """Grid points as rows, row by row from the south-west, shape (n, 3). [m]"""
        rows, columns = self.heights.shape
        x, y = np.meshgrid(
            self.west + self.step * np.arange(columns), self.south + self.step * np.arange(rows)
        )
        return np.column_stack([x.ravel(), y.ravel(), self.heights.ravel()])

    @property
    def at_the_end(self) -> NDArray[np.bool_]:
        """Which `vertices` lie on the rim of the grid or beside an unknown height, shape (n,)."""
        return self._ends.ravel()

    @property
    def _ends(self) -> NDArray[np.bool_]:
        """The same for all grid points, in rows; beside means along either axis or diagonally."""
        unknown = np.pad(np.isnan(self.heights), 1, constant_values=True)
        beside = unknown[:-2] | unknown[1:-1] | unknown[2:]
        return np.asarray(beside[:, :-2] | beside[:, 1:-1] | beside[:, 2:])

    @property
    def triangles(self) -> NDArray[np.int32]:
        """Triangles whose three heights are known, shape (m, 3), counter-clockwise from above."""
        rows, columns = self.heights.shape
        return self._triangles_of(np.arange(rows - 1), np.arange(columns - 1))

    def triangles_in(
        self, lowest: NDArray[np.float64], highest: NDArray[np.float64]
    ) -> NDArray[np.int32]:
        """Return those `triangles`, in their order, that may lie in a plan box (corners) [m]."""
        rows, columns = self.heights.shape
        corner = np.array([self.west, self.south])
        first = np.floor((lowest - corner) / self.step).astype(int) - 1
        last = np.floor((highest - corner) / self.step).astype(int) + 2
        (i0, j0), (i1, j1) = np.maximum(first, 0), np.minimum(last, [columns - 1, rows - 1])
        return self._triangles_of(np.arange(j0, j1), np.arange(i0, i1))

    def _triangles_of(
        self, rows: NDArray[np.int64], columns: NDArray[np.int64]
    ) -> NDArray[np.int32]:
        """Return the triangles of cells with known heights, given by their lower left corners."""
        width = self.heights.shape[1]
        first = (rows[:, None] * width + columns).ravel()
        right, above, across = first + 1, first + width, first + width + 1
        both = np.column_stack([first, right, across, first, across, above]).reshape(-1, 3)
        known = np.isfinite(self.heights.ravel())
        return np.asarray(both[known[both].all(axis=1)], dtype=np.int32)

    def drape(self, path: NDArray[np.float64], *, lift: float = 0.0) -> list[Points]:
        """Lay a plan line on the ground.

        Parameters
        ----------
        path : ndarray, shape (n, 2 or more)
            Plan line. [m]
        lift : float
            Height above the ground. [m]

        Returns
        -------
        list of ndarray, each shape (k, 3)
            The line in pieces, broken where the ground is unknown. [m]
        """
        return self.drape_all([path], lift=lift)

    def drape_all(
        self, paths: Sequence[NDArray[np.float64]], *, lift: float = 0.0, unknown: float = math.nan
    ) -> list[Points]:
        """Lay many plan lines on the ground at once; as `drape` otherwise.

        Where the ground is unknown they run at height `unknown`, if that is given. [m]
        """
        if not paths:
            return []
        whole, counts = densify_all(
            [np.asarray(path, float)[:, :2] for path in paths], self.step / 2
        )
        z = self.height(whole[:, 0], whole[:, 1])
        laid = np.column_stack([whole, np.where(np.isfinite(z), z, unknown) + lift])
        lines = np.split(laid, np.cumsum(counts[:-1]))
        if np.isfinite(laid).all():
            return [line for line in lines if len(line) > 1]
        return [piece for line in lines for piece in split_at_gaps(line)]

    def on(self, x: float, y: float, *, lift: float = 0.0) -> Points:
        """Return the point of the ground at a place, shape (3,). [m]"""
        z = float(self.height(np.array([x]), np.array([y]))[0])
        return np.array([x, y, z + lift])


def densify(path: NDArray[np.float64], step: float) -> NDArray[np.float64]:
    """Return a line with points added so that none are farther apart than `step`. [m]"""
    return densify_all([path], step)[0]


def densify_all(
    paths: Sequence[NDArray[np.float64]], step: float
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Return `densify` of many lines: all points, one line after the other, and counts of them."""
    sizes = np.array([len(path) for path in paths])
    ends = np.cumsum(sizes) - 1
    whole = np.concatenate(paths)
    way = np.diff(whole, axis=0, append=whole[-1:])
    way[ends] = 0.0  # from the end of a line nothing leads on
    pieces = np.maximum(1, np.ceil(np.linalg.norm(way, axis=1) / step).astype(int))
    number = np.repeat(np.arange(len(whole)), pieces)
    part = np.arange(len(number)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    points = whole[number] + way[number] * (part / pieces[number])[:, None]
    return points, np.add.reduceat(pieces, ends - sizes + 1)


def split_at_gaps(path: Points) -> list[Points]:
    """Return the runs of at least two finite points of a line."""
    known = np.isfinite(path).all(axis=1)
    edges = np.flatnonzero(np.diff(known)) + 1
    runs = np.split(path, edges)
    return [run for run in runs if len(run) > 1 and np.isfinite(run[0]).all()]


def circle(*, radius: float, centre: Sequence[float] = (0.0, 0.0), n: int = 180) -> Points:
    """Return a closed plan circle, shape (n + 1, 2). [m]"""
    turn = np.linspace(0, 2 * math.pi, n + 1)
    return np.column_stack([centre[0] + radius * np.cos(turn), centre[1] + radius * np.sin(turn)])
