"""The ground along a straight line in plan."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from visual.ground.triangle import Array

SAME_HEIGHT = 1e-6
"""Heights nearer than this where two pieces meet differ by rounding only. [m]"""


@dataclass(frozen=True, eq=False)
class Profile:
    """Ground cut by a vertical plane, exact: a point wherever the plane crosses an edge.

    Where the surveyed surface ends above or below the DEM there is a step: two points at one
    distance. A stretch of unknown ground shows as one NaN height within it.

    Parameters
    ----------
    x0, y0 : float
        Where the distance is zero. [m]
    bearing : float
        Direction of growing distance, clockwise from grid north. [rad]
    distance : ndarray, shape (n,)
        Horizontal distance, never falling. [m]
    height : ndarray, shape (n,)
        Ground there, z; straight in between. [m]
    """

    x0: float
    y0: float
    bearing: float
    distance: Array = field(repr=False)
    height: Array = field(repr=False)

    @property
    def points(self) -> Array:
        """The profile in the local frame, shape (n, 3). [m]"""
        x = self.x0 + self.distance * np.sin(self.bearing)
        y = self.y0 + self.distance * np.cos(self.bearing)
        return np.stack([x, y, self.height], axis=-1)

    @property
    def complete(self) -> bool:
        """True if the ground is known all the way."""
        return bool(np.isfinite(self.height).all())

    def height_at(self, distance: ArrayLike) -> Array:
        """Return the ground at distances, z; NaN outside the profile or where unknown. [m]

        At a step: the side further along.
        """
        s = np.asarray(distance, dtype=float)
        i, share = self._piece(s)
        low, high = self.height[i], self.height[i + 1]
        z = low + share * (high - low)
        z = np.where(share == 0, low, np.where(share == 1, high, z))
        return np.where((s < self.distance[0]) | (s > self.distance[-1]), np.nan, z)

    def slope_at(self, distance: ArrayLike) -> Array:
        """Return the slope at distances, positive uphill along the bearing. [rad]

        On a breakpoint: of the piece further along, on the last one of the last piece.
        """
        s = np.asarray(distance, dtype=float)
        i, _ = self._piece(s)
        rise = self.height[i + 1] - self.height[i]
        angle = np.arctan2(rise, self.distance[i + 1] - self.distance[i])
        return np.where((s < self.distance[0]) | (s > self.distance[-1]), np.nan, angle)

    def length_between(self, start: float, stop: float) -> float:
        """Return the length along the ground from one distance to another. [m]

        Not negative; NaN if any of the ground in between is unknown.
        """
        low, high = sorted((start, stop))
        within = (self.distance > low) & (self.distance < high)
        s = np.concatenate([[low], self.distance[within], [high]])
        z = np.concatenate(
            [[float(self.height_at(low))], self.height[within], [float(self.height_at(high))]]
        )
        return float(np.hypot(np.diff(s), np.diff(z)).sum())

    def _piece(self, s: Array) -> tuple[NDArray[np.int_], Array]:
        last = len(self.distance) - 2
        i = np.clip(np.searchsorted(self.distance, s, side="right") - 1, 0, last)
        return i, (s - self.distance[i]) / (self.distance[i + 1] - self.distance[i])


def join_pieces(breaks: Array, left: Array, right: Array) -> tuple[Array, Array]:
    """Join straight pieces of ground to one line.

    Parameters
    ----------
    breaks : ndarray, shape (n + 1,)
        Ends of the pieces, growing. [m]
    left, right : ndarray, shape (n,)
        Height of each piece at its two ends; NaN for a piece of unknown ground. [m]

    Returns
    -------
    distance, height : ndarray
        As in `Profile`. [m]
    """
    known = np.isfinite(left)
    # Neighbouring pieces of unknown ground are one gap.
    ends = np.concatenate([[True], known[1:] | known[:-1], [True]])
    first = ends[:-1]
    breaks, left, right, known = breaks[ends], left[first], right[first], known[first]
    distance: list[float] = []
    height: list[float] = []
    for k, is_known in enumerate(known):
        s, z = (breaks[k : k + 2], (left[k], right[k])) if is_known else _gap(breaks, k)
        meets = int(
            bool(distance) and abs(distance[-1] - s[0]) + abs(height[-1] - z[0]) < SAME_HEIGHT
        )
        distance += [float(v) for v in s[meets:]]
        height += [float(v) for v in z[meets:]]
    return np.array(distance), np.array(height)


def _gap(breaks: Array, k: int) -> tuple[Sequence[float], Sequence[float]]:
    """Return the points that stand for piece `k` of unknown ground."""
    start, stop = float(breaks[k]), float(breaks[k + 1])
    is_first, is_last = k == 0, k == len(breaks) - 2
    if is_first and is_last:
        return (start, stop), (np.nan, np.nan)
    return ((start,) if is_first else (stop,) if is_last else ((start + stop) / 2,)), (np.nan,)
