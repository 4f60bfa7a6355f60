"""Solid shapes as vertices and triangles: tubes, boxes, prisms, trees, discs."""

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from visual.scene.layers import Points

Solid = tuple[Points, NDArray[np.int32]]
"""Vertices, shape (n, 3) [m], and triangles, shape (m, 3), counter-clockwise from outside."""


def merge(solids: Iterable[Solid]) -> Solid:
    """Join several solids into one."""
    vertices: list[Points] = []
    triangles: list[NDArray[np.int32]] = []
    first = 0
    for points, faces in solids:
        vertices.append(points)
        triangles.append(faces + first)
        first += len(points)
    if not vertices:
        return np.empty((0, 3)), np.empty((0, 3), dtype=np.int32)
    return np.concatenate(vertices), np.concatenate(triangles).astype(np.int32)


def square_to(direction: Points) -> tuple[Points, Points]:
    """Return two unit vectors square to a direction and to each other."""
    d = np.asarray(direction, float) / np.linalg.norm(direction)
    helper = np.array([0.0, 0.0, 1.0]) if abs(d[2]) < 0.9 else np.array([1.0, 0.0, 0.0])
    u = np.cross(helper, d)
    u /= np.linalg.norm(u)
    return u, np.cross(d, u)


def tube(
    path: Points, radius: float | Sequence[float], *, sides: int = 12, capped: bool = True
) -> Solid:
    """Return a tube along a path.

    Parameters
    ----------
    path : ndarray, shape (n, 3)
        Axis. [m]
    radius : float or sequence of float
        Radius, one for all or one per point. [m]
    sides : int
        Faces around.
    capped : bool
        True to close both ends.
    """
    radii = np.broadcast_to(np.asarray(radius, float), (len(path),))
    rings = _rings(np.asarray(path, float), radii, sides)
    walls = _wall_triangles(len(path), sides)
    vertices = rings.reshape(-1, 3)
    if not capped:
        return vertices, walls
    n = len(vertices)
    around = np.arange(sides)
    after = (around + 1) % sides
    foot = np.column_stack([np.full(sides, n), after, around])
    top = n - sides + np.column_stack([np.full(sides, sides + 1), around, after])
    ends = np.array([path[0], path[-1]], float)
    return np.concatenate([vertices, ends]), np.concatenate([walls, foot, top]).astype(np.int32)


def _rings(path: Points, radii: NDArray[np.float64], sides: int) -> NDArray[np.float64]:
    """Return circles square to the path, carried along it without twist, (n, sides, 3)."""
    tangent = np.gradient(path, axis=0)
    turn = 2 * math.pi * np.arange(sides) / sides
    u, _ = square_to(tangent[0])
    rings = np.empty((len(path), sides, 3))
    for k, (point, t) in enumerate(zip(path, tangent, strict=True)):
        t = t / np.linalg.norm(t)
        u = u - (u @ t) * t
        u = u / np.linalg.norm(u)
        v = np.cross(t, u)
        rings[k] = point + radii[k] * (np.cos(turn)[:, None] * u + np.sin(turn)[:, None] * v)
    return rings


def _wall_triangles(rings: int, sides: int) -> NDArray[np.int32]:
    k, s = np.meshgrid(np.arange(rings - 1), np.arange(sides), indexing="ij")
    a, b = k * sides + s, k * sides + (s + 1) % sides
    c, d = b + sides, a + sides
    both = np.stack([a, b, c, a, c, d], axis=-1)
    return both.reshape(-1, 3).astype(np.int32)


def box(centre: Points, axes: NDArray[np.float64], half: Sequence[float]) -> Solid:
    """Return a box; `axes` are three right-handed unit vectors as rows, `half` its half sizes."""
    signs = np.array([[x, y, z] for z in (-1, 1) for y in (-1, 1) for x in (-1, 1)], float)
    vertices = np.asarray(centre, float) + (signs * np.asarray(half)) @ np.asarray(axes, float)
    faces = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]]
    triangles = [[f[0], f[i], f[i + 1]] for f in faces for i in (1, 2)]
    return vertices, np.array(triangles, dtype=np.int32)


