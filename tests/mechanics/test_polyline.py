import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.mechanics.polyline import leaves_spheres


def leaves(points, radius, centre=(0.0, 0.0)):
    return leaves_spheres(
        np.array(points, dtype=float), centres=np.array([centre]), radii=np.array([radius])
    )[0]


def test_straight_out():
    assert leaves([(0, 0), (4, 0), (8, 0)], 5.0) == pytest.approx(1.25)


def test_a_corner_on_the_sphere_is_left_there():
    assert leaves([(0, 0), (5, 0), (8, 0)], 5.0) == pytest.approx(1.0)


def test_the_last_time_counts():
    assert leaves([(0, 0), (6, 0), (0, 0), (10, 0)], 5.0) == pytest.approx(2.5)


def test_a_piece_that_dips_in_between_two_corners_outside():
    """From (-8, 3) to (8, 3) the circle of 5 is left at (4, 3)."""
    assert leaves([(-8, 3), (8, 3)], 5.0) == pytest.approx(12 / 16)


@pytest.mark.parametrize(
    "points", [[(6, 0), (9, 0)], [(9, 0), (6, 0)], [(0, 0), (1, 0)], [(-8, 6), (8, 6)]]
)
def test_never_left(points):
    """Beyond it, coming nearer, never out of it, past it."""
    assert math.isnan(leaves(points, 5.0))


def test_unknown_corners_are_no_crossing():
    assert math.isnan(leaves([(0, 0), (math.nan, 0), (9, 0)], 5.0))
    assert leaves([(0, 0), (9, 0), (math.nan, 0)], 4.5) == pytest.approx(0.5)


def test_several_spheres_at_once():
    line = np.array([[0.0, 0.0], [10.0, 0.0]])
    found = leaves_spheres(
        line, centres=np.array([[0.0, 0.0], [2.0, 0.0]]), radii=np.array([3, 3.0])
    )
    np.testing.assert_allclose(found, [0.3, 0.5])


@given(
    heights=st.lists(st.floats(-12, 12).map(lambda h: round(h, 3)), min_size=3, max_size=8),
    radius=st.floats(1.0, 20.0).map(lambda r: round(r, 3)),
)
def test_against_close_sampling(heights, radius):
    points = np.column_stack([4.0 * np.arange(len(heights)), heights])
    places = np.linspace(0.0, len(heights) - 1.0, 20_001)
    corners = np.arange(len(heights))
    sampled = np.hypot(*(np.interp(places, corners, axis) for axis in points.T))
    inside = np.flatnonzero(sampled < radius - 1e-6)
    found = leaves(points, radius)
    if not len(inside):
        return  # perhaps it touches, perhaps not
    if inside[-1] == len(places) - 1:
        assert math.isnan(found) or found < places[-1]
    else:
        step = places[1]
        assert found >= places[inside[-1]] - 1e-9
        after = places > found + step
        assert (sampled[after] >= radius - 1e-6).all()
