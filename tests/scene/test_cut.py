"""Areas cut out of the drawn ground, against shapely."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from visual.scene.cut import cut_pieces, drape_area, flat_area, half_of, inside, trapezoids
from visual.scene.terrain import Terrain, circle, densify, densify_all, split_at_gaps

STAR = Polygon([(0, 9), (3, 3), (9, 0), (3, -3), (0, -9), (-3, -3), (-9, 0), (-3, 3)])
HOLED = Polygon([(-9, -8), (8, -7), (9, 9), (-7, 8)], [[(-2, -2), (3, -1), (0, 4)]])


def rings(shape: Polygon) -> list[np.ndarray]:
    return [np.array(ring.coords) for ring in (shape.exterior, *shape.interiors)]


def plan_area(vertices: np.ndarray, triangles: np.ndarray) -> float:
    a, b, c = (vertices[triangles[:, k], :2] for k in range(3))
    cross = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    assert (cross > -1e-9).all(), "every triangle faces up"
    return float(cross.sum() / 2)


@pytest.mark.parametrize("shape", [STAR, HOLED], ids=["star", "with a hole"])
def test_trapezoids_cover_the_area_once(shape):
    area = sum(Polygon(corners).area for corners in trapezoids(rings(shape)))
    assert area == pytest.approx(shape.area)
    vertices, triangles = flat_area(rings(shape), 3.0)
    assert plan_area(vertices, triangles) == pytest.approx(shape.area)
    assert (vertices[:, 2] == 3.0).all()


@pytest.mark.parametrize("shape", [STAR, HOLED], ids=["star", "with a hole"])
def test_a_draped_area_has_the_plan_of_the_area_and_lies_on_the_ground(shape):
    ground = Terrain.sample(
        lambda x, y: np.sin(x) + 0.2 * y, bounds=(-15.0, -15.0, 15.0, 15.0), cells=23
    )
    vertices, triangles = drape_area(ground, rings(shape))
    assert plan_area(vertices, triangles) == pytest.approx(shape.area, rel=1e-9)
    z = ground.height(vertices[:, 0], vertices[:, 1])
    np.testing.assert_allclose(vertices[:, 2], z, atol=1e-9)


def test_an_area_beyond_the_ground_is_cut_off():
    ground = Terrain.sample(lambda x, y: 0 * x, bounds=(-5.0, -5.0, 5.0, 5.0), cells=10)
    vertices, triangles = drape_area(ground, [circle(radius=50.0)])
    assert plan_area(vertices, triangles) == pytest.approx(100.0)


def test_unknown_ground_carries_no_area():
    ground = Terrain.sample(
        lambda x, y: np.where(x < 0, np.nan, 1.0), bounds=(-5.0, -5.0, 5.0, 5.0), cells=10
    )
    vertices, triangles = drape_area(ground, [circle(radius=4.0)])
    assert np.isfinite(vertices).all()
    assert plan_area(vertices, triangles) == pytest.approx(math.pi * 16 / 2, rel=1e-3)


@given(x=st.floats(-12, 12), y=st.floats(-12, 12))
def test_inside_agrees_with_shapely(x, y):
    point = Point(x, y)
    if HOLED.boundary.distance(point) > 1e-9:
        found = inside(rings(HOLED), np.array([x]), np.array([y]))
        assert bool(found[0]) == HOLED.contains(point)


@settings(max_examples=30)
@given(x=st.floats(-15, 15), y=st.floats(-15, 15))
def test_height_is_that_of_the_drawn_triangles(x, y):
    ground = Terrain.sample(
        lambda x, y: np.cos(x / 3) * y, bounds=(-15.0, -15.0, 15.0, 15.0), cells=9
    )
    corners = ground.vertices[ground.triangles]
    a, ab, ac = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    det = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
    p = np.array([x, y]) - a[:, :2]
    u = (p[:, 0] * ac[:, 1] - p[:, 1] * ac[:, 0]) / det
    v = (ab[:, 0] * p[:, 1] - ab[:, 1] * p[:, 0]) / det
    hit = np.flatnonzero((u > -1e-9) & (v > -1e-9) & (u + v < 1 + 1e-9))[0]
    z = a[hit, 2] + u[hit] * ab[hit, 2] + v[hit] * ac[hit, 2]
    assert ground.height(np.array([x]), np.array([y]))[0] == pytest.approx(z, abs=1e-9)


def test_densify_keeps_corners_and_leaves_no_long_step():
    path = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 3.0]])
    fine = densify(path, 0.7)
    assert np.linalg.norm(np.diff(fine, axis=0), axis=1).max() <= 0.7 + 1e-12
    for corner in path:
        assert (np.abs(fine - corner).sum(axis=1) == 0).any()


def one_at_a_time(ground, areas):
    """Sutherland and Hodgman's way, one triangle against one trapezoid after the other."""
    pieces = []
    for triangle in ground:
        for window in areas:
            if not (
                (window.min(axis=0) < triangle[:, :2].max(axis=0))
                & (window.max(axis=0) > triangle[:, :2].min(axis=0))
            ).all():
                continue
            part = triangle
            for a, b in zip(window, np.roll(window, -1, axis=0), strict=True):
                if len(part) and not (a == b).all():
                    side = (b[0] - a[0]) * (part[:, 1] - a[1])
                    side -= (b[1] - a[1]) * (part[:, 0] - a[0])
                    part = half_of(part, side)
            if len(part) > 2:
                pieces.append(part)
    return pieces


