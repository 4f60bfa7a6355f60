"""Which pairs of box and obstacle piece the clearance search begins with.

Boxes are bounded against whole shapes first, which rules out most of what is far; what is left
against each piece, by a ball around it and along the direction from the middle of its shape. What
is left then is looked at one by one in `branching`.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from visual.checks.bounds import ball_distances, least_along, products, towards
from visual.checks.boxes import Boxes
from visual.checks.distance import CHUNK
from visual.checks.shapes import Shape
from visual.checks.sweep import Floats, Integers

TOLERANCE = 0.8e-3
"""The smallest distance is found to this. [m]"""

_BLOCK = 1 << 20
"""Pairs of box and piece bounded at once, so that memory does not grow with their number."""


@dataclass(frozen=True, eq=False)
class Opened:
    """The pairs not ruled out.

    Parameters
    ----------
    box, piece, owner : ndarray of int, shape (n,)
        Their box, piece and owner (see `branching.Search`).
    low : ndarray, shape (n,)
        Their lower bounds. [m]
    limit, floor : ndarray, shape (owners,)
        Below what a distance counts; the least lower bound of the pairs ruled out. [m]
    """

    box: Integers
    piece: Integers
    owner: Integers
    low: Floats
    limit: Floats
    floor: Floats


def open_pairs(
    boxes: Boxes,
    widths: Floats,
    shapes: tuple[Shape, ...],
    radii: Floats,
    limit: Floats,
    *,
    asked: NDArray[np.bool_],
    shrink: bool,
) -> Opened:
    """Bound all boxes against all pieces and return the pairs that may count.

    Parameters
    ----------
    boxes : Boxes
        What moves.
    widths : ndarray, shape (k, 2)
        B² of its ends. [m²]
    shapes : tuple of Shape
        The obstacles.
    radii, limit : ndarray, shape (owners,)
        Radius of part and shape together; below what a distance counts. [m]
    asked : ndarray of bool, shape (parts, shapes)
        Which part is held against which shape.
    shrink : bool
        Whether the limit shrinks to what is found.
    """
    opening = _Opening(boxes, widths, shapes, radii, limit, shrink=shrink)
    opening.rough[~asked[boxes.part]] = np.inf
    if shrink:
        opening.probe()
    return opening.opened(
        [pairs for number in range(len(shapes)) for pairs in opening.pairs(number)]
    )


_Pairs = tuple[Integers, Integers, Integers, Floats]
"""Box, piece, owner and lower bound of each."""


class _Opening:
    """The bounds known so far; what belongs to one box is one row.

    A limit is never below the smallest distance, so that what is ruled out has no say in how
    small that is, however roughly it was bounded.
    """

    def __init__(
        self,
        boxes: Boxes,
        widths: Floats,
        shapes: tuple[Shape, ...],
        radii: Floats,
        limit: Floats,
        *,
        shrink: bool,
    ) -> None:
        self.boxes, self.widths, self.shapes, self.shrink = boxes, widths, shapes, shrink
        self.radii, self.limit, self.floor = radii, limit.copy(), np.full(len(limit), np.inf)
        self.stretches = boxes.half_way
        self.origin = self.stretches[:, 0].mean(axis=0)
        self.reach = boxes.reach.max(axis=(0, 2))
        self.counts = [len(shape.pieces) for shape in shapes]
        self.first = np.cumsum([0, *self.counts])
        balls = zip(*(shape.balls for shape in shapes), strict=True)
        self.middles, self.balls = (np.concatenate(of_all) for of_all in balls)
        self.rough = self._rough_bounds()

    def probe(self) -> None:
        """Lower the limits to what the box of each part that promises most allows."""
        probes = [_least_of_each(self.boxes.part, rough) for rough in self.rough.T]
        box = [np.repeat(b, count) for b, count in zip(probes, self.counts, strict=True)]
        piece = [
            first + np.tile(np.arange(count), len(b))
            for b, first, count in zip(probes, self.first[:-1], self.counts, strict=True)
        ]
        owner = [self._owner(b, number) for number, b in enumerate(box)]
        self._around(*map(np.concatenate, (box, piece, owner)))

    def pairs(self, number: int) -> Iterator[_Pairs]:
        """Yield the pairs of all boxes and the pieces of a shape that may count."""
        shape, rough = self.shapes[number], self.rough[:, number]
        owner = self._owner(slice(None), number)
        near = rough < self.limit[owner]
        np.minimum.at(self.floor, owner[~near], rough[~near])
        for some in _blocks(np.flatnonzero(near), len(shape.pieces)):
            low = self._along(some, owner[some], shape)
            is_open = low < self.limit[owner[some], np.newaxis]
            least = low.min(axis=1, initial=np.inf, where=~is_open)
            np.minimum.at(self.floor, owner[some], least)
            row, piece = np.nonzero(is_open)
            yield some[row], piece + self.first[number], owner[some[row]], low[is_open]

    def opened(self, found: Sequence[_Pairs]) -> Opened:
        """Bound the pairs found by balls and return those that still count when all are known."""
        none = (np.empty(0, dtype=np.int64),) * 3
        box, piece, owner, low = map(np.concatenate, zip((*none, np.empty(0)), *found, strict=True))
        low = np.maximum(low, self._around(box, piece, owner))
        is_open = low < self.limit[owner]
        np.minimum.at(self.floor, owner[~is_open], low[~is_open])
        kept = box[is_open], piece[is_open], owner[is_open]
        return Opened(*kept, low[is_open], self.limit, self.floor)

    def _rough_bounds(self) -> Floats:
        """Return lower bounds of all boxes to whole shapes, shape (k, shapes); of none: inf. [m]

        Against the box around the shape, along the direction from its middle.
        """
        rough = np.full((len(self.boxes), len(self.shapes)), np.inf)
        for number, shape in enumerate(self.shapes):
            if len(shape.pieces):
                normal = towards(self.stretches, shape.middle)
                least = least_along(self.boxes, self.widths, normal)
                most = normal @ shape.middle + np.abs(normal) @ shape.half_sides
                rough[:, number] = least - most
        owners = self.boxes.part[:, np.newaxis] * len(self.shapes) + np.arange(len(self.shapes))
        return np.asarray(rough - self.radii[owners])

    def _along(self, some: Integers, owner: Integers, shape: Shape) -> Floats:
        """Return lower bounds of boxes to all pieces of a shape, along the way from its middle."""
        normal = towards(self.stretches[some], shape.middle)
        least = least_along(self.boxes.take(some), self.widths[some], normal) - self.radii[owner]
        a, b, c = (products(normal, shape.pieces[:, corner]) for corner in range(3))
        return np.asarray(least[:, np.newaxis] - np.maximum(np.maximum(a, b), c))

    def _around(self, box: Integers, piece: Integers, owner: Integers) -> Floats:
        """Return lower bounds of pairs by balls around pieces; lower the limits if they may."""
        low, high = np.empty((2, len(box)))
        for begin in range(0, len(box), CHUNK):
            some = slice(begin, begin + CHUNK)
            low[some], high[some] = ball_distances(
                self.stretches[box[some]],
                self.middles[piece[some]],
                self.balls[piece[some]],
                origin=self.origin,
            )
        if self.shrink:
            np.minimum.at(self.limit, owner, high - self.radii[owner] + TOLERANCE)
        return np.asarray(low - self.reach[box] - self.radii[owner])

    def _owner(self, box: Integers | slice, number: int) -> Integers:
        """Return the owners of boxes and a shape."""
        owner: Integers = self.boxes.part[box] * len(self.shapes) + number
        return owner


def _least_of_each(part: Integers, low: Floats) -> Integers:
    """Return the box of each part with the least lower bound; none where there is no obstacle."""
    order = np.lexsort((low, part))
    first = order[np.diff(part[order], prepend=-1) > 0]
    return np.asarray(first[np.isfinite(low[first])])


def _blocks(boxes: Integers, pieces: int) -> Iterator[Integers]:
    """Yield numbers of boxes in blocks that are small enough with so many pieces."""
    size = max(1, _BLOCK // max(pieces, 1))
    for begin in range(0, len(boxes), size):
        yield boxes[begin : begin + size]
