"""Areas cut out of the drawn ground, as triangles.

A plan area (outer rings and holes, even-odd) is first cut into trapezoids between its corner
heights; the ground triangles wholly inside are taken as they are and those on the edge are cut
against the trapezoids, all exactly on the drawn ground.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from visual.scene.layers import Points
from visual.scene.terrain import Terrain

Ring = NDArray[np.float64]
"""Closed plan ring, shape (n, 2 or more), first point repeated at the end. [m]"""


_AT_ONCE = 400_000  # pairs, as of a point and an edge, worked on together
_FEW = 2  # corners that make no area


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
    lowest, highest = edges[:, :, 1].min(axis=1), edges[:, :, 1].max(axis=1)
    found = [_slab(edges[(lowest <= lo) & (highest >= hi)], lo, hi) for lo, hi in pairwise(levels)]
    return np.concatenate(found) if found else np.empty((0, 4, 2))


def _slab(through: NDArray[np.float64], low: float, high: float) -> NDArray[np.float64]:
    """Return the trapezoids between two levels, from the edges that run through both."""
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
    vertices = terrain.vertices
    whole, edge = _sort_triangles(terrain, vertices, rings)
    cut, sizes = cut_pieces(vertices[edge], trapezoids(rings))
    used, index = np.unique(whole, return_inverse=True)
    kept = vertices[used]
    fan = _fans(sizes, first=len(kept))
    out = np.concatenate([kept, cut]) + np.array([0.0, 0.0, lift])
    return out, np.concatenate([index.reshape(-1, 3), fan]).astype(np.int32)


def _sort_triangles(
    terrain: Terrain, vertices: Points, rings: Sequence[Ring]
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Return triangles wholly inside the area, and those that its edge may cross."""
    near = np.zeros(terrain.heights.shape, dtype=bool)
    for ring in rings:
        _mark_cells(terrain, ring, near)
    every = np.concatenate([ring[:, :2] for ring in rings])
    lowest, highest = every.min(axis=0), every.max(axis=0)
    triangles = terrain.triangles_in(lowest, highest)
    edge = _any_marked(terrain, near, vertices[triangles, :2])
    others = triangles[~edge]
    middle = vertices[others, :2].mean(axis=1)
    found = ((middle > lowest) & (middle < highest)).all(axis=1)
    found[found] = inside(rings, middle[found, 0], middle[found, 1])
    return others[found], triangles[edge]


