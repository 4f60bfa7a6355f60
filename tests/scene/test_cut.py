"""Areas cut out of the drawn ground, against shapely."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from visual.scene.cut import drape_area, flat_area, inside, trapezoids
from visual.scene.terrain import Terrain, circle, densify

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
