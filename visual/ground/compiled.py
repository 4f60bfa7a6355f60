"""Compiled loops over many points.

Each function here is plain Python that says what is computed, one point after the other.
`compiled` translates it to machine code the first time it is needed and keeps the result on disk.
Loading the compiler takes half a second, so small batches stay with numpy: see `worth_compiling`.
"""

import functools
import math
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.ground.triangle import Array, Numbers

LOADED_FROM = 4_000
"""Points from which the compiled loop is quicker, once the compiler is loaded."""

WORTH_LOADING = 400_000
"""Points from which loading the compiler pays."""

MOST_STEPS = 10_000
"""Of a walk from triangle to triangle; a few are usual."""


def worth_compiling(points: int) -> bool:
    """Tell whether a compiled loop is quicker for so many points."""
    return points >= (LOADED_FROM if "numba" in sys.modules else WORTH_LOADING)


@functools.cache
def compiled(function: Callable[..., None]) -> Callable[..., None]:
    """Translate a function of this module; it runs without holding the interpreter's lock."""
    import numba

    try:
        fast: Any = numba.njit(nogil=True, cache=True)(function)
    except RuntimeError:  # no place on disk to keep it
        fast = numba.njit(nogil=True)(function)
    return fast  # type: ignore[no-any-return]


def lattice_heights(
    x: Array,
    y: Array,
    nodes: Array,
    affine: Array,
    hand: float,
    rows: int,
    columns: int,
    limits: Array,
    out: Array,
    missed: NDArray[np.int8],
) -> None:
    """Write the heights of points on a lattice of nodes; see `Cells.locate` and `blend`.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        The points. [m]
    nodes : ndarray, shape (rows · columns, 3)
        x, y, z of the nodes, row after row: side by side, so that they come in one fetch. [m]
    affine : ndarray, shape (6,)
        x and y of the first node [m], then what leads from there to row and column.
    hand : float
        Of the lattice, 1 or −1.
    rows, columns : int
        Shape of the lattice.
    limits : ndarray, shape (2,)
        Weight below which a point is not in its triangle, and on the edge of it.
    out : ndarray, shape (n,)
        Takes the heights. [m]
    missed : ndarray of int, shape (n,)
        Takes 1 where the first cell is not the right one, else 0.
    """
    x0, y0, row_x, row_y, column_x, column_y = affine
    for k in range(len(x)):
        px, py = x[k], y[k]
        missed[k] = 1
        row = row_x * (px - x0) + row_y * (py - y0)
        column = column_x * (px - x0) + column_y * (py - y0)
        if not (-1.0 < row < rows and -1.0 < column < columns):
            continue
        a = min(max(int(row), 0), rows - 2) * columns + min(max(int(column), 0), columns - 2)
        b, c, d = a + 1, a + columns, a + columns + 1
        za, zb, zc, zd = nodes[a, 2], nodes[b, 2], nodes[c, 2], nodes[d, 2]
        ad, bc = abs(za - zd), abs(zb - zc)
        along_ad = ad < bc or (ad == bc and za + zd > zb + zc) or math.isnan(bc)
        along_ad = along_ad and not math.isnan(ad)
        first, last = (a, d) if along_ad else (b, c)
        ax, ay, bx, by = nodes[first, 0], nodes[first, 1], nodes[last, 0], nodes[last, 1]
        aside = ((bx - ax) * (py - ay) - (by - ay) * (px - ax)) * hand
        near, far = (b, c) if along_ad else (d, a)
        third = near if aside > 0 else far
        ax, ay, bx, by = ax - px, ay - py, bx - px, by - py
        cx, cy = nodes[third, 0] - px, nodes[third, 1] - py
        one, two, three = bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx
        total = one + two + three
        if total == 0.0:
            continue
        one, two, three = one / total, two / total, three / total
        if not min(one, two, three) >= -limits[0]:
            continue
        height = 0.0
        if abs(one) >= limits[1]:
            height += one * nodes[first, 2]
        if abs(two) >= limits[1]:
            height += two * nodes[last, 2]
        if abs(three) >= limits[1]:
            height += three * nodes[third, 2]
        out[k] = height
        missed[k] = 0


def tin_heights(
    x: Array,
    y: Array,
    triangles: Array,
    neighbours: Numbers,
    kept: Numbers,
    starts: Numbers,
    grid: Array,
    edge: float,
    out: Array,
    found: Numbers,
) -> None:
    """Write the heights of points on triangles, walking to each from the start of its bucket.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        The points. [m]
    triangles : ndarray, shape (t, 9)
        x, y, z of the three corners of each, anticlockwise. [m]
    neighbours : ndarray of int, shape (t, 3)
        The triangle across the side opposite each corner; −1 at the rim.
    kept : ndarray of int, shape (t,)
        2 for ground, 1 for ground that touches a sliver, 0 for a sliver.
    starts : ndarray of int, shape (rows, columns)
        Triangle to begin at, bucket by bucket.
    grid : ndarray, shape (3,)
        x and y of the first bucket, and buckets per metre.
    edge : float
        A point with a smaller weight lies on the edge of its triangle.
    out : ndarray, shape (n,)
        Takes the heights; NaN beside the ground. [m]
    found : ndarray of int, shape (n,)
        Takes the triangle of each point, −1 beside the rim; −2 where more care is needed: on an
        edge at the rim or of a sliver.
    """
    rows, columns = starts.shape
    for k in range(len(x)):
        px, py = x[k], y[k]
        out[k] = math.nan
        found[k] = -1
        if not (math.isfinite(px) and math.isfinite(py)):
            continue
        row = min(max(int(max((py - grid[1]) * grid[2], 0.0)), 0), rows - 1)
        column = min(max(int(max((px - grid[0]) * grid[2], 0.0)), 0), columns - 1)
        at = starts[row, column]
        found[k] = -2
        for _ in range(MOST_STEPS):
            t = triangles[at]
            ax, ay, bx, by, cx, cy = (
                t[0] - px,
                t[1] - py,
                t[3] - px,
                t[4] - py,
                t[6] - px,
                t[7] - py,
            )
            one, two, three = bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx
            least, side = one, 0
            if two < least:
                least, side = two, 1
            if three < least:
                least, side = three, 2
            total = one + two + three
            if least >= 0.0:
                clear = least > edge * total
                if kept[at] == 2 or (kept[at] == 1 and clear):
                    found[k] = at
                    out[k] = (one * t[2] + two * t[5] + three * t[8]) / total
                elif clear:  # within a sliver
                    found[k] = -1
                break
            following = neighbours[at, side]
            if following < 0:
                if least < -2.0 * edge * total:
                    found[k] = -1
                break
            at = following
