"""Where a function of one number is zero, within a bracket.

T. R. Chandrupatla, A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear
function without using derivatives, Advances in Engineering Software 28 (1997) 145–149 (from
memory).  Written out here, and not taken from a library, because loading the library takes longer
than a whole check of a site.
"""

import math
from collections.abc import Callable


def root_between(
    function: Callable[[float], float],
    low: float,
    high: float,
    *,
    tolerance: float,
    not_below: bool = False,
) -> float:
    """Return a place between two of opposite sign where a function is zero.

    Parameters
    ----------
    function : callable
        Continuous, with values of opposite sign, or zero, at both ends.
    low, high : float
        The ends, in any order.
    tolerance : float
        How near the place is wanted; never nearer than rounding allows.
    not_below : bool
        Return a place where the value is not negative, though one just beside it may be nearer
        to zero.

    Raises
    ------
    ValueError
        If both ends have the same sign, or a value is not a number.
    """
    a, b = high, low
    at_a, at_b = function(a), function(b)
    if not at_a * at_b <= 0:
        message = f"no change of sign between {low:g} and {high:g}: {at_b:g} and {at_a:g}"
        raise ValueError(message)
    if at_a == 0 or at_b == 0:
        return a if at_a == 0 else b
    share = 0.5
    while True:
        x = a + share * (b - a)
        at_x = function(x)
        if (at_x > 0) == (at_a > 0):
            c, at_c = a, at_a
        else:
            c, at_c = b, at_b
            b, at_b = a, at_a
        a, at_a = x, at_x
        best = a if abs(at_a) < abs(at_b) else b
        narrow = max(tolerance, 2 * math.ulp(best)) / abs(b - a)
        if narrow >= 1 or at_a == 0:
            return (a if at_a >= 0 else b) if not_below else best
        share = min(max(_next_share(a, b, c, at_a, at_b, at_c), narrow / 2), 1 - narrow / 2)


def _next_share(a: float, b: float, c: float, at_a: float, at_b: float, at_c: float) -> float:
    """Return where between a and b to look next: by a parabola if that is safe, else half way."""
    xi, phi = (a - b) / (c - b), (at_a - at_b) / (at_c - at_b)
    if not (phi**2 < xi and (1 - phi) ** 2 < 1 - xi):
        return 0.5
    first = at_a / (at_b - at_a) * at_c / (at_b - at_c)
    return first + (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
