"""Moving parts, and how far they can stray between two angles.

The clearance search rests on one bound. Over an interval of angles let an end of a part lie at
a when it begins and at b when it closes, and go no farther than v·Δθ between. Then all the way it
stays in the ellipsoid with foci a, b and major axis v·Δθ. For any unit vector n pointing from
an obstacle piece towards the part, the end's smallest n·p in the interval is

    n·(a + b)/2 − √(B² + (n·(b − a)/2)²)   with   4 B² = (v Δθ)² − |b − a|²

and, as every point of the part moves as the straight line between its ends says, no point of
the part has less than the smaller value of the two ends. Less the largest n·q of the piece,
that is a true lower bound of the distance, whatever n is. With a tight v the ellipsoid is thin,
its half width shrinks with Δθ², and few intervals are needed.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from visual.checks.distance import Nearest, segment_pairs, triangle_pairs
from visual.checks.shapes import Shape

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

_ROUND_OFF = 1e-9
"""By so much of itself, and in metres, a speed may seem broken through round-off alone."""


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
    """

    name: str
    radius: float
    speed: float | Way | tuple[float | Way, float | Way]
    ends: Callable[[Floats], Floats]

    def travel(self, first: Floats, last: Floats) -> Floats:
        """Bound how far the two ends move between angles, shape (k,) each; shape (k, 2) [m]."""
        both = self.speed if isinstance(self.speed, tuple) else (self.speed, self.speed)
        return np.stack(
            [s(last) - s(first) if callable(s) else s * (last - first) for s in both], axis=1
        )


@dataclass(frozen=True, eq=False)
class Intervals:
    """Intervals of raising angle with the part's place when each begins, half way and at its close.

    Parameters
    ----------
    angles : ndarray, shape (3, k)
        First, middle and last angle. [rad]
    ends : ndarray, shape (3, k, 2, 3)
        Ends of the part there. [m]
    """

    angles: Floats
    ends: Floats

    def __len__(self) -> int:
        return len(self.angles[1])

    @property
    def width(self) -> Floats:
        """Last angle less first, shape (k,) [rad]."""
        width: Floats = self.angles[2] - self.angles[0]
        return width

    def take(self, which: Integers) -> "Intervals":
        """Pick some of the intervals."""
        return Intervals(self.angles[:, which], self.ends[:, which])


def first_intervals(part: MovingPart, start: float, end: float, count: int) -> Intervals:
    """Cut an arc into equal intervals, with its first and last angle as intervals of no width."""
    nodes = np.linspace(start, end, 2 * count + 1)
    even = np.arange(0, 2 * count, 2)
    rows = np.stack([np.r_[even + shift, 0, 2 * count] for shift in range(3)])
    rows[:, -2:] = 0, 2 * count
    return Intervals(nodes[rows], _place(part, nodes)[rows])


def halves(part: MovingPart, parents: Intervals) -> Intervals:
    """Halve intervals: the halves of interval i are i and i + k."""
    low, middle, high = parents.angles
    quarter, three = (low + middle) / 2, (middle + high) / 2
    new = _place(part, np.concatenate([quarter, three]))
    count = len(parents)
    at_low, at_middle, at_high = parents.ends
    first = np.stack([at_low, new[:count], at_middle])
    second = np.stack([at_middle, new[count:], at_high])
    angles = np.concatenate([[low, quarter, middle], [middle, three, high]], axis=1)
    return Intervals(angles, np.concatenate([first, second], axis=1))


def _place(part: MovingPart, angles: Floats) -> Floats:
    places = np.asarray(part.ends(angles), dtype=np.float64)
    if places.shape != (len(angles), 2, 3) or not np.isfinite(places).all():
        message = f"{part.name}: its ends must be finite, shape ({len(angles)}, 2, 3)"
        raise ValueError(message)
    return places


def half_widths(part: MovingPart, intervals: Intervals) -> Floats:
    """Half the width squared, B², of each end's ellipsoid in each interval, shape (k, 2) [m²].

    Raises
    ------
    ValueError
        If an end moves farther than its speed allows.
    """
    reach = part.travel(intervals.angles[0], intervals.angles[2])
    chords = np.linalg.norm(intervals.ends[2] - intervals.ends[0], axis=2)
    if (chords > reach * (1 + _ROUND_OFF) + _ROUND_OFF).any():
        worst = np.unravel_index(np.argmax(chords - reach), chords.shape)
        angle = np.degrees(intervals.angles[1, worst[0]])
        message = f"{part.name} moves faster than its bound {reach[worst]:g} m near {angle:.3f}°"
        raise ValueError(message)
    squared: Floats = np.maximum(reach**2 - chords**2, 0.0) / 4
    return squared


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


def ball_distances(segments: Floats, pieces: Floats) -> tuple[Floats, Floats]:
    """Bound the distances of segments, shape (k, 2, 3), to pieces, shape (n, 3, 3), cheaply.

    A piece lies within its ball; so its distance is that of the ball's middle, give or take
    the ball's radius. Round-off is given away on the safe side.

    Returns
    -------
    tuple of ndarray, shape (k, n)
        Lower and upper bounds. [m]
    """
    middle = (pieces.min(axis=1) + pieces.max(axis=1)) / 2
    radius = np.sqrt(((pieces - middle[:, None]) ** 2).sum(axis=2).max(axis=1, initial=0.0))
    origin = segments[:, 0].mean(axis=0)
    middle, begin = middle - origin, segments[:, 0] - origin
    along = segments[:, 1] - segments[:, 0]
    length = np.maximum((along**2).sum(axis=1), np.finfo(np.float64).tiny)[:, None]
    share = along @ middle.T - (along * begin).sum(axis=1)[:, None]
    size = (middle**2).sum(axis=1) + (begin**2).sum(axis=1)[:, None]
    t = np.clip(share / length, 0.0, 1.0)
    squared = size - 2 * (begin @ middle.T) - t * (2 * share - t * length)
    slack = 1e-14 * (size + length)
    low = np.sqrt(np.maximum(squared - slack, 0.0)) - radius
    return low, np.sqrt(np.maximum(squared + slack, 0.0)) + radius


def lower_bounds(ends: Floats, half_width: Floats, nearest: Nearest, corners: Floats) -> Floats:
    """Bound the distances over whole intervals from below (see the top of this module).

    Parameters
    ----------
    ends : ndarray, shape (2, n, 2, 3)
        Ends of the part when the interval begins and when it closes. [m]
    half_width : ndarray, shape (n, 2)
        B² of the two ends. [m²]
    nearest : Nearest
        Distance and nearest points half way, which choose n.
    corners : ndarray, shape (n, 3, 3)
        The obstacle pieces. [m]
    """
    across = nearest.at_first - nearest.at_second
    size = np.sqrt((across**2).sum(axis=1))
    normal = across / np.where(size > 0, size, 1.0)[:, None]
    low, high = np.einsum("jnei,ni->jne", ends, normal)
    least = (low + high) / 2 - np.sqrt(half_width + (high - low) ** 2 / 4)
    bound: Floats = least.min(axis=1) - np.einsum("nci,ni->nc", corners, normal).max(axis=1)
    return bound


def pair_of_ends(first: Floats, second: Floats) -> Floats:
    """Stack two ends, either of them one point for all angles, into shape (k, 2, 3)."""
    shape = np.broadcast_shapes(first.shape, second.shape)
    return np.stack([np.broadcast_to(first, shape), np.broadcast_to(second, shape)], axis=1)
