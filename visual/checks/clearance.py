"""Certified clearances of moving parts: nothing between two angles is missed.

The smallest distance is found to `TOLERANCE`; with the curve error of a conductor
(`shapes.CURVE_ERROR`) that makes 1 mm. How: see `branching`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from visual.checks.branching import TOLERANCE, Search
from visual.checks.shapes import Shape
from visual.checks.sweep import Floats, MovingPart

__all__ = [
    "ANGLE_TOLERANCE",
    "TOLERANCE",
    "Closest",
    "MovingPart",
    "certified_minima",
    "certified_minima_of_all",
    "certified_minimum",
    "first_below",
    "nearer_of",
]

ANGLE_TOLERANCE = math.radians(0.01)
"""The angle at which a distance is first undercut is found to this. [rad]"""

TIE = 1e-6
"""Two ranges of angles in which a part comes equally near differ by less. [m]"""


@dataclass(frozen=True, eq=False)
class Closest:
    """Closest approach of a part to an obstacle over a range of angles.

    Parameters
    ----------
    distance : float
        Smallest distance found, surface to surface; 0 if they touch. Infinite, with NaN for
        angle and points, if the obstacle is empty. [m]
    lower_bound : float
        Proven: nowhere in the range is the distance smaller; at most `TOLERANCE` below
        `distance`. [m]
    angle : float
        Raising angle where `distance` was found. [rad]
    at_part, at_obstacle : ndarray, shape (3,)
        Nearest points there: on the part's axis, and on the obstacle's face or line. [m]
    """

    distance: float
    lower_bound: float
    angle: float
    at_part: Floats
    at_obstacle: Floats


def nearer_of(known: Closest, found: Closest) -> Closest:
    """Return the closest approach over two ranges of angles of the same part to one obstacle.

    That is `known`, unless `found` is nearer by more than `TIE`. The lower bound holds for both.
    """
    nearer = found if found.distance < known.distance - TIE else known
    return replace(nearer, lower_bound=min(known.lower_bound, found.lower_bound))


def certified_minimum(part: MovingPart, shape: Shape, *, start: float, end: float) -> Closest:
    """Find the smallest distance of one part to one obstacle; see `certified_minima`."""
    return certified_minima(part, (shape,), start=start, end=end)[0]


def certified_minima(
    part: MovingPart, shapes: Sequence[Shape], *, start: float, end: float
) -> tuple[Closest, ...]:
    """Find the smallest distance of a part to each obstacle, all at once, which is quicker.

    Parameters
    ----------
    part : MovingPart
        What moves.
    shapes : sequence of Shape
        The obstacles.
    start, end : float
        Range of raising angle. [rad]

    Returns
    -------
    tuple of Closest
        One for each shape, in order.

    Raises
    ------
    ValueError
        If the part is not finite somewhere or moves faster than its bound, or if `end` is
        less than `start`.
    """
    return certified_minima_of_all([part], shapes, spans=[(start, end)])[0]


def certified_minima_of_all(
    parts: Sequence[MovingPart],
    shapes: Sequence[Shape],
    *,
    spans: Sequence[tuple[float, float]],
    only: Sequence[int] | None = None,
) -> tuple[tuple[Closest, ...], ...]:
    """Find the smallest distance of each of several parts to each obstacle, all at once.

    Parameters
    ----------
    parts : sequence of MovingPart
        What moves.
    shapes : sequence of Shape
        The obstacles.
    spans : sequence of tuple of float
        First and last raising angle of each part. [rad]
    only : sequence of int or None
        Number of the one shape that each part is held against; all if left out.

    Returns
    -------
    tuple of tuple of Closest
        One for each shape for each part, in order; as of an empty one where it is not held
        against it.

    Raises
    ------
    ValueError
        As `certified_minima` does.
    """
    if not shapes or not parts:
        return tuple(() for _ in parts)
    search = Search(parts, tuple(shapes), spans=spans, only=only)
    while search.pending:
        search.look()
        search.halve()
    lower = search.proven
    found = [
        Closest(max(float(search.best[i]), 0.0), float(lower[i]), float(search.angle[i]), *points)
        for i, points in enumerate(search.points)
    ]
    count = len(shapes)
    return tuple(tuple(found[i : i + count]) for i in range(0, len(found), count))


def first_below(
    part: MovingPart, shape: Shape, *, requirement: float, start: float, end: float
) -> float | None:
    """Find the smallest raising angle at which a part comes nearer to an obstacle than allowed.

    Parameters
    ----------
    part, shape : MovingPart, Shape
        What moves, and the obstacle.
    requirement : float
        Least distance allowed; at 0 or less nothing can undercut it. [m]
    start, end : float
        Range of raising angle. [rad]

    Returns
    -------
    float or None
        Proven: before this angle the requirement holds. Within `ANGLE_TOLERANCE` after it, it
        is undercut, or kept by less than `TOLERANCE`. None, proven: it holds everywhere. [rad]

    Raises
    ------
    ValueError
        As `certified_minima` does.
    """
    if requirement <= 0:
        return None
    search = Search([part], (shape,), spans=[(start, end)], requirement=requirement)
    while search.pending:
        search.look()
        angle = search.settled_angle(ANGLE_TOLERANCE)
        if angle is not None:
            return angle
        search.halve()
    return None if math.isinf(search.undercut) else search.undercut
