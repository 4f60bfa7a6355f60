"""Branch and bound over pairs of an angle interval and an obstacle piece.

The distance half way through an interval bounds the smallest distance from above,
`sweep.lower_bounds` bounds it from below. A pair that cannot change the answer is dropped, the
others are halved, until none is left.
"""

import math

import numpy as np
from numpy.typing import NDArray

from visual.checks.distance import CHUNK, Nearest
from visual.checks.shapes import Shape
from visual.checks.sweep import (
    Floats,
    Integers,
    MovingPart,
    Pieces,
    ball_distances,
    first_intervals,
    half_widths,
    halves,
    lower_bounds,
)

TOLERANCE = 0.8e-3
"""The smallest distance is found to this. [m]"""

_FIRST_COUNT = 16
"""Intervals to begin with; the pieces that balls rule out in them are never looked at."""

_FIRST_CHUNK = 256
"""Pairs looked at first, the most promising ones: what they give rules out many others."""


class Search:
    """The pairs that are still open, and what was found so far.

    A pair is open while its lower bound is below the `limit` of its shape and its interval
    begins before `undercut`. Without a requirement the limit is what would be an improvement;
    with one the limit is the requirement, and `undercut` the smallest angle known to break it.
    Distances here are less the radii, so that they may be negative.

    Parameters
    ----------
    part : MovingPart
        What moves.
    shapes : tuple of Shape
        The obstacles, at least one.
    start, end : float
        Range of raising angle. [rad]
    requirement : float or None
        Look for the first angle below this distance; None: look for the smallest. [m]
    """

    def __init__(
        self,
        part: MovingPart,
        shapes: tuple[Shape, ...],
        *,
        start: float,
        end: float,
        requirement: float | None = None,
    ) -> None:
        if not end >= start:
            message = f"{part.name}: the range ends at {end} rad, before it starts at {start} rad"
            raise ValueError(message)
        count = len(shapes)
        self.part, self.requirement = part, requirement
        self.pieces = Pieces.of(shapes)
        self.radii = part.radius + np.array([shape.radius for shape in shapes])
        self.best, self.floor = np.full((2, count), np.inf)
        self.angle, self.points = np.full(count, np.nan), np.full((2, count, 3), np.nan)
        self.limit = np.full(count, np.inf if requirement is None else requirement)
        self.undercut = math.inf
        count = _FIRST_COUNT if end > start else 1
        self.intervals = first_intervals(part, start, end, count)
        self.interval, self.piece, self.low = self._open_pairs(shapes)
        self.found = np.full(len(self.piece), np.inf)
        for number, shape in enumerate(shapes):
            self._look_inside(number, shape)

    @property
    def pending(self) -> bool:
        """True as long as any pair is open."""
        return len(self.piece) > 0

    @property
    def proven(self) -> Floats:
        """Lower bound of the distance to each shape, once no pair is open [m]."""
        bound: Floats = np.clip(np.minimum(self.floor, self.best), 0.0, None)
        return bound

    def look(self) -> None:
        """Find distance and lower bound of all open pairs, the most promising first."""
        self.found = np.full(len(self.piece), np.inf)
        widths = half_widths(self.part, self.intervals)
        order = np.argsort(self.low - self.limit[self.pieces.owner[self.piece]])
        begin, size = 0, _FIRST_CHUNK
        while begin < len(order):
            pairs = order[begin : begin + size]
            pairs = pairs[self._is_open()[pairs]]
            if len(pairs):
                self._look_at(pairs, widths)
            begin, size = begin + size, min(4 * size, CHUNK)

    def halve(self) -> None:
        """Drop the pairs that are closed and halve the intervals of the others."""
        is_open = self._is_open()
        closed = ~is_open
        np.minimum.at(self.floor, self.pieces.owner[self.piece[closed]], self.low[closed])
        kept, number = np.unique(self.interval[is_open], return_inverse=True)
        self.intervals = halves(self.part, self.intervals.take(kept))
        self.interval = np.concatenate([number, number + len(kept)])
        self.piece = np.tile(self.piece[is_open], 2)
        self.low = np.tile(self.low[is_open], 2)

    def settled_angle(self, tolerance: float) -> float | None:
        """Give the first undercut if it is known to a tolerance [rad], None otherwise."""
        is_open = np.flatnonzero(self._is_open())
        if not len(is_open):
            return None
        begins = self.intervals.angles[0, self.interval[is_open]]
        first = is_open[begins == begins.min()]
        narrow = self.intervals.width[self.interval[first[0]]] <= tolerance
        near = self.found[first].min() < self.limit[0] + TOLERANCE
        return float(begins.min()) if narrow and near else None

    def _is_open(self) -> NDArray[np.bool_]:
        early = self.intervals.angles[0, self.interval] < self.undercut
        is_open: NDArray[np.bool_] = early & (self.low < self.limit[self.pieces.owner[self.piece]])
        return is_open

    def _open_pairs(self, shapes: tuple[Shape, ...]) -> tuple[Integers, Integers, Floats]:
        """Give interval, piece and lower bound of all pairs that no ball rules out."""
        middle = self.intervals.ends[1]
        low, half_way, high = self.intervals.angles
        travels = [self.part.travel(low, half_way), self.part.travel(half_way, high)]
        motion = np.max(travels, axis=(0, 2))[:, None]
        intervals, pieces, lows, offset = [], [], [], 0
        for number, shape in enumerate(shapes):
            low, high = ball_distances(middle, shape.pieces)
            low -= motion + self.radii[number]
            if self.requirement is None:
                ceiling = high.min(initial=np.inf) - self.radii[number]
                self.limit[number] = ceiling + TOLERANCE
            is_open = low < self.limit[number]
            self.floor[number] = low.min(initial=np.inf, where=~is_open)
            row, column = np.nonzero(is_open)
            intervals.append(row)
            pieces.append(column + offset)
            lows.append(low[is_open])
            offset += len(shape.pieces)
        return np.concatenate(intervals), np.concatenate(pieces), np.concatenate(lows)

    def _look_inside(self, number: int, shape: Shape) -> None:
        """Look for the part inside of a solid, where no face need be near.

        The first intervals are enough: what gets inside later must cross a face.
        """
        points, angles = self.intervals.ends[1, :, 0], self.intervals.angles[1]
        inside = np.flatnonzero(shape.contains(points))
        if len(inside):
            row = inside[np.argmin(angles[inside])]
            self._improve(number, 0.0, float(angles[row]), points[row], points[row])

    def _look_at(self, pairs: Integers, widths: Floats) -> None:
        interval, piece = self.interval[pairs], self.piece[pairs]
        nearest = self.pieces.nearest(self.intervals.ends[1, interval], piece)
        outer = self.intervals.ends[::2, interval]
        bound = lower_bounds(outer, widths[interval], nearest, self.pieces.corners[piece])
        owner = self.pieces.owner[piece]
        self.low[pairs] = np.maximum(self.low[pairs], bound - self.radii[owner])
        self.found[pairs] = nearest.distance - self.radii[owner]
        self._record(pairs, owner, nearest)

    def _record(self, pairs: Integers, owner: Integers, nearest: Nearest) -> None:
        """Note the best pair of each shape, of equal ones that with the smaller angle."""
        angle, found = self.intervals.angles[1, self.interval[pairs]], self.found[pairs]
        if self.requirement is not None:
            broken = found < self.requirement
            self.undercut = min(self.undercut, float(angle.min(initial=np.inf, where=broken)))
        order = np.lexsort((angle, found, owner))
        numbers, first = np.unique(owner[order], return_index=True)
        for number, row in zip(numbers, order[first], strict=True):
            if found[row] < self.best[number]:
                places = nearest.at_first[row], nearest.at_second[row]
                self._improve(number, float(found[row]), float(angle[row]), *places)

    def _improve(
        self, number: int, found: float, angle: float, at_part: Floats, at_obstacle: Floats
    ) -> None:
        self.best[number], self.angle[number] = found, angle
        self.points[:, number] = at_part, at_obstacle
        if self.requirement is None:
            # Distances below 0 do not count: once the part touches there is nothing to improve.
            self.limit[number] = found - TOLERANCE if found > TOLERANCE else -np.inf
        elif found < self.requirement:
            self.undercut = min(self.undercut, angle)
