"""Converting the nodes of a large grid without asking the map projection for each of them."""

import math
from collections.abc import Callable

import numpy as np

from visual.ground.triangle import Array

WORTHWHILE = 20_000
"""Grids with fewer nodes than this are converted node by node."""

DEGREE = 5

SMALL = 1e-6
"""Largest error allowed; a thousandth of what a survey can see. [m]"""


def smooth_grid(exact: Callable[[Array, Array], Array], rows: Array, columns: Array) -> Array:
    """Convert a grid of rows and columns that a smooth function maps to the local frame.

    A polynomial through a few nodes stands in for the function if it is right to 1 µm at others;
    if it is not, every node is converted.

    Parameters
    ----------
    exact : callable
        Takes rows (m,) and columns (n,), returns x and y as one array of shape (2, m, n). [m]
    rows, columns : ndarray
        The grid.

    Returns
    -------
    ndarray, shape (2, rows, columns)
        x and y of the nodes. [m]
    """
    if rows.size * columns.size < WORTHWHILE:
        return exact(rows, columns)
    nodes = _roots()
    # not np.interp: rows may run downwards, as those of an image do
    v, u = (_share(a) for a in (rows, columns))
    known = exact(_at(nodes, rows), _at(nodes, columns))
    inverse = np.linalg.inv(_chebyshev(nodes))
    factors = inverse @ known @ inverse.T
    tests = np.linspace(-1, 1, 9)
    far_off = np.abs(_series(factors, tests, tests) - exact(_at(tests, rows), _at(tests, columns)))
    # Written so that NaN counts as wrong.
    if not far_off.max() < SMALL:
        return exact(rows, columns)
    return _series(factors, v, u)


def _share(a: Array) -> Array:
    """Return evenly running values as -1 … 1 from the first to the last."""
    length = float(a[-1] - a[0])
    return np.asarray(2 * (a - a[0]) / (length if length != 0 else 1.0) - 1, dtype=float)


def _at(share: Array, ends: Array) -> Array:
    """Return values between the ends of an array for -1 … 1."""
    return np.asarray(np.interp(share, [-1.0, 1.0], [ends[0], ends[-1]]), dtype=float)


def _series(factors: Array, v: Array, u: Array) -> Array:
    left, right = (_chebyshev(a) for a in (v, u))
    return np.asarray(left @ factors @ right.T, dtype=float)


def _roots() -> Array:
    """Return the zeros of the first Chebyshev polynomial that is left out, ascending."""
    count = DEGREE + 1
    return np.asarray(np.sin(0.5 * math.pi / count * np.arange(1 - count, count, 2)), dtype=float)


def _chebyshev(x: Array) -> Array:
    """Return the Chebyshev polynomials up to `DEGREE` at points, shape (n, DEGREE + 1).

    By their recursion; `numpy.polynomial` has them too, but takes longer to load than all of this
    takes to run.
    """
    values = np.empty((DEGREE + 1, len(x)))
    values[0], values[1] = 1.0, x
    for degree in range(2, DEGREE + 1):
        values[degree] = values[degree - 1] * (2 * x) - values[degree - 2]
    return values.T
