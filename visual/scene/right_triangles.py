"""Fewer triangles for a grid of heights, none farther off than is allowed at its place.

Right-triangulated irregular network: W. Evans, D. Kirkpatrick and G. Townsend, Right-triangulated
irregular networks, Algorithmica 30 (2001). Squares of the grid are cut along a diagonal, and each
right triangle at the middle of its longest side, as often as it takes. The two triangles at a
longest side are cut together or not at all, so that no crack opens.

Where squares of every size are cut along alternating diagonals, every triangle is made up of whole
halves of the smallest squares. So what is left out is known exactly: the ground of the
smallest halves and that of the large triangles differ most at grid points.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Coarse = NDArray[np.float32]
Places = NDArray[np.int64]

LARGEST = 64
"""Cells along a side of the largest squares; a power of two."""

_ANY = 1e30  # beyond the grid everything is allowed [m]
_ROUNDING = 1e-9  # heights this close are the same [m]


@dataclass(frozen=True, eq=False)
class RightTriangles:
    """A grid of heights with fewer triangles.

    Parameters
    ----------
    heights : ndarray, shape (rows, columns)
        Height of the triangles at every grid point, NaN where unknown. With its cells cut along
        alternating diagonals (that of the first from lower left to upper right) this grid is the
        same surface as the triangles. [m]
    nodes : ndarray of int, shape (n,)
        Grid points that are corners, counted row after row, in order.
    triangles : ndarray of int, shape (m, 3)
        Numbers into `nodes`, counter-clockwise if rows run north and columns east.
    loosened : float
        What the allowed difference was multiplied with to keep to the number of triangles; 1 if
        there was no need.
    """

    heights: Numbers = field(repr=False)
    nodes: Places = field(repr=False)
    triangles: NDArray[np.int32] = field(repr=False)
    loosened: float


def right_triangles(heights: Numbers, *, allowed: Numbers, most: int) -> RightTriangles:
    """Cover a grid of heights with few triangles.

    Parameters
    ----------
    heights : ndarray, shape (rows, columns)
        NaN where unknown. [m]
    allowed : ndarray, shape (rows, columns)
        How far the triangles may be off at each grid point; 0 for not at all. [m]
    most : int
        About the largest number of triangles: if it takes more, all that is allowed and not 0 is
        multiplied with what it takes. What must be exact stays so, whatever the number.
    """
    rows, columns = heights.shape
    z = _grown(heights, np.nan)
    ratio = _ratios(z, _grown(allowed, _ANY))
    loosened = _loosened(ratio, most)
    drawn = _laid(z, ratio, loosened)
    corners = np.concatenate([part.ravel() for part in _mesh(z, ratio, loosened)]).reshape(-1, 3)
    width = z.shape[1]
    corners = corners // width * columns + corners % width
    used = np.zeros(rows * columns, dtype=bool)
    used[corners] = True
    number = np.cumsum(used, dtype=np.int32) - 1
    kept = np.ascontiguousarray(drawn[:rows, :columns])
    return RightTriangles(kept, np.flatnonzero(used), number[corners], loosened)


def _grown(grid: Numbers, fill: float) -> Numbers:
    """Return a grid continued to whole largest squares."""
    cells = [-(-(n - 1) // LARGEST) * LARGEST for n in grid.shape]
    grown = np.full((cells[0] + 1, cells[1] + 1), fill)
    grown[: grid.shape[0], : grid.shape[1]] = grid
    return grown


@dataclass(frozen=True, eq=False)
class _Part:
    """What is known of the two triangles at each longest side of one kind.

    `low` and `high`: the ground lies within these of the triangles [m]; `allowed`: least that is
    allowed in them [m]; `some`: whether anything is known in them.
    """

    low: Coarse
    high: Coarse
    allowed: Coarse
    some: NDArray[np.bool_]

    def joined(self, join: Callable[[NDArray[Any], "np.ufunc", float], NDArray[Any]]) -> "_Part":
        """Return the parts that the triangles of this one make up."""
        return _Part(
            join(self.low, np.minimum, 0.0),
            join(self.high, np.maximum, 0.0),
            join(self.allowed, np.minimum, np.inf),
            join(self.some, np.logical_or, False),
        )

    def cut(self, off: Numbers) -> "_Part":
        """Return the same for triangles that leave out a middle, which is `off` above them. [m]

        Leaving it out moves the triangle by a share of `off` between none and all of it.
        """
        off = np.nan_to_num(off).astype(np.float32)
        low, high = self.low + np.minimum(off, 0.0), self.high + np.maximum(off, 0.0)
        return _Part(low, high, self.allowed, self.some)

    @property
    def ratio(self) -> Coarse:
        """How much more is left out than allowed; infinite: must be cut; -1: nothing known."""
        off = np.maximum(self.high, -self.low)
        with np.errstate(divide="ignore", invalid="ignore"):
            found = np.where(off <= _ROUNDING, 0, off / self.allowed)
        return np.asarray(np.where(self.some, found, -1), dtype=np.float32)


def _ratios(z: Numbers, allowed: Numbers) -> Coarse:
    """Return `_Part.ratio` at the middle of every longest side, from small squares to large."""
    ratio = np.zeros(z.shape, dtype=np.float32)
    inner = _smallest(z, allowed)
    size = 2
    while size <= LARGEST:
        half = size // 2
        flat, steep = inner.joined(_onto_rows), inner.joined(_onto_columns)
        row, column = z[::size], z[:, ::size]
        flat = flat.cut(row[:, half::size] - (row[:, :-1:size] + row[:, size::size]) / 2)
        steep = steep.cut(
            column[half::size] - (column[:-1:size] + column[size::size]) / 2,
        )
        inner = _around(flat, steep).cut(z[half::size, half::size] - _diagonal(z[::size, ::size]))
        ratio[::size, half::size] = flat.ratio
        ratio[half::size, ::size] = steep.ratio
        ratio[half::size, half::size] = inner.ratio
        size *= 2
    return ratio


def _smallest(z: Numbers, allowed: Numbers) -> _Part:
    """Return what is known of the halves of the smallest squares."""
    known = np.isfinite(z)
    a, b, c, d = known[:-1, :-1], known[:-1, 1:], known[1:, :-1], known[1:, 1:]
    whole = a & b & c & d
    count = a.astype(np.int8) + b + c + d
    # a square with one unknown corner keeps the half that lacks it
    some = whole | ((count == 3) & np.where(_even(whole.shape), a & d, b & c))
    zero = np.zeros(whole.shape, dtype=np.float32)
    least = np.minimum(
        np.minimum(allowed[:-1, :-1], allowed[:-1, 1:]),
        np.minimum(allowed[1:, :-1], allowed[1:, 1:]),
    )
    high = np.where(whole, np.float32(0.0), np.float32(np.inf))
    return _Part(zero, high, least.astype(np.float32), some)


def _even(shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Return which squares are cut from lower left to upper right."""
    row, column = np.arange(shape[0], dtype=np.int32), np.arange(shape[1], dtype=np.int32)
    return np.asarray((row[:, None] + column) % 2 == 0)


