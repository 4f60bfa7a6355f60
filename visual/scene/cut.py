"""Areas cut out of the drawn ground, as triangles.

A plan area (outer rings and holes, even-odd) is first cut into trapezoids between its corner
heights; the ground triangles wholly inside are taken as they are and those on the edge are cut
against the trapezoids, all exactly on the drawn ground.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from visual.scene.layers import Points
from visual.scene.terrain import Terrain

Ring = NDArray[np.float64]
"""Closed plan ring, shape (n, 2 or more), first point repeated at the end. [m]"""


_AT_ONCE = 400_000  # pairs of a point and an edge worked on together


def trapezoids(rings: Sequence[Ring]) -> NDArray[np.float64]:
    """Cut an area into trapezoids with level lower and upper sides.

    Returns
    -------
    ndarray, shape (n, 4, 2)
        Corners, counter-clockwise from the lower left. [m]
    """
    edges = np.concatenate([np.stack([r[:-1, :2], r[1:, :2]], axis=1) for r in rings])
    edges = edges[edges[:, 0, 1] != edges[:, 1, 1]]
    levels = np.unique(edges[:, :, 1])
    found = [_slab(edges, lo, hi) for lo, hi in pairwise(levels)]
    return np.concatenate(found) if found else np.empty((0, 4, 2))


def _slab(edges: NDArray[np.float64], low: float, high: float) -> NDArray[np.float64]:
    y = edges[:, :, 1]
    through = edges[(y.min(axis=1) <= low) & (y.max(axis=1) >= high)]
    start, end = through[:, 0], through[:, 1]
    slope = (end[:, 0] - start[:, 0]) / (end[:, 1] - start[:, 1])
    x_low = start[:, 0] + slope * (low - start[:, 1])
    x_high = start[:, 0] + slope * (high - start[:, 1])
    order = np.argsort(x_low + x_high, kind="stable")
    order = order[: len(order) // 2 * 2].reshape(-1, 2)
    corners = np.empty((len(order), 4, 2))
    corners[:, 0, 0], corners[:, 1, 0] = x_low[order[:, 0]], x_low[order[:, 1]]
    corners[:, 2, 0], corners[:, 3, 0] = x_high[order[:, 1]], x_high[order[:, 0]]
    corners[:, :2, 1], corners[:, 2:, 1] = low, high
    return corners


def flat_area(rings: Sequence[Ring], z: float) -> tuple[Points, NDArray[np.int32]]:
    """Return a level area at height z as vertices and triangles."""
    corners = trapezoids(rings)
    vertices = np.column_stack([corners.reshape(-1, 2), np.full(len(corners) * 4, z)])
    first = 4 * np.arange(len(corners))[:, None]
    triangles = (first + np.array([[0, 1, 2, 0, 2, 3]])).reshape(-1, 3)
    return vertices, triangles.astype(np.int32)


def inside(
    rings: Sequence[Ring], x: NDArray[np.float64], y: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Return whether plan points lie in an area (even-odd)."""
    found = np.zeros(np.shape(x), dtype=bool)
    if not rings:
        return found
    edges = np.concatenate([np.stack([r[:-1, :2], r[1:, :2]], axis=1) for r in rings])
    edges = edges[edges[:, 0, 1] != edges[:, 1, 1]]
    block = max(1, _AT_ONCE // max(1, found.size))
    for first in range(0, len(edges), block):
        (ax, ay), (bx, by) = edges[first : first + block].transpose(1, 2, 0)[..., None]
        crosses = (y < np.maximum(ay, by)) & (y >= np.minimum(ay, by))
        found ^= np.bitwise_xor.reduce(
            crosses & (x < ax + (y - ay) * (bx - ax) / (by - ay)), axis=0
        )
    return found


def drape_area(
    terrain: Terrain, rings: Sequence[Ring], *, lift: float = 0.0
) -> tuple[Points, NDArray[np.int32]]:
    """Cut an area out of the drawn ground.

    Parameters
    ----------
    terrain : Terrain
        The drawn ground.
    rings : sequence of ndarray
        Outer rings and holes, even-odd. [m]
    lift : float
        Height above the ground. [m]

    Returns
    -------
    vertices : ndarray, shape (n, 3)
        Corners. [m]
    triangles : ndarray of int, shape (m, 3)
        Rows of `vertices`.
    """
    vertices, triangles = terrain.vertices, terrain.triangles
    whole, edge = _sort_triangles(terrain, vertices, triangles, rings)
    pieces = _cut_pieces(vertices[triangles[edge]], trapezoids(rings))
    used, index = np.unique(triangles[whole], return_inverse=True)
    kept = vertices[used]
    cut = kept[:0] if not pieces else np.concatenate(pieces)
    fan = _fans([len(piece) for piece in pieces], first=len(kept))
    out = np.concatenate([kept, cut]) + np.array([0.0, 0.0, lift])
    return out, np.concatenate([index.reshape(-1, 3), fan]).astype(np.int32)


def _sort_triangles(
    terrain: Terrain, vertices: Points, triangles: NDArray[np.int32], rings: Sequence[Ring]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Tell triangles wholly inside the area from those that its edge may cross."""
    near = np.zeros(terrain.heights.shape, dtype=bool)
    for ring in rings:
        _mark_cells(terrain, ring, near)
    columns = terrain.heights.shape[1]
    lowest = triangles.min(axis=1)
    edge = near[lowest // columns, lowest % columns]
    middle = vertices[triangles, :2].mean(axis=1)
    every = np.concatenate([ring[:, :2] for ring in rings])
    near_box = ((middle > every.min(axis=0)) & (middle < every.max(axis=0))).all(axis=1)
    whole = near_box & ~edge
    whole[whole] = inside(rings, middle[whole, 0], middle[whole, 1])
    return whole, edge


def _mark_cells(terrain: Terrain, ring: Ring, near: NDArray[np.bool_]) -> None:
    """Mark each cell whose box an edge of the ring may touch."""
    rows, columns = near.shape
    plan = (ring[:, :2] - np.array([terrain.west, terrain.south])) / terrain.step
    for a, b in pairwise(plan):
        low = np.floor(np.minimum(a, b) - 1e-6).astype(int)
        high = np.floor(np.maximum(a, b) + 1e-6).astype(int)
        (i0, j0), (i1, j1) = np.maximum(low, 0), np.minimum(high, [columns - 1, rows - 1])
        if i0 > i1 or j0 > j1:
            continue
        i, j = np.meshgrid(np.arange(i0, i1 + 1), np.arange(j0, j1 + 1))
        side = np.abs((b - a)[0] * (j + 0.5 - a[1]) - (b - a)[1] * (i + 0.5 - a[0]))
        near[j0 : j1 + 1, i0 : i1 + 1] |= side <= 0.5 * np.abs(b - a).sum() + 1e-6


def _cut_pieces(ground: NDArray[np.float64], areas: NDArray[np.float64]) -> list[Points]:
    """Return the common parts of ground triangles (n, 3, 3) and trapezoids (m, 4, 2)."""
    low, high = ground[:, :, :2].min(axis=1), ground[:, :, :2].max(axis=1)
    area_low, area_high = areas.min(axis=1), areas.max(axis=1)
    pieces = []
    for triangle, lo, hi in zip(ground, low, high, strict=True):
        close = np.flatnonzero(((area_low < hi) & (area_high > lo)).all(axis=1))
        pieces += [part for k in close if len(part := clip_convex(triangle, areas[k])) > 2]
    return pieces


def clip_convex(polygon: Points, window: NDArray[np.float64]) -> Points:
    """Cut a polygon in space with a convex counter-clockwise plan window (Sutherland–Hodgman)."""
    for a, b in zip(window, np.roll(window, -1, axis=0), strict=True):
        if len(polygon) == 0 or (a == b).all():
            continue
        side = (b[0] - a[0]) * (polygon[:, 1] - a[1]) - (b[1] - a[1]) * (polygon[:, 0] - a[0])
        polygon = half_of(polygon, side)
    return polygon


def half_of(polygon: Points, side: NDArray[np.float64]) -> Points:
    """Keep the part of a polygon where `side` is not negative."""
    kept: list[Points] = []
    for k in range(len(polygon)):
        here, there = side[k - 1], side[k]
        if (here >= 0) != (there >= 0):
            share = here / (here - there)
            kept.append(polygon[k - 1] + share * (polygon[k] - polygon[k - 1]))
        if there >= 0:
            kept.append(polygon[k])
    return np.array(kept) if kept else np.empty((0, polygon.shape[1]))


def _fans(sizes: Sequence[int], *, first: int) -> NDArray[np.int64]:
    """Return triangle fans for polygons stored one after the other from row `first`."""
    rows: list[tuple[int, int, int]] = []
    for size in sizes:
        rows += [(first, first + k, first + k + 1) for k in range(1, size - 1)]
        first += size
    return np.array(rows, dtype=np.int64).reshape(-1, 3)
