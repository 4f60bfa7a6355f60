"""Cutting triangles along a convex outline, against shapely."""

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.ground.triangle import gradient, split_by_polygon


def areas(corners):
    return np.abs(np.linalg.det(corners[:, 1:, :2] - corners[:, :1, :2])) / 2


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10**6), whole=st.booleans())
def test_inside_and_outside_match_shapely(seed, whole):
    rng = np.random.default_rng(seed)
    corners = rng.uniform(-5, 5, (25, 3, 3))
    outline = rng.uniform(-4, 4, (9, 2))
    if whole:  # corners on the outline, edges along it
        corners, outline = np.round(corners), np.round(outline)
        corners = corners[areas(corners) > 0]
    hull = shapely.MultiPoint(outline).convex_hull
    if hull.geom_type != "Polygon":
        return
    polygon = shapely.get_coordinates(shapely.geometry.polygon.orient(hull))[:-1]
    inside, outside = split_by_polygon(corners, polygon)
    shapes = shapely.polygons(corners[:, :, :2])
    np.testing.assert_allclose(
        areas(inside).sum(), shapely.area(shapely.intersection(shapes, hull)).sum(), atol=1e-7
    )
    np.testing.assert_allclose(
        areas(outside).sum(), shapely.area(shapely.difference(shapes, hull)).sum(), atol=1e-7
    )


def test_pieces_stay_in_the_plane_of_their_triangle():
    corners = np.array([[[0.0, 0.0, 1.0], [8.0, 0.0, 3.0], [0.0, 8.0, -3.0]]])
    square = np.array([[1.0, 1.0], [5.0, 1.0], [5.0, 5.0], [1.0, 5.0]])
    for piece in split_by_polygon(corners, square):
        np.testing.assert_allclose(piece[:, :, 2], 1 + piece[:, :, 0] / 4 - piece[:, :, 1] / 2)
        large = piece[areas(piece) > 1e-3]
        np.testing.assert_allclose(gradient(large), np.tile([0.25, -0.5], (len(large), 1)))
