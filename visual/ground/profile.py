"""The ground along a straight line in plan."""

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

    def lengths_from(self, start: float, stops: Array) -> Array:
        """Return `length_between` from one distance to each of several, shape (n,). [m]"""
        known, gaps = self._way(np.append(start, stops))
        length = np.abs(known[1:] - known[0])
        return np.where(gaps[1:] == gaps[0], length, np.nan)

    def _way(self, s: Array) -> tuple[Array, Array]:
        """Return the length along known ground to distances, and how many gaps lie before. [m]

        NaN where the ground itself is unknown.
        """
        steps = np.hypot(np.diff(self.distance), np.diff(self.height))
        unknown = np.isnan(steps)
        way = np.append(0.0, np.cumsum(np.where(unknown, 0.0, steps)))
        gaps = np.append(0, np.cumsum(unknown))
        i, _ = self._piece(s)
        on = np.hypot(s - self.distance[i], self.height_at(s) - self.height[i])
        return np.where(s == self.distance[i], way[i], way[i] + on), gaps[i].astype(float)

    def _piece(self, s: Array) -> tuple[NDArray[np.int_], Array]:
        last = len(self.distance) - 2
        i = np.clip(np.searchsorted(self.distance, s, side="right") - 1, 0, last)
        return i, (s - self.distance[i]) / (self.distance[i + 1] - self.distance[i])


def pieces_between(
    line: NDArray[np.int_], crossed: Array, lines: int, span: tuple[float, float]
) -> tuple[NDArray[np.int_], Array, Array]:
    """Cut lines into pieces where they cross edges.

    Parameters
    ----------
    line, crossed : ndarray, shape (n,)
        Number of the line and distance of each crossing, in any order, some more than once. [m]
    lines : int
        How many lines there are.
    span : tuple of float
        Where each line starts and stops; crossings outside do not count. [m]

    Returns
    -------
    line : ndarray of int, shape (m,)
        Number of the line of each piece, growing.
    start, stop : ndarray, shape (m,)
        Its ends. [m]
    """
    slack = 1e-9 * max(1.0, *map(abs, span))
    inner = (crossed > span[0] + slack) & (crossed < span[1] - slack)
    every = np.arange(lines)
    line = np.concatenate([every, line[inner], every])
    distance = np.concatenate([np.full(lines, span[0]), crossed[inner], np.full(lines, span[1])])
    order = np.lexsort((distance, line))
    line, distance = line[order], distance[order]
    same_line = np.diff(line) == 0
    kept = np.append(True, ~(same_line & (np.diff(distance) <= slack)))
    line, distance = line[kept], distance[kept]
    pieces = np.flatnonzero(np.diff(line) == 0)
    return line[pieces], distance[pieces], distance[pieces + 1]


def join_pieces(
    line: NDArray[np.int_], start: Array, stop: Array, left: Array, right: Array
) -> tuple[NDArray[np.int_], Array, Array]:
    """Join straight pieces of ground to lines.

    Parameters
    ----------
    line : ndarray of int, shape (n,)
        Number of the line each piece belongs to, growing.
    start, stop : ndarray, shape (n,)
        Ends of the pieces; within a line each starts where the one before stops. [m]
    left, right : ndarray, shape (n,)
        Height of each piece at its two ends; NaN for a piece of unknown ground. [m]

    Returns
    -------
    line : ndarray of int, shape (m,)
        Line of each point.
    distance, height : ndarray, shape (m,)
        As in `Profile`. [m]
    """
    known = np.isfinite(left)
    # Neighbouring pieces of unknown ground are one gap.
    apart = known[1:] | known[:-1] | (np.diff(line) > 0)
    first, last = np.append(True, apart), np.append(apart, True)
    line, start, stop, left, right, known = (
        line[first],
        start[first],
        stop[last],
        left[first],
        right[first],
        known[first],
    )
    distance, height = np.stack([start, stop], axis=1), np.stack([left, right], axis=1)
    wanted = np.ones(distance.shape, dtype=bool)
    wanted[1:, 0] = np.diff(line) > 0
    wanted[1:, 0] |= ~(np.abs(left[1:] - right[:-1]) < SAME_HEIGHT)
    _stand_for_gaps(line, known, distance, wanted)
    number = np.broadcast_to(line[:, np.newaxis], wanted.shape)
    return number[wanted], distance[wanted], height[wanted]


def _stand_for_gaps(
    line: NDArray[np.int_], known: NDArray[np.bool_], distance: Array, wanted: NDArray[np.bool_]
) -> None:
    """Leave one point of each gap: its outer end at the end of a line, else its middle.

    A gap that is all of a line keeps both ends.
    """
    begins = np.append(True, np.diff(line) > 0)
    ends = np.append(begins[1:], True)
    wanted[~known] = np.stack([begins | ~ends, ends], axis=1)[~known]
    inner = ~known & ~begins & ~ends
    distance[inner, 0] = distance[inner].mean(axis=1)
