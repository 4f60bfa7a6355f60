"""Compiled loops over very many points, one point after the other.

Loading this module loads the compiler, which takes half a second: import it inside functions, and
ask `visual.ground.batch` first. What is compiled is kept on disk. The loops hold no lock, so that
threads may run them side by side.
"""

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

from visual.ground.triangle import EDGE_TOLERANCE, Array, Numbers

SAME_PLACE = 1e-12
"""A barycentric weight this little below zero is rounding."""

BLOCK = 256
"""Points that heights are fetched for before any is worked out: so the fetches overlap."""

MOST_STEPS = 10_000
"""Of a walk from triangle to triangle; a few are usual."""


@njit(nogil=True, cache=True)
def lattice_heights(
    x: Array,
    y: Array,
    nodes: Array,
    shape: tuple[int, int],
    affine: Array,
    out: Array,
    missed: NDArray[np.bool_],
) -> None:
    """Write the heights of points on a lattice of nodes; see `Cells.locate` and `blend`.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        The points. [m]
    nodes : ndarray, shape (rows · columns, 3)
        x, y, z of the nodes, row after row: side by side, so that they come in one fetch. [m]
    shape : tuple of int
        Rows and columns.
    affine : ndarray, shape (7,)
        x and y of the first node [m], what leads from there to row and column, and the hand of
        the lattice, 1 or −1.
    out : ndarray, shape (n,)
        Takes the heights. [m]
    missed : ndarray of bool, shape (n,)
        Takes True where the first cell is not the right one.
    """
    rows, columns = shape
    for k in range(len(x)):
        east, north = x[k] - affine[0], y[k] - affine[1]
        row = affine[2] * east + affine[3] * north
        column = affine[4] * east + affine[5] * north
        missed[k] = True
        if -1.0 < row < rows and -1.0 < column < columns:
            i, j = min(max(int(row), 0), rows - 2), min(max(int(column), 0), columns - 2)
            first, last, third = _half(x[k], y[k], nodes, i * columns + j, columns, affine[6])
            missed[k], out[k] = _blend(x[k], y[k], nodes[first], nodes[last], nodes[third])


@njit(nogil=True, cache=True)
def smooth_heights(
    x: Array,
    y: Array,
    z: Array,
    affine: Array,
    bend: Array,
    out: Array,
    missed: NDArray[np.bool_],
) -> None:
    """Write the heights of points on a lattice whose rows and columns bend smoothly.

    A quarter of the memory that `lattice_heights` fetches: only heights.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        The points. [m]
    z : ndarray, shape (rows, columns)
        Heights of the nodes. [m]
    affine : ndarray, shape (7,)
        As of `lattice_heights`.
    bend : ndarray, shape (2, 10)
        What to add to row and column; see `_bent`.
    out : ndarray, shape (n,)
        Takes the heights. [m]
    missed : ndarray of bool, shape (n,)
        Takes True where more care is needed: at the rim and on the edges of gaps.
    """
    heights, shares = np.empty((4, BLOCK)), np.empty((2, BLOCK))
    for start in range(0, len(x), BLOCK):
        block = slice(start, min(start + BLOCK, len(x)))
        _fetch(x[block], y[block], z, affine, bend, heights, shares, missed[block])
        _between(heights, shares, out[block], missed[block])


@njit(nogil=True, cache=True)
def _fetch(
    x: Array,
    y: Array,
    z: Array,
    affine: Array,
    bend: Array,
    heights: Array,
    shares: Array,
    missed: NDArray[np.bool_],
) -> None:
    """Fetch the four heights of the cell of each point, and its shares down and across it."""
    rows, columns = z.shape
    flat = not bend.any()
    for k in range(len(x)):
        east, north = x[k] - affine[0], y[k] - affine[1]
        row = affine[2] * east + affine[3] * north
        column = affine[4] * east + affine[5] * north
        if not flat:
            p, q = row / rows, column / columns
            row += _bent(p, q, bend[0])
            column += _bent(p, q, bend[1])
        inside = (row >= 0.0) & (row < rows - 1) & (column >= 0.0) & (column < columns - 1)
        missed[k] = not inside
        row, column = (row, column) if inside else (0.0, 0.0)
        i, j = int(row), int(column)
        shares[0, k], shares[1, k] = row - i, column - j
        heights[0, k], heights[1, k] = z[i, j], z[i, j + 1]
        heights[2, k], heights[3, k] = z[i + 1, j], z[i + 1, j + 1]