def random_ring(seed, *, whole):
    """Return a star-shaped ring; on whole metres many of its corners fall on grid lines."""
    random = np.random.default_rng(seed)
    turn = np.sort(random.uniform(0, 2 * math.pi, random.integers(3, 30)))
    reach = random.uniform(1, 12) * random.uniform(0.3, 1, turn.size)
    ring = np.column_stack([reach * np.cos(turn), reach * np.sin(turn)]) + random.uniform(-4, 4, 2)
    ring = np.round(ring) if whole else ring
    return np.concatenate([ring, ring[:1]])


@settings(max_examples=15)
@given(seed=st.integers(0, 2**32 - 1), whole=st.booleans(), holes=st.integers(0, 2))
def test_pieces_cut_together_are_those_cut_one_at_a_time_to_the_last_bit(seed, whole, holes):
    ground = Terrain.sample(
        lambda x, y: np.where(np.hypot(x - 5, y) < 1.5, np.nan, np.sin(x) + 0.2 * y),
        bounds=(-10.0, -10.0, 10.0, 8.0),
        cells=6,
    )
    areas = trapezoids([random_ring(seed + k, whole=whole) for k in range(holes + 1)])
    corners = ground.vertices[ground.triangles]
    points, sizes = cut_pieces(corners, areas)
    plain = one_at_a_time(corners, areas)
    assert sizes.tolist() == [len(piece) for piece in plain]
    np.testing.assert_array_equal(points, np.concatenate([np.empty((0, 3)), *plain]))


@settings(max_examples=40)
@given(seed=st.integers(0, 2**32 - 1), step=st.floats(0.05, 3.0))
def test_lines_laid_on_the_ground_together_are_those_laid_one_by_one(seed, step):
    ground = Terrain.sample(
        lambda x, y: np.where(np.hypot(x - 5, y) < 1.5, np.nan, np.sin(x) + 0.2 * y),
        bounds=(-10.0, -10.0, 10.0, 8.0),
        cells=10,
    )
    lines = [random_ring(seed + k, whole=bool(k % 2)) for k in range(5)]
    points, counts = densify_all(lines, step)
    assert counts.sum() == len(points)
    for line, fine in zip(lines, np.split(points, np.cumsum(counts[:-1])), strict=True):
        pieces = [
            a + (b - a) * (np.arange(n) / n)[:, None]
            for a, b in itertools.pairwise(line)
            for n in [max(1, math.ceil(np.linalg.norm((b - a)[None], axis=1)[0] / step))]
        ]
        np.testing.assert_array_equal(fine, np.concatenate([*pieces, line[-1:]]))
    apart = [piece for line in lines for piece in ground.drape(line)]
    together = ground.drape_all(lines)
    assert len(apart) == len(together)
    assert all(np.array_equal(a, b) for a, b in zip(apart, together, strict=True))
    assert all(len(split_at_gaps(piece)) == 1 for piece in together)
