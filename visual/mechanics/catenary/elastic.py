"""Hanging wires: the elastic catenary of a guy wire.

The formulas are in `visual.mechanics.catenary.arc`. "Lower" and "upper" name the anchor end and the
collar end; the rise may be negative.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from visual.mechanics.catenary.arc import end_of_arc, turn_of_arc
from visual.mechanics.catenary.newton import horizontal_and_mean, plumb_mean
from visual.mechanics.root import root_between

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Catenary:
    """A wire hanging between two eyes.

    Parameters
    ----------
    span, rise : float
        Horizontal distance and height from the lower to the upper end, rise + up. [m]
    unstressed_length : float
        Length before tension, no end fittings. [m]
    weight : float
        Per unstressed length. [N/m]
    stiffness : float
        EA. [N]
    horizontal : float
        Horizontal part of the tension, the same all along. [N]
    vertical_lower : float
        Vertical part of the tension at the lower end, + where the wire rises from there. [N]
    """

    span: float
    rise: float
    unstressed_length: float
    weight: float
    stiffness: float
    horizontal: float
    vertical_lower: float

    @property
    def vertical_upper(self) -> float:
        """Vertical part of the tension at the upper end, + where the wire rises to it. [N]."""
        return self.vertical_lower + self.weight * self.unstressed_length

    @property
    def tension_lower(self) -> float:
        """Tension at the lower (anchor) end. [N]."""
        return math.hypot(self.horizontal, self.vertical_lower)

    @property
    def tension_upper(self) -> float:
        """Tension at the upper (collar) end. [N]."""
        return math.hypot(self.horizontal, self.vertical_upper)

    @property
    def stretched_length(self) -> float:
        """Arc length under tension: unstressed length + (1/EA) ∫ T ds. [m]."""
        ends = self.vertical_upper * self.tension_upper - self.vertical_lower * self.tension_lower
        turn = 0.0
        if self.horizontal > 0:
            turn = turn_of_arc(self.horizontal, self.vertical_lower, self.vertical_upper)
        integral = (ends + self.horizontal**2 * turn) / (2 * self.weight)
        return self.unstressed_length + integral / self.stiffness

    @property
    def sag(self) -> float:
        """Largest distance of the wire below its chord, measured vertically. [m].

        A plumb span has no chord to measure from: there it is the depth of the loop below the
        lower eye, 0 for a taut wire.
        """
        if self.span == 0:
            lowest = min(0.0, self.rise, float(self._at(-self.vertical_lower / self.weight)[1]))
            return min(0.0, self.rise) - lowest
        slope = self.rise / self.span
        x, z = self._at((self.horizontal * slope - self.vertical_lower) / self.weight)
        return float(slope * x - z)

    def points(self, n: int) -> Array:
        """Return n points along the wire from the lower end, as (x, z). [m].

        Returns
        -------
        ndarray, shape (n, 2)
            Horizontal distance and height from the lower end, at equal unstressed arcs.
        """
        places = [self._at(s) for s in np.linspace(0, self.unstressed_length, n)]
        return np.array(places, dtype=float)

    def _at(self, arc: float) -> tuple[float, float]:
        """Place at an unstressed arc, held within the wire. [m]."""
        s = min(max(arc, 0.0), self.unstressed_length)
        if s == 0:
            return 0.0, 0.0
        mean = self.vertical_lower + self.weight * s / 2
        return end_of_arc(self.horizontal, mean, s, self.weight, self.stiffness)


def solve_by_length(
    *, span: float, rise: float, unstressed_length: float, weight: float, stiffness: float
) -> Catenary:
    """Hang a wire of known unstressed length.

    Parameters
    ----------
    span, rise : float
        Horizontal distance (0 or more) and height from the lower to the upper end. [m]
    unstressed_length : float
        Length before tension; longer or shorter than the distance. [m]
    weight : float
        Per unstressed length. [N/m]
    stiffness : float
        EA. [N]

    Raises
    ------
    ValueError
        If length, weight or stiffness is not positive, or the span is negative.
    """
    _check(span=span, length=unstressed_length, weight=weight, stiffness=stiffness)
    wire = unstressed_length, weight, stiffness
    if span == 0:
        horizontal, mean = 0.0, plumb_mean(rise, *wire)
    else:
        horizontal, mean = horizontal_and_mean(span, rise, *wire)
    lower = mean - weight * unstressed_length / 2
    return Catenary(span, rise, *wire, horizontal, lower)


def solve_by_tension(
    *, span: float, rise: float, tension_lower: float, weight: float, stiffness: float
) -> Catenary:
    """Find the wire that has a given tension at its lower (anchor) end.

    Two wires have that tension, a taut one and one so slack that its own weight makes it up;
    the taut one is returned.

    Parameters
    ----------
    span, rise : float
        Horizontal distance (0 or more) and height from the lower to the upper end. [m]
    tension_lower : float
        Tension at the lower end. [N]
    weight : float
        Per unstressed length. [N/m]
    stiffness : float
        EA. [N]

    Raises
    ------
    ValueError
        If no wire between these ends can have so low a tension, or an argument is out of range.
    """
    chord = math.hypot(span, rise)
    _check(span=span, length=chord, weight=weight, stiffness=stiffness)

    def excess(length: float) -> float:
        wire = solve_by_length(
            span=span, rise=rise, unstressed_length=length, weight=weight, stiffness=stiffness
        )
        return wire.tension_lower - tension_lower

    # So short that the tension exceeds the one wanted by what weight, and rounding, can take off.
    shortest = chord / (1 + 1e-9 + (max(tension_lower, 0.0) + weight * chord) / stiffness)
    longest = _slack_enough(excess, shortest, chord)
    if longest is None:
        message = (
            f"a tension of {tension_lower:g} N at the lower end is less than the weight of the "
            "wire gives at any length; give a higher tension or a lighter wire"
        )
        raise ValueError(message)
    length = root_between(excess, shortest, longest, tolerance=1e-15 * chord)
    return solve_by_length(
        span=span, rise=rise, unstressed_length=length, weight=weight, stiffness=stiffness
    )


def _slack_enough(excess: Callable[[float], float], shortest: float, chord: float) -> float | None:
    """Return a length at which the tension is below the one wanted, or None. [m].

    The tension falls with the length, then rises again under the wire's own weight.
    """
    before, last, last_excess = shortest, shortest, math.inf
    for k in range(14):
        length = shortest + 1e-7 * chord * 4.0**k
        value = excess(length)
        if value < 0:
            return length
        if value > last_excess:
            from scipy.optimize import minimize_scalar  # rarely needed, and slow to load

            lowest = minimize_scalar(excess, bounds=(before, length), method="bounded")
            best = float(lowest.x)
            return best if excess(best) < 0 else None
        before, last, last_excess = last, length, value
    return None


def _check(*, span: float, length: float, weight: float, stiffness: float) -> None:
    numbers = (span, length, weight, stiffness)
    if not all(map(math.isfinite, numbers)) or span < 0 or min(length, weight, stiffness) <= 0:
        message = (
            f"a wire needs a span of 0 or more and a positive length, weight and stiffness, not "
            f"{span:g} m, {length:g} m, {weight:g} N/m, {stiffness:g} N; check its type and ends"
        )
        raise ValueError(message)
