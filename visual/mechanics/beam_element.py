"""One element of a plane beam: u, v, φ of its left end, then of its right end.

Euler–Bernoulli with Hermite shape functions: J. S. Przemieniecki, Theory of Matrix Structural
Analysis, 1968, p. 79 (stiffness), p. 284 (consistent loads) and p. 392 (geometric stiffness);
pages from memory.
"""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def element_stiffness(length: float, axial: float, flexural: float) -> Array:
    """Return the stiffness of an element, shape (6, 6).

    Parameters
    ----------
    length : float
        Length. [m]
    axial, flexural : float
        EA [N] and EI [N m²].
    """
    one = np.zeros((6, 6))
    one[np.ix_([0, 3], [0, 3])] = axial / length * np.array([[1, -1], [-1, 1]])
    h = length
    across = np.array(
        [
            [12, 6 * h, -12, 6 * h],
            [6 * h, 4 * h * h, -6 * h, 2 * h * h],
            [-12, -6 * h, 12, -6 * h],
            [6 * h, 2 * h * h, -6 * h, 4 * h * h],
        ]
    )
    one[np.ix_([1, 2, 4, 5], [1, 2, 4, 5])] = flexural / h**3 * across
    return one


def element_softening(length: float) -> Array:
    """Return what a thrust of 1 N takes off the stiffness of an element, shape (6, 6).

    Parameters
    ----------
    length : float
        Length. [m]
    """
    one = np.zeros((6, 6))
    h = length
    across = np.array(
        [
            [36, 3 * h, -36, 3 * h],
            [3 * h, 4 * h * h, -3 * h, -h * h],
            [-36, -3 * h, 36, -3 * h],
            [3 * h, -h * h, -3 * h, 4 * h * h],
        ]
    )
    one[np.ix_([1, 2, 4, 5], [1, 2, 4, 5])] = across / (30 * h)
    return one


def element_loads(lengths: Array, spread: Array) -> Array:
    """Return the consistent loads of uniform loads on elements, shape (..., n, 6).

    Parameters
    ----------
    lengths : ndarray, shape (n,)
        Lengths. [m]
    spread : ndarray, shape (..., n, 2)
        Load per length, along and across. [N/m]
    """
    h, along, across = lengths, spread[..., 0], spread[..., 1]
    turn = across * h**2 / 12
    half_along, half_across = along * h / 2, across * h / 2
    return np.stack([half_along, half_across, turn, half_along, half_across, -turn], axis=-1)
