"""Plane triangles: height, gradient and clipping.

Every surface of this room is a set of triangles, so that heights, profiles, clearances and
pictures agree. A set of triangles is an array of shape (n, 3, 3): triangle, corner, (x, y, z).
"""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

Numbers = NDArray[np.int_]

Place = tuple[Array, Array]
"""x and y of places, each of shape (n,). [m]"""

EDGE_TOLERANCE = 1e-9
"""A point with a barycentric weight below this lies on the opposite edge."""


def cross(a: Array, b: Array) -> Array:
    """Return the z part of the cross product of plan vectors, shape (..., 2). [m²]"""
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0], dtype=float)


def weights(corners: Array, x: Array, y: Array) -> Array:
    """Return the barycentric weights of points in triangles.

    Parameters
    ----------
    corners : ndarray, shape (n, 3, 2 or 3)
        One triangle per point; only x and y are used. [m]
    x, y : ndarray, shape (n,)
        The points. [m]

    Returns
    -------
    ndarray, shape (n, 3)
        Weights that add up to one; none below zero where the point lies in the triangle,
        NaN where the triangle has no area in plan.
    """
    a, b, c = ((corners[:, k, 0], corners[:, k, 1]) for k in range(3))
    return shares(a, b, c, x, y).T


def shares(a: Place, b: Place, c: Place, x: Array, y: Array) -> Array:
    """Return what `weights` does, from corners as pairs of x and y; shape (3, n)."""
    ax, ay, bx, by, cx, cy = a[0] - x, a[1] - y, b[0] - x, b[1] - y, c[0] - x, c[1] - y
    parts = np.stack([bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx])
    total = parts[0] + parts[1] + parts[2]
    return np.asarray(parts / np.where(total != 0, total, np.nan), dtype=float)


def blend(share: Array, heights: Array) -> Array:
    """Return heights at barycentric weights, both of shape (3, n). [m]

    A corner without weight does not count, so that a point on the edge of a gap keeps the
    height of that edge although the third corner is unknown.
    """
    on_edge = np.abs(share) < EDGE_TOLERANCE
    parts = np.where(on_edge, 0.0, share * np.where(on_edge, 0.0, heights))
    return np.asarray(parts[0] + parts[1] + parts[2], dtype=float)


def gradient(corners: Array) -> Array:
    """Return the rise of each triangle per metre east and per metre north, shape (n, 2)."""
    u = corners[:, 1] - corners[:, 0]
    v = corners[:, 2] - corners[:, 0]
    area = cross(u, v)
    with np.errstate(divide="ignore", invalid="ignore"):
        east = (u[:, 2] * v[:, 1] - v[:, 2] * u[:, 1]) / area
        north = (v[:, 2] * u[:, 0] - u[:, 2] * v[:, 0]) / area
    return np.stack([east, north], axis=-1)


def touching_box(corners: Array, xmin: float, ymin: float, xmax: float, ymax: float) -> Array:
    """Return the triangles whose own box in plan touches the given box, shape (m, 3, 3)."""
    return np.asarray(corners[_touches(corners, xmin, ymin, xmax, ymax)], dtype=float)


def split_by_line(corners: Array, distance: Array) -> tuple[Array, Array]:
    """Cut triangles along a line in plan.

    Parameters
    ----------
    corners : ndarray, shape (n, 3, 3)
        The triangles. [m]
    distance : ndarray, shape (n, 3)
        Signed distance of each corner from the line. [m]

    Returns
    -------
    positive, negative : ndarray, shape (m, 3, 3)
        Pieces on either side; each lies in the plane of its triangle. Pieces without area
        are left out.
    """
    above, below = np.asarray(distance > 0), np.asarray(distance < 0)
    cut = above.any(axis=1) & below.any(axis=1)
    lone_above = above[cut].sum(axis=1) == 1
    lone = np.where(lone_above, above[cut].argmax(axis=1), below[cut].argmax(axis=1))
    order = (lone[:, None] + np.arange(3)) % 3
    p = np.take_along_axis(corners[cut], order[:, :, None], axis=1)
    d = np.take_along_axis(distance[cut], order, axis=1)
    to_next = d[:, :1] / (d[:, :1] - d[:, 1:2])
    to_last = d[:, :1] / (d[:, :1] - d[:, 2:])
    q = p[:, 0] + to_next * (p[:, 1] - p[:, 0])
    r = p[:, 0] + to_last * (p[:, 2] - p[:, 0])
    tip = np.stack([p[:, 0], q, r], axis=1)
    rest = [np.stack([q, p[:, 1], p[:, 2]], axis=1), np.stack([q, p[:, 2], r], axis=1)]
    whole = ~cut
    on_positive = np.asarray(above[whole].any(axis=1))
    positive = [corners[whole][on_positive], tip[lone_above], *(t[~lone_above] for t in rest)]
    negative = [corners[whole][~on_positive], tip[~lone_above], *(t[lone_above] for t in rest)]
    return _with_area(np.concatenate(positive)), _with_area(np.concatenate(negative))


def split_by_polygon(corners: Array, polygon: Array) -> tuple[Array, Array]:
    """Cut triangles along the outline of a convex polygon in plan.

    Parameters
    ----------
    corners : ndarray, shape (n, 3, 3)
        The triangles. [m]
    polygon : ndarray, shape (k, 2)
        Corners of the polygon, anticlockwise. [m]

    Returns
    -------
    inside, outside : ndarray, shape (m, 3, 3)
        Pieces inside and outside the polygon. [m]
    """
    near = _touches(corners, *polygon.min(axis=0), *polygon.max(axis=0))
    inside, outside = corners[near], [corners[~near]]
    for start, end in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        along = (end - start) / np.hypot(*(end - start))
        distance = cross(along, inside[:, :, :2] - start)
        # A corner within rounding of the line is on it: no hair-thin pieces.
        distance[np.abs(distance) < 1e-9] = 0.0
        inside, cut_off = split_by_line(inside, distance)
        outside.append(cut_off)
    return inside, np.concatenate(outside)


def _touches(
    corners: Array, xmin: float, ymin: float, xmax: float, ymax: float
) -> NDArray[np.bool_]:
    low, high = corners[:, :, :2].min(axis=1), corners[:, :, :2].max(axis=1)
    room = np.concatenate([np.array([xmax, ymax]) - low, high - np.array([xmin, ymin])], axis=1)
    return np.asarray(np.all(room >= 0, axis=1), dtype=bool)


def _with_area(corners: Array) -> Array:
    """Leave out triangles that have no area in plan."""
    area = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return np.asarray(corners[np.abs(area) > 1e-12], dtype=float)