def _diagonal(corner: Numbers) -> Numbers:
    """Return the height at the middle of each square's diagonal, from the corners of squares."""
    rising = corner[:-1, :-1] + corner[1:, 1:]
    falling = corner[:-1, 1:] + corner[1:, :-1]
    return np.where(_even(rising.shape), rising, falling) / 2


def _onto_rows(inner: NDArray[Any], join: "np.ufunc", none: float) -> NDArray[Any]:
    """Join the four squares that touch the middle of each level side of squares twice as large."""
    pairs = join(inner[:, ::2], inner[:, 1::2])
    rim = np.full((1, pairs.shape[1]), none, dtype=pairs.dtype)
    padded = np.concatenate([rim, pairs, rim])
    return np.asarray(join(padded[::2], padded[1::2]))


def _onto_columns(inner: NDArray[Any], join: "np.ufunc", none: float) -> NDArray[Any]:
    return _onto_rows(inner.T, join, none).T


def _around(flat: _Part, steep: _Part) -> _Part:
    """Join the four sides of each square."""

    def four(a: NDArray[Any], b: NDArray[Any], join: "np.ufunc") -> NDArray[Any]:
        return np.asarray(join(join(a[:-1], a[1:]), join(b[:, :-1], b[:, 1:])))

    return _Part(
        four(flat.low, steep.low, np.minimum),
        four(flat.high, steep.high, np.maximum),
        four(flat.allowed, steep.allowed, np.minimum),
        four(flat.some, steep.some, np.logical_or),
    )


