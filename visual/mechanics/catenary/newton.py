"""The tensions with which a wire of known length ends where it should, by Newton's method."""

import math

from visual.mechanics.catenary.arc import end_of_arc, slopes_of_arc

MOST_STEPS = 200
"""A handful is usual."""

NEWTON_ENDS = 1e-9
"""A step this small, in log H, leaves an error of its square: nothing."""


def horizontal_and_mean(
    span: float, rise: float, length: float, weight: float, stiffness: float
) -> tuple[float, float]:
    """Return H and the mean vertical tension with which the wire ends where it should. [N]

    The span grows with H: Newton steps in log H, held within what is known to bracket it.
    """
    wire = length, weight, stiffness
    # Stretch alone reaches the span at the upper bound.
    lower, upper = -math.inf, math.log(stiffness * span / length) + 1e-9
    logarithm = min(math.log(_first_horizontal(span, rise, *wire)), upper)
    mean = 0.0
    for _ in range(MOST_STEPS):
        horizontal = math.exp(logarithm)
        mean = _mean_vertical(horizontal, abs(rise), *wire, start=mean)
        excess = end_of_arc(horizontal, mean, *wire)[0] - span
        slope, follows = slopes_of_arc(horizontal, mean, *wire)
        if excess > 0:
            upper = logarithm
        else:
            lower = logarithm
        step = -excess / slope
        if not lower < logarithm + step < upper:
            below = lower if lower > -math.inf else upper - 2 * max(1.0, upper - logarithm)
            step = (below + upper) / 2 - logarithm
        mean = max(0.0, mean + follows * (math.exp(logarithm + step) - horizontal))
        logarithm += step
        if abs(step) < NEWTON_ENDS:
            break
    horizontal = math.exp(logarithm)
    mean = _mean_vertical(horizontal, abs(rise), *wire, start=mean)
    return horizontal, math.copysign(mean, rise)


def _first_horizontal(
    span: float, rise: float, length: float, weight: float, stiffness: float
) -> float:
    """Return a first guess of H: of a taut straight wire, or of a slack inextensible one. [N]"""
    chord = math.hypot(span, rise)
    taut = stiffness * (chord - length) / length * span / chord
    slack = math.sqrt(max(3 * ((length**2 - rise**2) / span**2 - 1), 1e-4))
    return max(taut, weight * span / (2 * slack))


def _mean_vertical(
    horizontal: float, rise: float, length: float, weight: float, stiffness: float, *, start: float
) -> float:
    """Return the mean vertical tension that gives a rise of 0 or more at a given H. [N]

    z grows with it and curves down: a Newton step ends below the root wherever it begins, and
    the following ones come up to it and cannot overshoot.
    """
    half = weight * length / 2
    mean = start
    for number in range(MOST_STEPS):
        lower, upper = mean - half, mean + half
        at_lower, at_upper = math.hypot(horizontal, lower), math.hypot(horizontal, upper)
        z = mean * length * (1 / stiffness + 2 / (at_lower + at_upper))
        slope = length / stiffness + (upper / at_upper - lower / at_lower) / weight
        step = (rise - z) / slope
        mean = max(0.0, mean + step)
        if number > 0 and step <= 1e-15 * mean:  # a step down is rounding
            break
    return mean


def plumb_mean(rise: float, length: float, weight: float, stiffness: float) -> float:
    """Return the mean vertical tension of a wire with both ends on one plumb line. [N]."""
    half = weight * length / 2
    taut = (abs(rise) - length) * stiffness / length
    if taut >= half:
        return math.copysign(taut, rise)
    return rise / (length / stiffness + 2 / weight)  # a loop hangs below the lower eye