def _any_marked(
    terrain: Terrain, near: NDArray[np.bool_], corners: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Return which triangles (n, 3, 2) have a marked cell in their box."""
    count = np.zeros((near.shape[0] + 1, near.shape[1] + 1), dtype=np.int32)
    np.cumsum(np.cumsum(near, axis=0, dtype=np.int32), axis=1, out=count[1:, 1:])
    place = np.rint((corners - np.array([terrain.west, terrain.south])) / terrain.step).astype(int)
    (left, low), (right, high) = place.min(axis=1).T, place.max(axis=1).T
    marked = count[high, right] - count[low, right] - count[high, left] + count[low, left]
    return np.asarray(marked > 0)


def _mark_cells(terrain: Terrain, ring: Ring, near: NDArray[np.bool_]) -> None:
    """Mark each cell whose box an edge of the ring may touch."""
    limit = np.array(near.shape[::-1]) - 1
    plan = (ring[:, :2] - np.array([terrain.west, terrain.south])) / terrain.step
    a, b = plan[:-1], plan[1:]
    low = np.maximum(np.floor(np.minimum(a, b) - 1e-6).astype(int), 0)
    high = np.minimum(np.floor(np.maximum(a, b) + 1e-6).astype(int), limit)
    size = np.maximum(high - low + 1, 0)
    cells = size.prod(axis=1)
    for first, last in _blocks(cells):
        some = slice(first, last)
        row = np.repeat(np.arange(first, last), cells[some])
        number = np.arange(len(row)) - np.repeat(np.cumsum(cells[some]) - cells[some], cells[some])
        i = low[row, 0] + number % size[row, 0]
        j = low[row, 1] + number // size[row, 0]
        way = (b - a)[row]
        side = np.abs(way[:, 0] * (j + 0.5 - a[row, 1]) - way[:, 1] * (i + 0.5 - a[row, 0]))
        touched = side <= 0.5 * np.abs(way).sum(axis=1) + 1e-6
        near[j[touched], i[touched]] = True


def _blocks(counts: NDArray[np.int64]) -> Iterator[tuple[int, int]]:
    """Yield ranges of rows whose counts add up to little enough to be worked on together."""
    run = np.cumsum(counts)
    first = 0
    while first < len(counts):
        done = run[first - 1] if first else 0
        last = max(first + 1, int(np.searchsorted(run, done + _AT_ONCE, side="right")))
        yield first, last
        first = last


def cut_pieces(
    ground: NDArray[np.float64], areas: NDArray[np.float64]
) -> tuple[Points, NDArray[np.int64]]:
    """Return the common parts of ground triangles and trapezoids in plan.

    Parameters
    ----------
    ground : ndarray, shape (n, 3, 3)
        Triangles. [m]
    areas : ndarray, shape (m, 4, 2)
        Trapezoids, counter-clockwise. [m]

    Returns
    -------
    points : ndarray, shape (k, 3)
        Corners of all parts, one part after the other: by triangle, then by trapezoid. [m]
    sizes : ndarray of int
        How many corners each part has; three at least.
    """
    low, high = ground[:, :, :2].min(axis=1), ground[:, :, :2].max(axis=1)
    area_low, area_high = areas.min(axis=1), areas.max(axis=1)
    points, sizes = [np.empty((0, 3))], [np.empty(0, dtype=np.int64)]
    block = max(1, _AT_ONCE // max(1, len(areas)))
    for first in range(0, len(ground), block):
        some = slice(first, first + block)
        close = (area_low < high[some, None]) & (area_high > low[some, None])
        row, area = np.nonzero(close.all(axis=2))
        corners, count = clip_convex(ground[some][row], areas[area])
        there = np.arange(corners.shape[1]) < np.where(count > _FEW, count, 0)[:, None]
        points.append(corners[there])
        sizes.append(count[count > _FEW])
    return np.concatenate(points), np.concatenate(sizes)


def clip_convex(
    polygons: NDArray[np.float64], windows: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Cut polygons in space with convex plan windows, each with its own (Sutherland–Hodgman).

    Parameters
    ----------
    polygons : ndarray, shape (n, k, 3)
        Corners. [m]
    windows : ndarray, shape (n, m, 2)
        Corners, counter-clockwise; a side of no length cuts nothing. [m]

    Returns
    -------
    polygons : ndarray, shape (n, j, 3)
        Corners of what is left, the first of each row; the others mean nothing. [m]
    counts : ndarray of int, shape (n,)
        How many they are.
    """
    counts = np.full(len(polygons), polygons.shape[1])
    for k in range(windows.shape[1]):
        a, b = windows[:, k, None], windows[:, (k + 1) % windows.shape[1], None]
        way = b - a
        side = way[..., 0] * (polygons[..., 1] - a[..., 1])
        side -= way[..., 1] * (polygons[..., 0] - a[..., 0])
        side[(way == 0.0).all(axis=(1, 2))] = 0.0
        polygons, counts = _halves_of(polygons, counts, side)
    return polygons, counts


def _halves_of(
    polygons: NDArray[np.float64], counts: NDArray[np.int64], side: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Keep the parts of polygons where `side` is not negative; `half_of` for many."""
    places = np.arange(polygons.shape[1])
    there = places < counts[:, None]
    before = np.where(places == 0, counts[:, None] - 1, places - 1)
    last = np.take_along_axis(polygons, before[..., None], axis=1)
    here = np.take_along_axis(side, before, axis=1)
    crosses = ((here >= 0) != (side >= 0)) & there
    share = here / np.where(crosses, here - side, 1.0)
    corners = np.stack([last + share[..., None] * (polygons - last), polygons], axis=2)
    kept = np.stack([crosses, (side >= 0) & there], axis=2).reshape(len(polygons), -1)
    counts = kept.sum(axis=1)
    out = np.zeros((len(polygons), int(counts.max(initial=0)), polygons.shape[2]))
    out[np.arange(out.shape[1]) < counts[:, None]] = corners.reshape(*kept.shape, out.shape[2])[
        kept
    ]
    return out, counts


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


def _fans(sizes: NDArray[np.int64], *, first: int) -> NDArray[np.int64]:
    """Return triangle fans for polygons stored one after the other from row `first`."""
    start = first + np.cumsum(sizes) - sizes
    many = sizes - 2
    apex = np.repeat(start, many)
    number = 1 + np.arange(len(apex)) - np.repeat(np.cumsum(many) - many, many)
    return np.column_stack([apex, apex + number, apex + number + 1])