def _loosened(ratio: Coarse, most: int) -> float:
    """Return what allowed differences must be multiplied with; every cut makes two triangles."""
    cuts = most // 2
    some = ratio[np.isfinite(ratio) & (ratio > 1)]
    must = int(np.isinf(ratio).sum())
    spare = max(cuts - must, 0)
    if len(some) <= spare:
        return 1.0
    return float(np.partition(some, len(some) - spare - 1)[len(some) - spare - 1])


def _laid(z: Numbers, ratio: Coarse, loosened: float) -> Numbers:
    """Return the height of the triangles at every grid point, from large squares to small."""
    laid = z.copy()
    size = LARGEST
    while size >= 2:
        half = size // 2
        _lay(laid, ratio, loosened, (slice(half, None, size),) * 2, _diagonal(laid[::size, ::size]))
        row = laid[::size]
        flat = (row[:, :-1:size] + row[:, size::size]) / 2
        column = laid[:, ::size]
        steep = (column[:-1:size] + column[size::size]) / 2
        _lay(laid, ratio, loosened, (slice(None, None, size), slice(half, None, size)), flat)
        _lay(laid, ratio, loosened, (slice(half, None, size), slice(None, None, size)), steep)
        size = half
    laid[np.isnan(z)] = np.nan
    return laid


def _lay(
    laid: Numbers,
    ratio: Coarse,
    loosened: float,
    at: tuple[slice, slice],
    between: Numbers,
) -> None:
    """Lay the middles that are left out on the longest sides."""
    known = laid[at]
    laid[at] = np.where((ratio[at] > loosened) | np.isnan(between), known, between)


def _mesh(z: Numbers, ratio: Coarse, loosened: float) -> Iterator[Places]:
    """Yield the triangles as places in the flat grid: apex first, then the longest side."""
    flat, known = ratio.ravel(), np.isfinite(z).ravel()
    left = _largest_halves(z.shape)
    for _ in range(2 * (LARGEST.bit_length() - 1)):
        middle = (left[:, 1] + left[:, 2]) // 2
        here = flat[middle]
        yield left[(here >= 0) & (here <= loosened)]
        cut = here > loosened
        apex, first, last = left[cut].T
        middle = middle[cut]
        left = np.concatenate(
            [np.stack([middle, apex, first], axis=1), np.stack([middle, last, apex], axis=1)]
        )
    yield left[known[left].all(axis=1)]


def _largest_halves(shape: tuple[int, ...]) -> Places:
    """Return the halves of the largest squares: right-angled corner, then the longest side."""
    rows, columns = (np.arange(0, n - 1, LARGEST) for n in shape)
    a = (rows[:, None] * shape[1] + columns).ravel()
    b, c = a + LARGEST, a + LARGEST * shape[1]
    d = c + LARGEST
    even = _even((len(rows), len(columns))).ravel()[:, None]
    first = np.where(even, np.stack([b, d, a], axis=1), np.stack([a, b, c], axis=1))
    second = np.where(even, np.stack([c, a, d], axis=1), np.stack([d, c, b], axis=1))
    return np.concatenate([first, second]).astype(np.int64)
