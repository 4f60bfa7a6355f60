"""How near a box of the clearance search can come to an obstacle piece.

The search rests on one bound. Over an interval of angles let an end of a part lie at
a when it begins and at b when it closes, and go no farther than v·Δθ between. Then all the way it
stays in the ellipsoid with foci a, b and major axis v·Δθ. For any unit vector n pointing from
an obstacle piece towards the part, the end's smallest n·p in the interval is

    n·(a + b)/2 − √(B² + (n·(b − a)/2)²)   with   4 B² = (v Δθ)² − |b − a|²

and, as every point moves as the straight line between the ends says, the point at share s along
the part has no less than the same share between both ends' values, and a stretch of the part no
less than the smaller of its two ends. Less the largest n·q of the piece, that is a true lower
bound of the distance, whatever n is. With a tight v the ellipsoid is thin, its half width shrinks
with Δθ², and few intervals are needed.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from visual.checks.boxes import Boxes
from visual.checks.distance import Nearest, segment_pairs, triangle_pairs
from visual.checks.shapes import Shape
from visual.checks.sweep import Floats, Integers


@dataclass(frozen=True, eq=False)
class Pieces:
    """The pieces of several shapes in one array.

    Parameters
    ----------
    corners : ndarray, shape (n, 3, 3)
        Triangles; a line is one with two equal corners. [m]
    is_line : ndarray, shape (n,)
        Which are lines.
    owner : ndarray, shape (n,)
        Number of the shape that each belongs to, ascending.
    """

    corners: Floats
    is_line: NDArray[np.bool_]
    owner: Integers

    @classmethod
    def of(cls, shapes: tuple[Shape, ...]) -> "Pieces":
        """Collect the pieces of shapes."""
        counts = [len(shape.pieces) for shape in shapes]
        is_line = [np.arange(n) >= len(s.triangles) for n, s in zip(counts, shapes, strict=True)]
        return cls(
            np.concatenate([shape.pieces for shape in shapes]),
            np.concatenate(is_line),
            np.repeat(np.arange(len(shapes)), counts),
        )

    def nearest(self, segments: Floats, which: Integers) -> Nearest:
        """Find the distance of each segment, shape (n, 2, 3), to its own piece."""
        lines = self.is_line[which]
        if not lines.any():
            return triangle_pairs(segments, self.corners[which])
        if lines.all():
            return segment_pairs(segments, self.corners[which, :2])
        distance, points = np.empty(len(which)), np.empty((2, len(which), 3))
        for mask in (lines, ~lines):
            part = self.nearest(segments[mask], which[mask])
            distance[mask] = part.distance
            points[:, mask] = part.at_first, part.at_second
        return Nearest(distance, points[0], points[1])


def products(first: Floats, second: Floats) -> Floats:
    """Return the scalar product of each of k vectors with each of n, shape (k, n).

    Three sums, not a matrix product: that one would be shared out to threads, which takes longer
    than the sums where the processor has other things to do.
    """
    x, y, z = (np.multiply.outer(first[:, axis], second[:, axis]) for axis in range(3))
    return np.asarray(x + y + z)


def ball_distances(
    segments: Floats, middles: Floats, radii: Floats, *, origin: Floats
) -> tuple[Floats, Floats]:
    """Bound the distances of segments to what lies in balls, pair by pair and cheaply.

    What lies in a ball is no nearer than the ball, and no farther than its middle where that is
    a point of it. Round-off is given away on the safe side.

    Parameters
    ----------
    segments : ndarray, shape (n, 2, 3)
        Ends of the segments. [m]
    middles, radii : ndarray, shape (n, 3) and (n,)
        The balls. [m]
    origin : ndarray, shape (3,)
        A place near the segments. [m]

    Returns
    -------
    tuple of ndarray, shape (n,)
        Lower and upper bounds. [m]
    """
    middle, begin = (middles - origin).T, (segments[:, 0] - origin).T
    along = (segments[:, 1] - segments[:, 0]).T
    length = np.maximum(_dot(along, along), np.finfo(np.float64).tiny)
    share = _dot(along, middle) - _dot(along, begin)
    size = _dot(middle, middle) + _dot(begin, begin)
    t = np.clip(share / length, 0.0, 1.0)
    squared = size - 2 * _dot(begin, middle) - t * (2 * share - t * length)
    slack = 1e-14 * (size + length)
    low = np.sqrt(np.maximum(squared - slack, 0.0)) - radii
    return low, np.sqrt(np.maximum(squared + slack, 0.0))


def _dot(first: Floats, second: Floats) -> Floats:
    """Return the scalar products of vectors by axis, shape (3, n)."""
    return np.asarray(first[0] * second[0] + first[1] * second[1] + first[2] * second[2])


def least_along(boxes: Boxes, half_width: Floats, normal: Floats) -> Floats:
    """Bound how far stretches reach against a direction over their whole intervals.

    Parameters
    ----------
    boxes : Boxes
        The stretches.
    half_width : ndarray, shape (n, 2)
        B² of both ends of their parts. [m²]
    normal : ndarray, shape (n, 3)
        Unit vectors.

    Returns
    -------
    ndarray, shape (n,)
        No point of the stretch has a smaller n·p. [m]
    """
    low, high = (boxes.ends[::2] @ normal[:, :, np.newaxis])[..., 0]
    first, last = ((low + high) / 2 - np.sqrt(half_width + (high - low) ** 2 / 4)).T
    begin, stop = ((1 - share) * first + share * last for share in boxes.share)
    return np.asarray(np.minimum(begin, stop))


def most_along(corners: Floats, normal: Floats) -> Floats:
    """Return the largest n·q of each piece, shape (n, 3, 3), each with its own normal. [m]"""
    return np.asarray((corners @ normal[:, :, np.newaxis])[..., 0].max(axis=1))


def directions(nearest: Nearest) -> Floats:
    """Return unit vectors from the nearest point of the obstacle to that of the part.

    Zero where they touch: the bound is then 0, which is true.
    """
    across = nearest.at_first - nearest.at_second
    size = np.sqrt((across**2).sum(axis=1))
    return np.asarray(across / np.where(size > 0, size, 1.0)[:, np.newaxis])


def towards(segments: Floats, place: Floats) -> Floats:
    """Return unit vectors from a place to the nearest point of each segment, shape (n, 3)."""
    start, along = segments[:, 0], segments[:, 1] - segments[:, 0]
    length = np.maximum((along**2).sum(axis=1), np.finfo(np.float64).tiny)
    share = np.clip(((place - start) * along).sum(axis=1) / length, 0.0, 1.0)
    across = start + share[:, np.newaxis] * along - place
    size = np.sqrt((across**2).sum(axis=1))
    return np.asarray(across / np.where(size > 0, size, 1.0)[:, np.newaxis])
