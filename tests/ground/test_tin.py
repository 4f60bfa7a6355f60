"""The surveyed surface and what is said about unusable points."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay

from visual.errors import InputError
from visual.ground import make_tin

SQUARE = [[0.0, 0.0, 1.0], [10.0, 0.0, 2.0], [10.0, 10.0, 3.0], [0.0, 10.0, 2.0], [4.0, 5.0, 9.0]]


def test_heights_agree_with_scipy():
    rng = np.random.default_rng(3)
    points = np.column_stack([rng.uniform(-50, 50, (120, 2)), rng.normal(size=120)])
    tin = make_tin(points, file="survey.csv")
    scipy = LinearNDInterpolator(Delaunay(points[:, :2]), points[:, 2])
    x, y = rng.uniform(-55, 55, (2, 2000))
    expected = scipy(x, y)
    np.testing.assert_allclose(tin.height(x, y), expected, atol=1e-9)
    assert np.isnan(expected).any()
    assert np.isfinite(expected).any()


def test_points_and_rim_keep_their_heights():
    tin = make_tin(SQUARE, file="survey.csv")
    given_points = np.array(SQUARE)
    np.testing.assert_allclose(tin.height(*given_points[:, :2].T), given_points[:, 2])
    assert tin.height(np.array([5.0]), np.array([0.0])) == pytest.approx(1.5)
    assert np.isnan(tin.height(np.array([5.0]), np.array([-1e-6])))


def test_rim_goes_once_around():
    rim = make_tin(SQUARE, file="survey.csv").rim
    assert len(rim) == 4
    assert np.hypot(*(rim[:, 1] - rim[:, 0])[:, :2].T).sum() == pytest.approx(40.0)


@settings(max_examples=40, deadline=None)
@given(
    a=st.floats(-1, 1),
    b=st.floats(-1, 1),
    seed=st.integers(0, 10**6),
)
def test_plane_is_exact(a, b, seed):
    rng = np.random.default_rng(seed)
    plan = rng.uniform(-30, 30, (20, 2))
    tin = make_tin(np.column_stack([plan, plan @ [a, b]]), file="survey.csv")
    x, y = rng.uniform(-8, 8, (2, 30))
    z = tin.height(x, y)
    known = np.isfinite(z)
    np.testing.assert_allclose(z[known], (a * x + b * y)[known], atol=1e-9)
    inside = np.isfinite(LinearNDInterpolator(plan, plan[:, 0])(x, y))
    # only slivers at the rim may be missing, and those are far from the middle of such points
    assert (known == inside).all()


@pytest.mark.parametrize("points", [[], SQUARE[:2], [SQUARE[0]] * 4])
def test_too_few_points(points):
    with pytest.raises(InputError, match="at least three ground points at different places"):
        make_tin(points, file="survey.csv")


@pytest.mark.parametrize("wiggle", [0.0, 1e-4])
def test_points_in_line(wiggle):
    s = np.linspace(0, 40, 6)
    points = np.column_stack([s, 2 * s + wiggle * np.cos(7 * s), s])
    with pytest.raises(InputError, match=r"survey\.csv: all 6 ground points lie in one line"):
        make_tin(points, file="survey.csv")


def test_same_point_twice_counts_once():
    tin = make_tin([*SQUARE, SQUARE[2], SQUARE[2]], file="survey.csv")
    assert len(tin.points) == len(SQUARE)
    np.testing.assert_array_equal(tin.points, SQUARE)


def test_one_place_with_two_heights_names_both_points():
    points = [*SQUARE, [10.0, 10.0, 3.4], [0.0, 0.0, 0.5]]
    names = ["A", "B", "C", "D", "E", "C2", "A2"]
    with pytest.raises(InputError) as caught:
        make_tin(points, file="survey.csv", names=names)
    texts = sorted(str(problem) for problem in caught.value.problems)
    assert len(texts) == 2
    assert texts[0].startswith("survey.csv: points A and A2: both are at the same place")
    assert "points C and C2" in texts[1]
    assert "differ by 0.400 m" in texts[1]


def test_missing_number_names_the_point():
    with pytest.raises(InputError, match=r"point 2.*needs easting, northing and height"):
        make_tin([SQUARE[0], [1.0, np.nan, 3.0], SQUARE[2], SQUARE[3]], file="survey.csv")


def test_points_along_a_fence_make_no_wall():
    # The lower row is not quite straight: its middle lies 2 mm inside and 3 m higher.
    points = [[0, 0, 0], [10, 0.002, 3], [20, 0, 0], [0, 10, 0], [20, 10, 0]]
    tin = make_tin(points, file="survey.csv")
    assert len(tin.slivers) == 1
    slopes = np.hypot(*tin.gradient(np.array([5.0, 15.0]), np.array([1.0, 1.0])).T)
    assert slopes.max() < 1
    # the inner edge of the strip that was left out still has its height, beyond it nothing has
    assert tin.height(np.array([5.0]), np.array([0.001])) == pytest.approx(1.5)
    assert np.isnan(tin.height(np.array([5.0]), np.array([0.0005])))
