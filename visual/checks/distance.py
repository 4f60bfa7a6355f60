"""Exact distances between straight segments, and between segments and triangles, in space.

A segment is the smallest of a few candidates: both ends of either one against the other, and
the common perpendicular. A triangle adds its plane: both ends of the segment dropped on it, and
the place where the segment goes through. Each candidate is a point of the first body and a
point of the second, so that round-off can never make a distance too small by more than itself,
and needle-thin or degenerate bodies need no case of their own (Ericson 2005, Real-Time
Collision Detection, §5.1.5, §5.1.9 and §5.1.10, for the same idea).

A point is a segment whose ends coincide, a segment is a triangle of which two corners coincide.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

TOUCH = 1e-9
"""Closer than this is touching: the distance is then exactly 0. [m]"""

CHUNK = 8192
"""Pairs handled at once, so that the memory needed does not grow with the number of pairs."""

FEW = 300
"""Up to so many pairs of segment and triangle, candidates of a kind are worked out at once."""

_FLAT = 1e-16
"""A triangle flatter than this (sine squared of a corner) is all edges: it has no plane."""


@dataclass(frozen=True, eq=False)
class Nearest:
    """Where two bodies come nearest, one entry per pair or pose.

    Parameters
    ----------
    distance : ndarray, shape (n,)
        Smallest distance, 0 where they touch or cross, infinite where there is no other body. [m]
    at_first, at_second : ndarray, shape (n, 3)
        The nearest points of the first (moving) and the second (fixed) body. [m]
    """

    distance: Floats
    at_first: Floats
    at_second: Floats


def segment_pairs(first: Floats, second: Floats) -> Nearest:
    """Find the distance between segments, pair by pair.

    Parameters
    ----------
    first, second : ndarray, shape (n, 2, 3)
        Ends of the segments. [m]

    Returns
    -------
    Nearest
        One entry per pair.
    """
    return _finish(*_between_segments(_by_axis(first), _by_axis(second)))


def triangle_pairs(segments: Floats, triangles: Floats) -> Nearest:
    """Find the distance between a segment and a triangle, pair by pair.

    Parameters
    ----------
    segments : ndarray, shape (n, 2, 3)
        Ends of the segments. [m]
    triangles : ndarray, shape (n, 3, 3)
        Corners of the triangles. [m]

    Returns
    -------
    Nearest
        One entry per pair; 0 where the segment goes through its triangle.
    """
    segment, triangle = _by_axis(segments), _by_axis(triangles)
    # Each call takes its time, which is what counts where pairs are few.
    best = _at_once if len(segments) <= FEW else _one_by_one
    return _finish(*best(segment, triangle))


def to_segments(poses: Floats, segments: Floats) -> Nearest:
    """Find, for each pose of a moving segment, the nearest of many fixed segments.

    Parameters
    ----------
    poses : ndarray, shape (k, 2, 3)
        Ends of the moving segment at each pose. [m]
    segments : ndarray, shape (m, 2, 3)
        The fixed segments. [m]

    Returns
    -------
    Nearest
        One entry per pose; infinite with NaN points if there is no segment.
    """
    return _nearest_of_all(poses, segments, segment_pairs)


def to_triangles(poses: Floats, triangles: Floats) -> Nearest:
    """Find, for each pose of a moving segment, the nearest of many fixed triangles.

    Parameters
    ----------
    poses : ndarray, shape (k, 2, 3)
        Ends of the moving segment at each pose. [m]
    triangles : ndarray, shape (m, 3, 3)
        The fixed triangles. [m]

    Returns
    -------
    Nearest
        One entry per pose; infinite with NaN points if there is no triangle.
    """
    return _nearest_of_all(poses, triangles, triangle_pairs)


def _nearest_of_all(
    poses: Floats, bodies: Floats, pairs: Callable[[Floats, Floats], Nearest]
) -> Nearest:
    """Run through all pairs of pose and body in blocks of at most `CHUNK` pairs."""
    count = len(poses)
    distance = np.full(count, np.inf)
    at_first, at_second = np.full((2, count, 3), np.nan)
    width = min(max(len(bodies), 1), CHUNK)
    for row in range(0, count, CHUNK // width):
        block = poses[row : row + CHUNK // width]
        rows = np.arange(row, row + len(block))
        for column in range(0, len(bodies), width):
            some = bodies[column : column + width]
            found = pairs(np.repeat(block, len(some), axis=0), np.tile(some, (len(block), 1, 1)))
            pick = np.argmin(found.distance.reshape(len(block), -1), axis=1)
            pick += np.arange(len(block)) * len(some)
            closer = found.distance[pick] < distance[rows]
            pick, target = pick[closer], rows[closer]
            distance[target] = found.distance[pick]
            at_first[target] = found.at_first[pick]
            at_second[target] = found.at_second[pick]
    return Nearest(distance, at_first, at_second)


# Below, the axis comes before the pair, shape (3, n): numpy is several times faster that way.

_Candidate = tuple[Floats, Floats, Floats]
"""Distance squared (n,), point of the first body (3, n), point of the second body (3, n)."""


def _by_axis(corners: Floats) -> Floats:
    return np.ascontiguousarray(np.asarray(corners, dtype=np.float64).transpose(1, 2, 0))


def _dot(a: Floats, b: Floats) -> Floats:
    product: Floats = a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
    return product


def _cross(a: Floats, b: Floats) -> Floats:
    return np.stack(
        [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
    )


def _ratio(numerator: Floats, denominator: Floats) -> Floats:
    """Divide and clamp to 0 … 1; 0 where the denominator is 0 (a segment without length)."""
    has_length = denominator > 0
    share: Floats = np.where(has_length, numerator, 0.0)
    share /= np.where(has_length, denominator, 1.0)
    np.maximum(share, 0.0, out=share)
    return np.minimum(share, 1.0, out=share)


def _between_segments(first: Floats, second: Floats) -> _Candidate:
    """Take the best of the five candidates of two segments, given by axis, shape (2, 3, …)."""
    u, v, w = first[1] - first[0], second[1] - second[0], first[0] - second[0]
    uu, uv, vv, uw, vw = _dot(u, u), _dot(u, v), _dot(v, v), _dot(u, w), _dot(v, w)
    zero, one = np.zeros_like(uv), np.ones_like(uv)
    # The common perpendicular; where the two are nearly parallel its share s is poor, but t is
    # then the best for that s and s the best for that t, and the ends are candidates too.
    s = _ratio(uv * vw - vv * uw, uu * vv - uv * uv)
    t = _ratio(uv * s + vw, vv)
    s = _ratio(uv * t - uw, uu)
    best = np.full_like(uv, np.inf)
    best_s, best_t = zero, zero
    for share, other in (
        (zero, _ratio(vw, vv)),
        (one, _ratio(vw + uv, vv)),
        (_ratio(-uw, uu), zero),
        (_ratio(uv - uw, uu), one),
        (s, t),
    ):
        gap = w + share * u - other * v
        squared = _dot(gap, gap)
        closer = squared < best
        best = np.where(closer, squared, best)
        best_s, best_t = np.where(closer, share, best_s), np.where(closer, other, best_t)
    return best, first[0] + best_s * u, second[0] + best_t * v


def _through_plane(segment: Floats, triangle: Floats) -> Floats:
    """Give the point where each segment goes through the triangle's plane, or its first end."""
    normal = _cross(triangle[1] - triangle[0], triangle[2] - triangle[0])
    before = _dot(normal, segment[0] - triangle[0])
    after = _dot(normal, segment[1] - triangle[0])
    crosses = (before < 0) != (after < 0)
    share = np.where(crosses, before, 0.0) / np.where(crosses, before - after, 1.0)
    point: Floats = segment[0] + share * (segment[1] - segment[0])
    return point


