"""An arc of a hanging wire: where it ends, for given tensions.

H. M. Irvine, Cable Structures, MIT Press 1981, section 1.3. With s the unstressed arc from the
lower end, H the horizontal and V the vertical part of the tension there, w the weight per
unstressed length::

    x(s) = H s/EA + (H/w) [asinh((V + w s)/H) − asinh(V/H)]
    z(s) = (V s + w s²/2)/EA + (H/w) [sqrt(1 + ((V + w s)/H)²) − sqrt(1 + (V/H)²)]

Both are used in an equal form that keeps its digits when the wire is taut. With T₀ and T₁ the
tensions at the ends of the arc and M = V + w s/2::

    x = H s/EA + (2H/w) artanh(w s/(T₀ + T₁))        z = M s [1/EA + 2/(T₀ + T₁)]

"Lower" and "upper" name the anchor end and the collar end; the rise may be negative.
"""

import math


def end_of_arc(
    horizontal: float, mean: float, length: float, weight: float, stiffness: float
) -> tuple[float, float]:
    """Return x, z of the end of an arc whose mean vertical tension is given. [m]."""
    lower, upper = mean - weight * length / 2, mean + weight * length / 2
    both = math.hypot(horizontal, lower) + math.hypot(horizontal, upper)
    z = mean * length * (1 / stiffness + 2 / both)
    if horizontal == 0:
        return 0.0, z
    turn = turn_of_arc(horizontal, lower, upper)
    return horizontal * (length / stiffness + turn / weight), z


def turn_of_arc(horizontal: float, lower: float, upper: float) -> float:
    """Return asinh(upper/H) − asinh(lower/H)."""
    share = (upper - lower) / (math.hypot(horizontal, lower) + math.hypot(horizontal, upper))
    if share < 0.5:
        return 2 * math.atanh(share)
    return math.asinh(upper / horizontal) - math.asinh(lower / horizontal)


def slopes_of_arc(
    horizontal: float, mean: float, length: float, weight: float, stiffness: float
) -> tuple[float, float]:
    """Return how the span grows with log H at a given rise, and the mean tension with H."""
    lower, upper = mean - weight * length / 2, mean + weight * length / 2
    at_lower, at_upper = math.hypot(horizontal, lower), math.hypot(horizontal, upper)
    steep = (upper / at_upper - lower / at_lower) / weight
    flat = turn_of_arc(horizontal, lower, upper) / weight
    mixed = horizontal * (1 / at_upper - 1 / at_lower) / weight
    rises = length / stiffness + steep
    slope = length / stiffness + flat - steep - mixed**2 / rises
    return horizontal * slope, -mixed / rises