@njit(nogil=True, cache=True)
def _between(heights: Array, shares: Array, out: Array, missed: NDArray[np.bool_]) -> None:
    """Write the height at shares of cells; mark cells beside a gap, which are split otherwise."""
    for k in range(len(out)):
        za, zb, zc, zd = heights[0, k], heights[1, k], heights[2, k], heights[3, k]
        v, u = shares[0, k], shares[1, k]
        ad, bc = abs(za - zd), abs(zb - zc)
        along_ad = (ad < bc) | ((ad == bc) & (za + zd > zb + zc))
        above, near = u > v, u + v < 1
        # Choices instead of branches, so that many points go through the processor at once.
        across = zb - za if (along_ad & above) | (~along_ad & near) else zd - zc
        down = zd - zb if (along_ad & above) | (~along_ad & ~near) else zc - za
        base = za if along_ad | near else zb + zc - zd
        height = base + u * across + v * down
        missed[k] = missed[k] | math.isnan(za + zb + zc + zd)
        out[k] = height


@njit(nogil=True, cache=True)
def _bent(p: float, q: float, bend: Array) -> float:
    """Return a polynomial of the third degree in the shares of rows and columns."""
    first = bend[0] + p * (bend[1] + p * (bend[2] + p * bend[3]))
    second = bend[4] + p * (bend[5] + p * bend[6])
    return float(first + q * (second + q * (bend[7] + p * bend[8] + q * bend[9])))


@njit(nogil=True, cache=True)
def largest_miss(node_x: Array, node_y: Array, affine: Array, bend: Array) -> float:
    """Return how far row or column of any node, or of the middle of any cell, is off by it."""
    rows, columns = node_x.shape
    worst = 0.0
    for i in range(rows):
        for j in range(columns):
            x, y = node_x[i, j], node_y[i, j]
            worst = max(worst, _miss(x, y, i, j, (rows, columns), affine, bend))
            if i + 1 < rows and j + 1 < columns:
                x, y = (x + node_x[i + 1, j + 1]) / 2, (y + node_y[i + 1, j + 1]) / 2
                worst = max(worst, _miss(x, y, i + 0.5, j + 0.5, (rows, columns), affine, bend))
                x = (node_x[i + 1, j] + node_x[i, j + 1]) / 2
                y = (node_y[i + 1, j] + node_y[i, j + 1]) / 2
                worst = max(worst, _miss(x, y, i + 0.5, j + 0.5, (rows, columns), affine, bend))
    return worst


@njit(nogil=True, cache=True)
def _miss(
    x: float, y: float, i: float, j: float, shape: tuple[int, int], affine: Array, bend: Array
) -> float:
    """Return how far row or column of a place is off i and j."""
    east, north = x - affine[0], y - affine[1]
    row = affine[2] * east + affine[3] * north
    column = affine[4] * east + affine[5] * north
    p, q = row / shape[0], column / shape[1]
    off = abs(row + _bent(p, q, bend[0]) - i), abs(column + _bent(p, q, bend[1]) - j)
    return float(max(off))


@njit(nogil=True, cache=True)
def _half(
    x: float, y: float, nodes: Array, a: int, columns: int, hand: float
) -> tuple[int, int, int]:
    """Return the half of a cell on whose side of the diagonal a point lies; see `Cells`."""
    b, c, d = a + 1, a + columns, a + columns + 1
    za, zb, zc, zd = nodes[a, 2], nodes[b, 2], nodes[c, 2], nodes[d, 2]
    ad, bc = abs(za - zd), abs(zb - zc)
    smaller = ad < bc or (ad == bc and za + zd > zb + zc) or math.isnan(bc)
    along_ad = smaller and not math.isnan(ad)
    first, last = (a, d) if along_ad else (b, c)
    right, up = nodes[last, 0] - nodes[first, 0], nodes[last, 1] - nodes[first, 1]
    aside = (right * (y - nodes[first, 1]) - up * (x - nodes[first, 0])) * hand
    near, far = (b, c) if along_ad else (d, a)
    return first, last, near if aside > 0 else far


