"""Moving parts: straight, with a bound on how fast they move."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

PointAt = Callable[[Floats], Floats]
"""A point that moves: raising angles, shape (k,), to points, shape (k, 3). [m]"""


Way = Callable[[Floats], Floats]
"""How far a point has gone since the first angle: raising angles, shape (k,), to ways [m]."""


@dataclass(frozen=True)
class MovingPart:
    """A straight part that moves with the raising angle.

    Parameters
    ----------
    name : str
        What it is: ``"mast"``.
    radius : float
        Everything nearer than this to its axis belongs to it; a ball is a part of which both
        ends coincide. [m]
    speed : float or Way, or a tuple of two
        How far its ends move per radian of raising angle at most [m/rad], or the way they have
        gone [m]; one bound for both or one for each. A tight bound for each makes the search
        fast; one too low is refused when it is noticed.
    ends : callable
        From angles, shape (k,) [rad], to its two ends, shape (k, 2, 3) [m]. Must be continuous.
    made_of : tuple of hashable
        All numbers that `ends` and `speed` are made of, so that two parts of one name and radius
        made of the same move alike; empty where that is not said.
    """

    name: str
    radius: float
    speed: float | Way | tuple[float | Way, float | Way]
    ends: Callable[[Floats], Floats]
    made_of: tuple[Hashable, ...] = field(default=(), repr=False)

    def travel(self, first: Floats, last: Floats) -> Floats:
        """Bound how far the two ends move between angles, shape (k,) each; shape (k, 2) [m]."""
        both = self.speed if isinstance(self.speed, tuple) else (self.speed, self.speed)
        return np.stack(
            [s(last) - s(first) if callable(s) else s * (last - first) for s in both], axis=1
        )


def pair_of_ends(first: Floats, second: Floats) -> Floats:
    """Stack two ends, either of them one point for all angles, into shape (k, 2, 3)."""
    shape = np.broadcast_shapes(first.shape, second.shape)
    return np.stack([np.broadcast_to(first, shape), np.broadcast_to(second, shape)], axis=1)
