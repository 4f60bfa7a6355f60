"""Many hanging wires at once: `solve_by_length` for arrays.

The same equations and the same Newton steps as in the modules ``arc`` and ``newton`` beside this
one, each step for all wires together.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from visual.mechanics.catenary.elastic import solve_by_length
from visual.mechanics.catenary.newton import MOST_STEPS, NEWTON_ENDS

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Catenaries:
    """Wires hanging between two eyes each; every array has shape (n,).

    Parameters
    ----------
    span, rise : ndarray
        Horizontal distance and height from the lower to the upper end, rise + up. [m]
    unstressed_length : ndarray
        Length before tension, no end fittings. [m]
    weight, stiffness : ndarray
        Per unstressed length [N/m]; EA [N].
    horizontal, vertical_lower : ndarray
        Parts of the tension at the lower end, as in `Catenary`. [N]
    """

    span: Array = field(repr=False)
    rise: Array = field(repr=False)
    unstressed_length: Array = field(repr=False)
    weight: Array = field(repr=False)
    stiffness: Array = field(repr=False)
    horizontal: Array = field(repr=False)
    vertical_lower: Array = field(repr=False)

    @property
    def tension_lower(self) -> Array:
        """Tension at the lower (anchor) end. [N]"""
        return np.hypot(self.horizontal, self.vertical_lower)

    @property
    def sag(self) -> Array:
        """Largest distance of each wire below its chord, measured vertically. [m]

        Where the span is 0: the depth of the loop below the lower eye, 0 for a taut wire.
        """
        plumb = self.span == 0
        slope = np.where(plumb, 0.0, self.rise / np.where(plumb, 1.0, self.span))
        arc = (self.horizontal * slope - self.vertical_lower) / self.weight
        arc = np.clip(arc, 0.0, self.unstressed_length)
        mean = self.vertical_lower + self.weight * arc / 2
        x, z = _end(self.horizontal, mean, (arc, self.weight, self.stiffness))
        lowest = np.minimum(np.minimum(0.0, self.rise), z)
        return np.where(plumb, np.minimum(0.0, self.rise) - lowest, slope * x - z)


def solve_many_by_length(
    *,
    span: ArrayLike,
    rise: ArrayLike,
    unstressed_length: ArrayLike,
    weight: ArrayLike,
    stiffness: ArrayLike,
) -> Catenaries:
    """Hang wires of known unstressed lengths; see `solve_by_length`.

    Raises
    ------
    ValueError
        If a length, weight or stiffness is not positive, a span is negative, or a number is
        missing.
    """
    given = np.broadcast_arrays(span, rise, unstressed_length, weight, stiffness)
    numbers = [np.asarray(one, dtype=float).ravel() for one in given]
    _check(numbers)
    horizontal, lower = np.empty((2, numbers[0].size))
    plumb = numbers[0] == 0
    horizontal[~plumb], lower[~plumb] = _solve(*(one[~plumb] for one in numbers))
    for i in np.flatnonzero(plumb):
        alone = dict(zip(_NAMES, (float(one[i]) for one in numbers), strict=True))
        horizontal[i], lower[i] = 0.0, solve_by_length(**alone).vertical_lower
    return Catenaries(
        **dict(zip(_NAMES, numbers, strict=True)), horizontal=horizontal, vertical_lower=lower
    )


_NAMES = ("span", "rise", "unstressed_length", "weight", "stiffness")

_Wire = tuple[Array, Array, Array]
"""Length or arc [m], weight [N/m] and stiffness [N]."""


def _check(numbers: list[Array]) -> None:
    """Refuse what `solve_by_length` refuses, with its words about the first such wire."""
    span, rise, *rest = numbers
    bad = ~(np.isfinite(numbers).all(axis=0) & (span >= 0) & (np.array(rest) > 0).all(axis=0))
    for i in np.flatnonzero(bad):
        alone = dict(zip(_NAMES, (float(one[i]) for one in numbers), strict=True))
        solve_by_length(**alone)
        message = f"a wire needs a known rise, not {rise[i]:g} m"
        raise ValueError(message)


def _solve(
    span: Array, rise: Array, length: Array, weight: Array, stiffness: Array
) -> tuple[Array, Array]:
    """Return H and the vertical tension at the lower end of each wire. [N]"""
    wire = length, weight, stiffness
    lower, upper = np.full(span.shape, -np.inf), np.log(stiffness * span / length) + 1e-9
    logarithm = np.minimum(np.log(_first_horizontal(span, rise, wire)), upper)
    mean = np.zeros(span.shape)
    for _ in range(MOST_STEPS):
        horizontal = np.exp(logarithm)
        mean = _mean_vertical(horizontal, np.abs(rise), wire, mean)
        excess = _end(horizontal, mean, wire)[0] - span
        slope, follows = _slopes(horizontal, mean, wire)
        upper = np.where(excess > 0, logarithm, upper)
        lower = np.where(excess > 0, lower, logarithm)
        step = _within(-excess / slope, logarithm, lower, upper)
        mean = np.maximum(0.0, mean + follows * (np.exp(logarithm + step) - horizontal))
        logarithm = logarithm + step
        if np.abs(step).max(initial=0.0) < NEWTON_ENDS:
            break
    horizontal = np.exp(logarithm)
    mean = _mean_vertical(horizontal, np.abs(rise), wire, mean)
    return horizontal, np.copysign(mean, rise) - weight * length / 2


def _within(step: Array, logarithm: Array, lower: Array, upper: Array) -> Array:
    """Return Newton's steps, halving the bracket where they would leave it."""
    below = np.where(np.isinf(lower), upper - 2 * np.maximum(1.0, upper - logarithm), lower)
    leaves = ~((lower < logarithm + step) & (logarithm + step < upper))
    halved = (below + upper) / 2 - logarithm
    return np.where(leaves & (np.abs(step) >= NEWTON_ENDS), halved, step)