@njit(nogil=True, cache=True)
def _blend(x: float, y: float, a: Array, b: Array, c: Array) -> tuple[bool, float]:
    """Return whether a point is not in a triangle, and the height there if it is."""
    one, two, three = _areas(x, y, a, b, c)
    total = one + two + three
    if total == 0.0 or not min(one / total, two / total, three / total) >= -SAME_PLACE:
        return True, math.nan
    height = 0.0
    for share, z in ((one / total, a[2]), (two / total, b[2]), (three / total, c[2])):
        # A corner without weight does not count, though its height be unknown.
        if abs(share) >= EDGE_TOLERANCE:
            height += share * z
    return False, height


@njit(nogil=True, cache=True)
def _areas(x: float, y: float, a: Array, b: Array, c: Array) -> tuple[float, float, float]:
    """Return twice the area between a point and each side of a triangle, + on its left."""
    ax, ay, bx, by, cx, cy = a[0] - x, a[1] - y, b[0] - x, b[1] - y, c[0] - x, c[1] - y
    return bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx


@njit(nogil=True, cache=True)
def tin_heights(
    x: Array,
    y: Array,
    triangles: Array,
    neighbours: Numbers,
    kept: Numbers,
    starts: Numbers,
    grid: Array,
    out: Array,
    found: Numbers,
) -> None:
    """Write the heights of points on triangles, walking to each from the start of its bucket.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        The points. [m]
    triangles, neighbours, kept, starts, grid : ndarray
        As in `visual.ground.walk.Walk`.
    out : ndarray, shape (n,)
        Takes the heights; NaN beside the ground. [m]
    found : ndarray of int, shape (n,)
        Takes the triangle of each point, −1 beside the ground; −2 where more care is needed: on
        an edge at the rim or of a sliver.
    """
    for k in range(len(x)):
        out[k], found[k] = math.nan, -1
        if not (math.isfinite(x[k]) and math.isfinite(y[k])):
            continue
        row = int(min(max((y[k] - grid[1]) * grid[2], 0.0), starts.shape[0] - 1.0))
        column = int(min(max((x[k] - grid[0]) * grid[2], 0.0), starts.shape[1] - 1.0))
        at, least = _walked(x[k], y[k], triangles, neighbours, starts[row, column])
        found[k] = at
        if at < 0:
            continue
        t = triangles[at]
        if kept[at] == 2 or (kept[at] == 1 and least > EDGE_TOLERANCE):
            one, two, three = _areas(x[k], y[k], t[0], t[1], t[2])
            out[k] = (one * t[0, 2] + two * t[1, 2] + three * t[2, 2]) / (one + two + three)
        else:
            found[k] = -1 if least > EDGE_TOLERANCE else -2


@njit(nogil=True, cache=True)
def _walked(
    x: float, y: float, triangles: Array, neighbours: Numbers, start: int
) -> tuple[int, float]:
    """Walk to the triangle that holds a point; return it and the point's smallest weight in it.

    −1 for a point beyond the rim, −2 for one hardly beyond it.
    """
    at = start
    for _ in range(MOST_STEPS):
        t = triangles[at]
        one, two, three = _areas(x, y, t[0], t[1], t[2])
        least = min(one, two, three)
        if least >= 0.0:
            return at, least / (one + two + three)
        side = 0 if least == one else 1 if least == two else 2
        following = neighbours[at, side]
        if following < 0:
            return (-1 if least < -2 * EDGE_TOLERANCE * (one + two + three) else -2), least
        at = following
    return -2, 0.0