def _onto_face(point: Floats, triangle: Floats) -> _Candidate:
    """Drop points, shape (3, …), square onto the faces; infinite where they miss the face."""
    a, b, w = triangle[1] - triangle[0], triangle[2] - triangle[0], point - triangle[0]
    aa, ab, bb, aw, bw = _dot(a, a), _dot(a, b), _dot(b, b), _dot(a, w), _dot(b, w)
    area = aa * bb - ab * ab
    solid = area > _FLAT * aa * bb
    safe = np.where(solid, area, 1.0)
    along_a, along_b = (bb * aw - ab * bw) / safe, (aa * bw - ab * aw) / safe
    on_face = solid & (along_a >= 0) & (along_b >= 0) & (along_a + along_b <= 1)
    foot = triangle[0] + np.where(on_face, along_a, 0) * a + np.where(on_face, along_b, 0) * b
    gap = point - foot
    return np.where(on_face, _dot(gap, gap), np.inf), point, foot


def _at_once(segment: Floats, triangle: Floats) -> _Candidate:
    """Take the best of the three edges, worked out at once, and of the points over the face."""
    edges = np.stack([triangle, triangle[[1, 2, 0]]]).swapaxes(1, 2)
    to_edges = _between_segments(segment[:, :, np.newaxis], edges)
    points = np.stack([*segment, _through_plane(segment, triangle)], axis=1)
    to_face = _onto_face(points, triangle[:, :, np.newaxis])
    return _nearer(_least(*to_edges), _least(*to_face))


def _one_by_one(segment: Floats, triangle: Floats) -> _Candidate:
    """Return what `_at_once` does, with so little at a time that it stays in the cache."""
    best = _between_segments(segment, triangle[[0, 1]])
    for corners in ([1, 2], [2, 0]):
        best = _nearer(best, _between_segments(segment, triangle[corners]))
    for point in (segment[0], segment[1], _through_plane(segment, triangle)):
        best = _nearer(best, _onto_face(point, triangle))
    return best


def _least(squared: Floats, at_first: Floats, at_second: Floats) -> _Candidate:
    """Take the best of several candidates of each pair, shapes (k, n) and (3, k, n)."""
    pick, pair = squared.argmin(axis=0), np.arange(squared.shape[-1])
    return squared[pick, pair], at_first[:, pick, pair], at_second[:, pick, pair]


def _nearer(one: _Candidate, two: _Candidate) -> _Candidate:
    closer = two[0] < one[0]
    return (
        np.where(closer, two[0], one[0]),
        np.where(closer, two[1], one[1]),
        np.where(closer, two[2], one[2]),
    )


def _finish(squared: Floats, at_first: Floats, at_second: Floats) -> Nearest:
    distance = np.sqrt(squared)
    distance[distance < TOUCH] = 0.0
    return Nearest(distance, at_first.T, at_second.T)
