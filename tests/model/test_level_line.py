"""The contour through the base, on ground given by formulas."""

import math

import numpy as np
import pytest

from visual.model import level_bearings, level_fronts, level_line


def plane_falling_to(bearing, slope=0.2):
    east, north = math.sin(bearing), math.cos(bearing)
    return lambda x, y: 100.0 - slope * (east * x + north * y)


@pytest.mark.parametrize("degrees", [0.0, 37.0, 180.0, 301.5])
def test_on_a_plane_the_contour_is_square_to_the_fall(make_model, degrees):
    fall = math.radians(degrees)
    ground = make_model(plane_falling_to(fall)).ground
    right, left = level_bearings(ground, radius=8.0)
    assert math.sin(right - fall - math.pi / 2) == pytest.approx(0.0, abs=1e-9)
    assert math.cos(right - fall - math.pi / 2) == pytest.approx(1.0)
    assert math.cos(left - fall + math.pi / 2) == pytest.approx(1.0)
    down, up = level_fronts(ground, radius=8.0)
    assert math.cos(down - fall) == pytest.approx(1.0)
    assert math.cos(up - fall) == pytest.approx(-1.0)


def test_side_anchors_of_a_level_front_stand_level(make_model):
    ridge = make_model(lambda x, y: 100.0 + 0.3 * x + 0.02 * y**2, spacing=1.0, reach=20.0).ground
    for bearing in level_bearings(ridge, radius=8.0):
        height = ridge.height(8.0 * math.sin(bearing), 8.0 * math.cos(bearing))
        assert height == pytest.approx(ridge.height(0.0, 0.0), abs=2e-3)


def test_the_line_keeps_its_height_and_passes_the_base(make_model):
    hill = make_model(lambda x, y: 100.0 - 0.2 * x - 0.004 * y**2, spacing=1.0, reach=30.0).ground
    line = level_line(hill, reach=20.0)
    assert len(line) == 41
    assert np.ptp(line[:, 2]) < 5e-3
    assert (line[20, :2] == 0.0).all()
    assert np.hypot(line[0, 0], line[0, 1]) == pytest.approx(20.0)


def test_level_ground_a_summit_and_unknown_ground_have_no_contour(make_model):
    level = make_model().ground
    assert level_bearings(level, radius=8.0) is None
    assert level_fronts(level, radius=8.0) is None
    summit = make_model(lambda x, y: 100.0 - 0.01 * (x**2 + y**2) + 0.0001 * x, spacing=1.0).ground
    assert level_bearings(summit, radius=8.0) is None
    assert level_bearings(level, radius=500.0) is None
    assert len(level_line(level, reach=10.0)) == 1


def test_the_line_ends_where_the_ground_is_unknown(make_model):
    ground = make_model(plane_falling_to(0.0), reach=10.0).ground
    assert np.abs(level_line(ground, reach=30.0)[:, 0]).max() <= 10.0 + 1e-6