def box_edges(solid: Solid) -> list[Points]:
    """Return the twelve edges of a `box`."""
    v = solid[0]
    pairs = [(a, a ^ bit) for a in range(8) for bit in (1, 2, 4) if not a & bit]
    return [v[[a, b]] for a, b in pairs]


def walls(ring: NDArray[np.float64], base: float, top: float) -> Solid:
    """Return the upright walls over a closed plan ring that runs counter-clockwise."""
    plan = ring[:-1, :2]
    n = len(plan)
    vertices = np.concatenate(
        [np.column_stack([plan, np.full(n, base)]), np.column_stack([plan, np.full(n, top)])]
    )
    a = np.arange(n)
    b = (a + 1) % n
    triangles = np.stack([a, b, b + n, a, b + n, a + n], axis=-1).reshape(-1, 3)
    return vertices, triangles.astype(np.int32)


def lathe(
    foot: Points, profile: Sequence[tuple[float, float]], *, sides: int, turn: float = 0.0
) -> Solid:
    """Return a body turned about the vertical through `foot` from (height, radius) pairs. [m]"""
    heights = np.array([h for h, _ in profile])
    radii = np.array([r for _, r in profile])
    angle = turn + 2 * math.pi * np.arange(sides) / sides
    # every other ring is turned by half a face: reads as foliage instead of as a lamp shade
    angles = angle + (np.arange(len(profile)) % 2)[:, None] * math.pi / sides
    rings = np.stack(
        [
            radii[:, None] * np.cos(angles),
            radii[:, None] * np.sin(angles),
            np.broadcast_to(heights[:, None], angles.shape),
        ],
        axis=-1,
    )
    return rings.reshape(-1, 3) + np.asarray(foot, float), _wall_triangles(len(profile), sides)


def tree(foot: Points, *, height: float, crown_radius: float) -> tuple[Solid, Solid]:
    """Return stem and crown of a tree that just fills its height and crown radius."""
    clear = min(0.28 * height, max(height - 2.2 * crown_radius, 0.12 * height))
    crown = height - clear
    shape = [(0.0, 0.02), (0.08, 0.62), (0.28, 0.96), (0.45, 1.0), (0.68, 0.80), (0.88, 0.45)]
    profile = [(clear + crown * h, crown_radius * r) for h, r in shape] + [(height, 0.02)]
    turn = float(foot[0]) * 1.7 + float(foot[1]) * 0.9
    stem_radius = max(0.06, 0.02 * height)
    stem = tube(
        np.array([foot, foot + np.array([0.0, 0.0, clear + 0.3 * crown])]),
        stem_radius,
        sides=7,
    )
    return stem, lathe(foot, profile, sides=9, turn=turn)


def disc(centre: Points, axis: Points, radius: float, *, sides: int = 48) -> Solid:
    """Return a flat disc square to an axis."""
    ring = ring_about(centre, axis, radius, sides=sides)[:-1]
    vertices = np.concatenate([np.asarray(centre, float).reshape(1, 3), ring])
    a = 1 + np.arange(sides)
    triangles = np.column_stack([np.zeros(sides, int), a, 1 + np.arange(1, sides + 1) % sides])
    return vertices, triangles.astype(np.int32)


def ring_about(centre: Points, axis: Points, radius: float, *, sides: int = 48) -> Points:
    """Return a closed circle square to an axis, shape (sides + 1, 3). [m]"""
    u, v = square_to(axis)
    turn = np.linspace(0, 2 * math.pi, sides + 1)
    across = np.cos(turn)[:, None] * u + np.sin(turn)[:, None] * v
    return np.asarray(centre, float) + radius * across
