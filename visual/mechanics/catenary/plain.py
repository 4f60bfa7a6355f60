"""Shapes of inextensible hanging lines: conductors of known sag, slack wires of known length.

Plain catenary y = c cosh(x/c), any statics textbook. With Z the rise and k = span/2c::

    length² = Z² + (2c sinh k)²
    sag at mid-span, plumb below the chord = tanh(k/2) · half the length
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from visual.mechanics.root import root_between

Array = NDArray[np.float64]


def conductor_shape(start: Array, end: Array, sag: float, n: int) -> Array:
    """Return n points of a conductor between two supports. [m].

    Parameters
    ----------
    start, end : ndarray, shape (3,)
        The supports. [m]
    sag : float
        Depth at mid-span below the straight line between the supports, plumb. [m]
    n : int
        How many points, ends included.

    Returns
    -------
    ndarray, shape (n, 3)
        From start to end, evenly spaced in plan; straight where the sag is 0 or the supports
        stand one above the other.

    Raises
    ------
    ValueError
        If the sag is negative or not a number.
    """
    if not (sag >= 0 and math.isfinite(sag)):
        message = f"a sag of {sag:g} m cannot be drawn; give 0 or more"
        raise ValueError(message)
    span, rise = _span_and_rise(start, end)
    share = np.linspace(0, 1, n)
    if sag == 0 or span == 0:
        return _straight(start, end, n)
    k = _k_of_sag(span, rise, sag)
    return _placed(start, end, share, _heights(share, k, span, rise))


def conductor_points_for_error(sag: float, error: float) -> int:
    """Return how many points keep the straight pieces of `conductor_shape` within an error.

    n pieces of equal length in plan stand off the curve by c (cosh(k/n) − 1) at most, square to
    the piece, which is no more than sag/n².

    Parameters
    ----------
    sag : float
        Depth at mid-span. [m]
    error : float
        Largest distance allowed between curve and pieces. [m]
    """
    return max(2, math.ceil(math.sqrt(sag / error)) + 1)


def slack_shape(start: Array, end: Array, length: float, n: int) -> Array:
    """Return n points of a slack wire hanging between two places. [m].

    Parameters
    ----------
    start, end : ndarray, shape (3,)
        Where the wire is held. [m]
    length : float
        Length of the wire; its stretch is left out. [m]
    n : int
        How many points, ends included.

    Returns
    -------
    ndarray, shape (n, 3)
        From start to end; straight if the length is no more than the distance, a loop straight
        down and up if the two places are one above the other.
    """
    span, rise = _span_and_rise(start, end)
    # This close to a straight line or a plumb loop the catenary would lose its digits.
    if length <= math.hypot(span, rise) * (1 + 1e-12):
        return _straight(start, end, n)
    if span < 1e-9 * length:
        return _loop(start, end, length, n)
    k = _k_of_length(span, rise, length)
    share = _even_shares(n, k, span, rise)
    return _placed(start, end, share, _heights(share, k, span, rise))


def _span_and_rise(start: Array, end: Array) -> tuple[float, float]:
    return math.hypot(end[0] - start[0], end[1] - start[1]), float(end[2] - start[2])


def _k_of_sag(span: float, rise: float, sag: float) -> float:
    def excess(k: float) -> float:
        return math.tanh(k / 2) * math.hypot(span * _sinh_over(k), rise) / 2 - sag

    return _root(excess)


def _k_of_length(span: float, rise: float, length: float) -> float:
    level = math.sqrt((length - rise) * (length + rise))
    return _root(lambda k: span * _sinh_over(k) - level)


def _root(rising: Callable[[float], float]) -> float:
    upper = 1.0
    while rising(upper) < 0:
        upper *= 2
    return root_between(rising, 0.0, upper, tolerance=0.0)


def _sinh_over(k: float) -> float:
    return math.sinh(k) / k if k else 1.0


def _start_turn(k: float, span: float, rise: float) -> float:
    """Return x/c at the start, counted from the lowest point of the curve."""
    return math.asinh(rise / (span * _sinh_over(k))) - k


def _heights(share: Array, k: float, span: float, rise: float) -> Array:
    """Return heights above the start at shares of the span, c (cosh θ − cosh θ₀). [m]."""
    start = _start_turn(k, span, rise)
    return span / k * np.sinh(start + k * share) * np.sinh(k * share)


def _even_shares(n: int, k: float, span: float, rise: float) -> Array:
    """Return the shares of the span that part the curve into n − 1 arcs of one length."""
    start = _start_turn(k, span, rise)
    sines = np.linspace(math.sinh(start), math.sinh(start + 2 * k), n)
    return (np.arcsinh(sines) - start) / (2 * k)


def _placed(start: Array, end: Array, share: Array, heights: Array) -> Array:
    """Put shares of the span and heights above the start into space."""
    points = np.outer(1 - share, start) + np.outer(share, end)
    points[:, 2] = start[2] + heights
    points[0], points[-1] = start, end
    return points


def _straight(start: Array, end: Array, n: int) -> Array:
    return np.linspace(start, end, n)


def _loop(start: Array, end: Array, length: float, n: int) -> Array:
    """Return a line straight down from the start and straight up to the end. [m]."""
    rise = float(end[2] - start[2])
    arc = np.linspace(0, length, n)
    heights = np.maximum(-arc, rise - (length - arc))
    return _placed(start, end, arc / length, heights)
