"""Which pairs of box and obstacle piece the clearance search begins with.

Every pair is bounded cheaply: by a ball around the piece, and along the direction from the middle
of its shape. What is left is looked at one by one in `branching`.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from visual.checks.bounds import ball_distances, least_along, most_along, products, towards
from visual.checks.boxes import Boxes
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
    shrink : bool
        Whether the limit shrinks to what is found.
    """
    limit, floor = limit.copy(), np.full(len(limit), np.inf)
    found, offset = [], 0
    for number, shape in enumerate(shapes):
        for some in _blocks(len(boxes), len(shape.pieces)):
            block = boxes.take(some)
            owner = block.part * len(shapes) + number
            low, ceiling = _bounded(block, widths[some], shape, radii[owner])
            if shrink:
                np.minimum.at(limit, owner, ceiling + TOLERANCE)
            is_open = low < limit[owner, np.newaxis]
            np.minimum.at(floor, owner, low.min(axis=1, initial=np.inf, where=~is_open))
            row, piece = np.nonzero(is_open)
            found.append((some[row], piece + offset, owner[row], low[is_open]))
        offset += len(shape.pieces)
    box, piece, owner, low = (np.concatenate(parts) for parts in zip(*found, strict=True))
    is_open = low < limit[owner]
    np.minimum.at(floor, owner[~is_open], low[~is_open])
    return Opened(box[is_open], piece[is_open], owner[is_open], low[is_open], limit, floor)


def _bounded(boxes: Boxes, widths: Floats, shape: Shape, radii: Floats) -> tuple[Floats, Floats]:
    """Return lower bounds of boxes to all pieces of a shape, and an upper bound of each box."""
    if not len(shape.pieces):
        return np.empty((len(boxes), 0)), np.full(len(boxes), np.inf)
    middle = boxes.half_way
    low, high = ball_distances(middle, shape.pieces)
    low -= boxes.reach.max(axis=(0, 2))[:, np.newaxis]
    low -= radii[:, np.newaxis]
    ceiling = high.min(axis=1) - radii
    _bound_along(boxes, widths, shape, radii, low, ceiling)
    return low, ceiling


def _bound_along(
    boxes: Boxes, widths: Floats, shape: Shape, radii: Floats, low: Floats, ceiling: Floats
) -> None:
    """Raise the lower bounds along the direction from the middle of the shape, where it may pay."""
    normal = towards(boxes.half_way, shape.middle)
    least = least_along(boxes, widths, normal) - radii
    least_ceiling = np.full(boxes.part.max() + 1, np.inf)
    np.minimum.at(least_ceiling, boxes.part, ceiling)
    row, piece = np.nonzero(low < least_ceiling[boxes.part, np.newaxis] + TOLERANCE)
    if 4 * len(row) < low.size:
        most = most_along(shape.pieces[piece], normal[row])
        low[row, piece] = np.maximum(low[row, piece], least[row] - most)
        return
    a, b, c = (products(normal, shape.pieces[:, corner]) for corner in range(3))
    np.maximum(low, least[:, np.newaxis] - np.maximum(np.maximum(a, b), c), out=low)


def _blocks(boxes: int, pieces: int) -> Iterator[Integers]:
    """Yield the numbers of boxes in blocks that are small enough with so many pieces."""
    size = max(1, _BLOCK // max(pieces, 1))
    for begin in range(0, boxes, size):
        yield np.arange(begin, min(begin + size, boxes))