def _first_horizontal(span: Array, rise: Array, wire: _Wire) -> Array:
    length, weight, stiffness = wire
    chord = np.hypot(span, rise)
    taut = stiffness * (chord - length) / length * span / chord
    slack = np.sqrt(np.maximum(3 * ((length**2 - rise**2) / span**2 - 1), 1e-4))
    return np.asarray(np.maximum(taut, weight * span / (2 * slack)))


def _ends_of_arc(horizontal: Array, mean: Array, wire: _Wire) -> tuple[Array, Array, Array, Array]:
    """Return the vertical tension at both ends of an arc, and the whole tension there. [N]"""
    length, weight, _ = wire
    lower, upper = mean - weight * length / 2, mean + weight * length / 2
    return lower, upper, np.hypot(horizontal, lower), np.hypot(horizontal, upper)


def _end(horizontal: Array, mean: Array, wire: _Wire) -> tuple[Array, Array]:
    """Return x, z of the end of an arc whose mean vertical tension is given. [m]"""
    length, weight, stiffness = wire
    _, _, at_lower, at_upper = _ends_of_arc(horizontal, mean, wire)
    both = at_lower + at_upper
    z = mean * length * (1 / stiffness + 2 / np.where(both > 0, both, 1.0))
    turn = _turn(horizontal, mean, wire)
    return horizontal * (length / stiffness + turn / weight), z


def _turn(horizontal: Array, mean: Array, wire: _Wire) -> Array:
    """Return asinh(upper/H) − asinh(lower/H); 0 where H is."""
    lower, upper, at_lower, at_upper = _ends_of_arc(horizontal, mean, wire)
    both = at_lower + at_upper
    share = (upper - lower) / np.where(both > 0, both, 1.0)
    level = np.where(horizontal > 0, horizontal, 1.0)
    far = np.arcsinh(upper / level) - np.arcsinh(lower / level)
    near = 2 * np.arctanh(np.minimum(share, 0.5))
    return np.where(horizontal > 0, np.where(share < 0.5, near, far), 0.0)


def _slopes(horizontal: Array, mean: Array, wire: _Wire) -> tuple[Array, Array]:
    """Return how the span grows with log H at a given rise, and the mean tension with H."""
    length, weight, stiffness = wire
    lower, upper, at_lower, at_upper = _ends_of_arc(horizontal, mean, wire)
    steep = (upper / at_upper - lower / at_lower) / weight
    mixed = horizontal * (1 / at_upper - 1 / at_lower) / weight
    rises = length / stiffness + steep
    flat = _turn(horizontal, mean, wire) / weight
    slope = length / stiffness + flat - steep - mixed**2 / rises
    return horizontal * slope, -mixed / rises


def _mean_vertical(horizontal: Array, rise: Array, wire: _Wire, start: Array) -> Array:
    """Return the mean vertical tension that gives a rise of 0 or more at a given H. [N]"""
    length, weight, stiffness = wire
    mean = start
    for number in range(MOST_STEPS):
        lower, upper, at_lower, at_upper = _ends_of_arc(horizontal, mean, wire)
        z = mean * length * (1 / stiffness + 2 / (at_lower + at_upper))
        slope = length / stiffness + (upper / at_upper - lower / at_lower) / weight
        step = (rise - z) / slope
        mean = np.maximum(0.0, mean + step)
        # A step down is rounding, but for the first one.
        if number > 0 and (step <= 1e-15 * mean).all():
            break
    return mean
