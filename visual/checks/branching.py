"""Branch and bound over pairs of a box of a moving part and an obstacle piece.

The distance half way through a box bounds the smallest distance from above, `bounds` bounds it
from below. A pair that cannot change the answer is dropped; the boxes of the others are halved,
along the part where only a slow stretch of it is near, else in the angle, until no pair is left.
All parts and obstacles are looked at together.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from visual.checks.bounds import Pieces, directions, least_along, most_along
from visual.checks.boxes import Boxes, first_boxes, half_widths, halved, share_along
from visual.checks.distance import CHUNK, Nearest
from visual.checks.opening import TOLERANCE, open_pairs
from visual.checks.shapes import Shape
from visual.checks.sweep import Floats, Integers, MovingPart

__all__ = ["TOLERANCE", "Search"]

_FIRST_COUNT = 16
"""Intervals to begin with; the pieces that are ruled out in them are never looked at."""

_PROBES = 4
"""Pairs looked at first for each part and shape: what they give rules out many others."""

_EQUAL = 1e-9
"""Distances that differ by less do so by rounding. [m]"""

_SLOW = 0.5
"""A box is halved along the part where it is near an obstacle only at less than this share of its
fastest speed."""


class Search:
    """The pairs that are still open, and what was found so far.

    What belongs to part i and shape j stands at i · (number of shapes) + j, its *owner*. A pair is
    open while its lower bound is below the `limit` of its owner and its interval begins before
    `undercut`. Without a requirement the limit is what would be an improvement; with one the limit
    is the requirement, and `undercut` the smallest angle known to break it.
    Distances here are less the radii, so that they may be negative.

    Parameters
    ----------
    parts : sequence of MovingPart
        What moves.
    shapes : tuple of Shape
        The obstacles, at least one.
    spans : sequence of tuple of float
        Range of raising angle of each part. [rad]
    only : sequence of int or None
        Number of the one shape that each part is held against; None: against all.
    requirement : float or None
        Look for the first angle below this distance; None: look for the smallest. [m]
    """

    def __init__(
        self,
        parts: Sequence[MovingPart],
        shapes: tuple[Shape, ...],
        *,
        spans: Sequence[tuple[float, float]],
        only: Sequence[int] | None = None,
        requirement: float | None = None,
    ) -> None:
        _check_spans(parts, spans)
        self.parts, self.shapes, self.requirement = parts, len(shapes), requirement
        self.pieces = Pieces.of(shapes)
        part_radii = np.array([part.radius for part in parts])
        self.radii = np.add.outer(part_radii, [shape.radius for shape in shapes]).ravel()
        count = len(self.radii)
        self.best = np.full(count, np.inf)
        self.angle, self.points = np.full(count, np.nan), np.full((count, 2, 3), np.nan)
        limit = np.full(count, np.inf if requirement is None else requirement)
        self.undercut = math.inf
        self.boxes = first_boxes(parts, spans, _FIRST_COUNT)
        self.widths = half_widths(parts, self.boxes)
        asked = _asked(only, len(parts), len(shapes))
        shrink = requirement is None
        opened = open_pairs(
            self.boxes, self.widths, shapes, self.radii, limit, asked=asked, shrink=shrink
        )
        self.box, self.piece, self.owner = opened.box, opened.piece, opened.owner
        self.low, self.limit, self.floor = opened.low, opened.limit, opened.floor
        self.found, self.at_share = np.full(len(self.box), np.inf), np.zeros(len(self.box))
        for number, shape in enumerate(shapes):
            self._look_inside(number, shape, asked[:, number])

    @property
    def pending(self) -> bool:
        """True as long as any pair is open."""
        return len(self.piece) > 0

    @property
    def proven(self) -> Floats:
        """Lower bound of the distance of each owner, once no pair is open [m]."""
        bound: Floats = np.clip(np.minimum(self.floor, self.best), 0.0, None)
        return bound

    def look(self) -> None:
        """Find distance and lower bound of all open pairs, the most promising first."""
        self.found = np.full(len(self.piece), np.inf)
        self.at_share = np.zeros(len(self.piece))
        for choose in (self._probes, self._one_per_box):
            pairs = choose()
            if len(pairs):
                self._tell_siblings(pairs, *self._look_at(pairs))
        rest = np.flatnonzero(self._is_open() & np.isinf(self.found))
        rest = rest[np.argsort(self.low[rest] - self.limit[self.owner[rest]])]
        for begin in range(0, len(rest), CHUNK):
            pairs = rest[begin : begin + CHUNK]
            pairs = pairs[self._is_open()[pairs]]
            if len(pairs):
                self._look_at(pairs)

    def halve(self) -> None:
        """Drop the pairs that are closed and halve the boxes of the others."""
        is_open = self._is_open()
        closed = ~is_open
        np.minimum.at(self.floor, self.owner[closed], self.low[closed])
        kept, number = np.unique(self.box[is_open], return_inverse=True)
        boxes = self.boxes.take(kept)
        along = self._to_halve_along(boxes, number, self.at_share[is_open])
        self.boxes, place = halved(self.parts, boxes, along)
        self.widths = half_widths(self.parts, self.boxes)
        self.box = np.concatenate([place[0][number], place[1][number]])
        self.piece, self.owner = np.tile([self.piece[is_open], self.owner[is_open]], 2)
        self.low = np.tile(self.low[is_open], 2)

    def settled_angle(self, tolerance: float) -> float | None:
        """Give the first undercut if it is known to a tolerance [rad], None otherwise."""
        is_open = np.flatnonzero(self._is_open())
        if not len(is_open):
            return None
        begins = self.boxes.angles[0, self.box[is_open]]
        first = is_open[begins == begins.min()]
        narrow = self.boxes.width[self.box[first[0]]] <= tolerance
        near = self.found[first].min() < self.limit[0] + TOLERANCE
        return float(begins.min()) if narrow and near else None

    def _is_open(self) -> NDArray[np.bool_]:
        is_open: NDArray[np.bool_] = self.low < self.limit[self.owner]
        if self.requirement is not None:
            is_open &= self.boxes.angles[0, self.box] < self.undercut
        return is_open

    def _look_inside(self, number: int, shape: Shape, asked: NDArray[np.bool_]) -> None:
        """Look for the parts asked for inside of a solid, where no face need be near.

        The first boxes are enough: what gets inside later must cross a face.
        """
        points, angles = self.boxes.ends[1, :, 0], self.boxes.angles[1]
        inside = np.flatnonzero(shape.contains(points) & asked[self.boxes.part])
        inside = inside[np.lexsort((angles[inside], self.boxes.part[inside]))]
        parts, first = np.unique(self.boxes.part[inside], return_index=True)
        rows = inside[first]
        places = np.stack([points[rows], points[rows]], axis=1)
        owner = parts * self.shapes + number
        self._improve(owner, np.zeros(len(rows)), angles[rows], places)

    def _probes(self) -> Integers:
        """Choose a few most promising pairs of each owner."""
        order = np.lexsort((self.low, self.owner))
        owner = self.owner[order]
        begins = np.flatnonzero(np.diff(owner, prepend=-1))
        rank = np.arange(len(order)) - np.repeat(begins, np.diff(begins, append=len(order)))
        return order[rank < _PROBES]

    def _one_per_box(self) -> Integers:
        """Choose the most promising open pair of each box and shape where there are several."""
        pairs = np.flatnonzero(self._is_open() & np.isinf(self.found))
        pairs = pairs[np.argsort(self.low[pairs], kind="stable")]
        _, first, count = np.unique(self._key(pairs), return_index=True, return_counts=True)
        return pairs[first[count > 2]]

    def _key(self, pairs: Integers) -> Integers:
        """Give each box and shape of pairs one number."""
        key: Integers = self.box[pairs] * len(self.radii) + self.owner[pairs]
        return key

    def _tell_siblings(self, pairs: Integers, normal: Floats, least: Floats) -> None:
        """Bound the open pairs of the same box and shape with what `_look_at` returns of some."""
        key, first = np.unique(self._key(pairs), return_index=True)
        others = np.flatnonzero(self._is_open() & np.isinf(self.found))
        wanted = self._key(others)
        place = np.minimum(np.searchsorted(key, wanted), len(key) - 1)
        others, place = others[key[place] == wanted], place[key[place] == wanted]
        rows = first[place]
        most = most_along(self.pieces.corners[self.piece[others]], normal[rows])
        bound = least[rows] - most - self.radii[self.owner[others]]
        self.low[others] = np.maximum(self.low[others], bound)

    def _look_at(self, pairs: Integers) -> tuple[Floats, Floats]:
        """Find distance and bound of some pairs.

        Returns the directions of the distances, and how far the boxes reach against them.
        """
        box, piece = self.box[pairs], self.piece[pairs]
        boxes = self.boxes.take(box)
        stretch = boxes.half_way
        nearest = self.pieces.nearest(stretch, piece)
        normal = directions(nearest)
        least = least_along(boxes, self.widths[box], normal)
        bound = least - most_along(self.pieces.corners[piece], normal)
        owner = self.owner[pairs]
        self.low[pairs] = np.maximum(self.low[pairs], bound - self.radii[owner])
        self.found[pairs] = nearest.distance - self.radii[owner]
        begin, stop = boxes.share
        along = share_along(stretch, nearest.at_first)
        self.at_share[pairs] = begin + along * (stop - begin)
        self._record(pairs, nearest)
        return normal, least

    def _record(self, pairs: Integers, nearest: Nearest) -> None:
        """Note the best pair of each owner, of those equal but for rounding the first angle."""
        angle, found = self.boxes.angles[1, self.box[pairs]], self.found[pairs]
        if self.requirement is not None:
            broken = found < self.requirement
            self.undercut = min(self.undercut, float(angle.min(initial=np.inf, where=broken)))
        owner = self.owner[pairs]
        order = np.lexsort((angle, np.round(found / _EQUAL), owner))
        numbers, first = np.unique(owner[order], return_index=True)
        rows = order[first]
        better = found[rows] < self.best[numbers] - _EQUAL
        equal = found[rows] < self.best[numbers] + _EQUAL
        better |= equal & (angle[rows] < self.angle[numbers])
        rows, numbers = rows[better], numbers[better]
        places = np.stack([nearest.at_first[rows], nearest.at_second[rows]], axis=1)
        self._improve(numbers, found[rows], angle[rows], places)

    def _improve(self, owner: Integers, found: Floats, angle: Floats, places: Floats) -> None:
        self.best[owner] = np.minimum(self.best[owner], found)
        self.angle[owner], self.points[owner] = angle, places
        if self.requirement is None:
            # Distances below 0 do not count: once the part touches there is nothing to improve.
            found = self.best[owner]
            self.limit[owner] = np.where(found > TOLERANCE, found - TOLERANCE, -np.inf)
        else:
            broken = found < self.requirement
            self.undercut = min(self.undercut, float(angle.min(initial=np.inf, where=broken)))

    def _to_halve_along(
        self, boxes: Boxes, number: Integers, at_share: Floats
    ) -> NDArray[np.bool_]:
        """Tell which boxes are near anything only where the part is slow."""
        first, last = boxes.whole_reach.T

        def speed(share: Floats, of: Integers | slice = slice(None)) -> Floats:
            return np.asarray((1 - share) * first[of] + share * last[of])

        near = np.zeros(len(boxes))
        np.maximum.at(near, number, speed(at_share, number))
        slow: NDArray[np.bool_] = near < _SLOW * np.maximum(*map(speed, boxes.share))
        # The first angle below a requirement is looked for in the angle alone.
        return slow if self.requirement is None else np.zeros(len(boxes), dtype=bool)


def _asked(only: Sequence[int] | None, parts: int, shapes: int) -> NDArray[np.bool_]:
    """Tell which part is held against which shape, shape (parts, shapes)."""
    if only is None:
        return np.ones((parts, shapes), dtype=bool)
    asked: NDArray[np.bool_] = np.arange(shapes) == np.array(only)[:, np.newaxis]
    return asked


def _check_spans(parts: Sequence[MovingPart], spans: Sequence[tuple[float, float]]) -> None:
    for part, (start, end) in zip(parts, spans, strict=True):
        if not end >= start:
            message = f"{part.name}: the range ends at {end} rad, before it starts at {start} rad"
            raise ValueError(message)
