"""Contours: where, at which heights, and at what interval."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.ground import Surface, contour_interval, make_tin

BOX = (-20.0, -18.0, 20.0, 18.0)


def test_contours_of_a_plane_are_straight_and_at_true_heights(patch_of):
    surface = Surface(patch_of(lambda x, y: 0.1 * x + 0.2 * y), None, 0.1)
    lines = surface.contours(BOX, 0.5, offset=123.4)
    true = np.array([line.level + 123.4 for line in lines])
    # z runs from −5.6 to 5.6, and the highest corner is no line
    np.testing.assert_allclose(np.sort(true), np.arange(118.0, 129.0, 0.5), atol=1e-9)
    for line in lines:
        x, y, z = line.path.T
        assert (z == line.level).all()
        np.testing.assert_allclose(0.1 * x + 0.2 * y, z, atol=1e-5)
    # each line ends on the box
    ends = np.concatenate([line.path[[0, -1]] for line in lines])
    on_box = np.isclose(np.abs(ends[:, 0]), 20.0) | np.isclose(np.abs(ends[:, 1]), 18.0)
    assert on_box.all()


def test_level_ground_at_a_contour_height_has_none(patch_of):
    noise = np.random.default_rng(1).normal(0, 1e-13, (21, 25))
    surface = Surface(patch_of(lambda x, y: 0 * (x + y) + noise - 0.25), None, 0.1)
    assert surface.contours(BOX, 1.0, offset=100.25) == ()


def test_cone_has_closed_circles():
    r, turn = np.meshgrid(np.arange(1.0, 13.0), np.linspace(0, 2 * np.pi, 73)[:-1])
    x, y = (r * np.cos(turn)).ravel(), (r * np.sin(turn)).ravel()
    surface = Surface(None, make_tin(np.column_stack([x, y, -r.ravel()]), file="cone"), 0.1)
    lines = surface.contours((-13.0, -13.0, 13.0, 13.0), 2.5)
    assert [round(line.level, 9) for line in lines] == [-10.0, -7.5, -5.0, -2.5]
    for line in lines:
        np.testing.assert_array_equal(line.path[0], line.path[-1])
        np.testing.assert_allclose(np.hypot(*line.path[:, :2].T), -line.level, rtol=5e-3)


def test_unknown_ground_has_no_contours(patch_of):
    patch = patch_of(lambda x, y: 0.5 * x + 0 * y)
    patch.z[:, 12:] = np.nan  # unknown from x = −2 on
    lines = Surface(patch, None, 0.1).contours(BOX, 1.0)
    assert lines
    assert max(line.path[:, 0].max() for line in lines) <= -2.0
    assert Surface(patch, None, 0.1).contours((5.0, 5.0, 9.0, 9.0), 1.0) == ()


@pytest.mark.parametrize(
    ("relief", "unit", "interval"),
    [(0.0, 1.0, 0.1), (2.0, 1.0, 0.1), (20.0, 1.0, 1.0), (21.0, 1.0, 2.0), (95.0, 1.0, 5.0),
     (800.0, 1.0, 50.0), (20.0, 0.3048, 5 * 0.3048)],
)  # fmt: skip
def test_interval(relief, unit, interval):
    assert contour_interval(relief, unit=unit) == pytest.approx(interval)


@given(relief=st.floats(2.5, 5000))
def test_interval_gives_a_readable_number_of_lines(relief):
    assert 7.9 <= relief / contour_interval(relief) <= 20.001
