"""Survey over DEM as one surface, and the profile through it."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.ground import Surface, make_tin


def rough(x, y):
    return 0.1 * x - 0.05 * y + np.sin(0.7 * x) * np.cos(0.9 * y)


def survey_of(formula, n=60, seed=5, half=9.0):
    rng = np.random.default_rng(seed)
    plan = rng.uniform(-half, half, (n, 2))
    return make_tin(np.column_stack([plan, formula(*plan.T)]), file="survey.csv")


@pytest.fixture
def both(patch_of):
    return Surface(patch_of(rough), survey_of(lambda x, y: rough(x, y) + 0.5), 0.2)


def test_needs_some_ground():
    with pytest.raises(ValueError, match="needs a DEM, a survey or both"):
        Surface(None, None, 0.1)


def test_survey_wins_within_its_hull(both):
    x, y = np.meshgrid(np.linspace(-20, 20, 41), np.linspace(-18, 18, 37))
    inside = shapely.contains_xy(shapely.MultiPoint(both.survey.points[:, :2]).convex_hull, x, y)
    z = both.height(x, y)
    np.testing.assert_array_equal(z[inside], both.survey.height(x[inside], y[inside]))
    np.testing.assert_array_equal(z[~inside], both.dem.height(x[~inside], y[~inside]))
    source = both.source(x, y)
    assert set(source[inside]) == {"survey"}
    assert set(source[~inside]) == {"dem"}
    assert both.accuracy_at(np.array([0.0, 20.0, 99.0]), 0.0) == pytest.approx(
        [0.05, 0.2, np.nan], nan_ok=True
    )


def test_unknown_beyond_the_data(both):
    assert np.isnan(both.height(500.0, 0.0))
    assert both.source(500.0, 0.0) == ""
    alone = Surface(None, both.survey, 0.2)
    assert np.isnan(alone.height(15.0, 0.0))
    assert alone.survey_dem_gap is None


def test_one_place_gives_a_float_and_arrays_keep_their_shape(both):
    assert isinstance(both.height(1.0, 2.0), float)
    x = np.zeros((2, 3, 4))
    assert both.height(x, x).shape == (2, 3, 4)
    assert both.gradient(x, x).shape == (2, 3, 4, 2)


def test_triangles_tile_the_plan_once(both):
    corners = both.triangles(-99, -99, 99, 99)
    plan = corners[:, 1:, :2] - corners[:, :1, :2]
    area = np.abs(np.linalg.det(plan)) / 2
    assert area.sum() == pytest.approx(48 * 40)
    # each triangle lies on the surface that height() answers with
    flat = area > 1e-6
    middle = corners[flat].mean(axis=1)
    np.testing.assert_allclose(both.height(*middle[:, :2].T), middle[:, 2], atol=1e-9)


def test_step_at_the_rim_is_closed_with_upright_triangles(both):
    corners = both.triangles(-99, -99, 99, 99)
    area = np.abs(np.linalg.det(corners[:, 1:, :2] - corners[:, :1, :2])) / 2
    walls = corners[area < 1e-9]
    sides = np.cross(walls[:, 1] - walls[:, 0], walls[:, 2] - walls[:, 0])
    ends = both.survey.rim
    assert len(walls) >= 2 * len(ends)
    # independent: integrate the step along the rim
    total = 0.0
    for a, b in ends:
        s = np.linspace(0, 1, 4001)[:, None]
        line = a + s * (b - a)
        step = np.abs(line[:, 2] - both.dem.height(line[:, 0], line[:, 1]))
        total += np.trapezoid(step, s[:, 0]) * np.hypot(*(b - a)[:2])
    assert np.linalg.norm(sides, axis=1).sum() / 2 == pytest.approx(total, rel=2e-3)


def test_gap_between_survey_and_dem(patch_of):
    def plane(x, y):
        return 0.1 * x - 0.2 * y

    surface = Surface(patch_of(plane), survey_of(lambda x, y: plane(x, y) + 0.3), 0.2)
    assert surface.survey_dem_gap == pytest.approx(0.3)
    away = make_tin([[500, 0, 0], [510, 0, 0], [500, 9, 0]], file="far.csv")
    assert Surface(patch_of(plane), away, 0.2).survey_dem_gap is None


def test_sliver_at_the_rim_is_filled_by_the_dem(patch_of):
    points = [[-9, -9, 0], [0, -8.995, 3], [9, -9, 0], [-9, 9, 0], [9, 9, 0]]
    surface = Surface(patch_of(lambda x, y: 0 * (x + y)), make_tin(points, file="s.csv"), 0.2)
    assert len(surface.survey.slivers) == 1
    corners = surface.triangles(-99, -99, 99, 99)
    area = np.abs(np.linalg.det(corners[:, 1:, :2] - corners[:, :1, :2])) / 2
    assert area.sum() == pytest.approx(48 * 40)
    assert surface.source(0.0, -8.998) == "dem"


def test_slope_and_aspect_of_a_plane(patch_of):
    # falls to the east-north-east by 0.5
    bearing = 1.2
    surface = Surface(
        patch_of(lambda x, y: -0.5 * (x * np.sin(bearing) + y * np.cos(bearing))), None, 0.1
    )
    assert surface.slope(1.3, 2.1) == pytest.approx(np.arctan(0.5))
    assert surface.aspect(1.3, 2.1) == pytest.approx(bearing)
    flat = Surface(patch_of(lambda x, y: 0 * (x + y)), None, 0.1)
    assert flat.slope(1.0, 1.0) == 0
    assert np.isnan(flat.aspect(1.0, 1.0))


def test_profile_agrees_with_dense_heights(both):
    for bearing in (0.0, 0.3, np.pi / 2, 2.0, 3.9):
        profile = both.profile(1.0, -2.0, bearing, -12.0, 14.0)
        assert (np.diff(profile.distance) >= 0).all()
        s = np.linspace(-12, 14, 5001)
        x, y = 1 + s * np.sin(bearing), -2 + s * np.cos(bearing)
        steps = profile.distance[1:][np.diff(profile.distance) == 0]
        away = np.abs(s[:, None] - steps).min(axis=1, initial=9) > 1e-6
        np.testing.assert_allclose(profile.height_at(s)[away], both.height(x, y)[away], atol=1e-9)
        assert len(steps) == 2


def test_profile_has_a_point_on_every_edge(patch_of):
    surface = Surface(patch_of(rough), None, 0.1)
    bearing = 0.4
    profile = surface.profile(0.3, 0.2, bearing, -15.0, 15.0)
    line = shapely.LineString(profile.points[[0, -1], :2])
    edges = shapely.boundary(shapely.polygons(surface.triangles(-30, -30, 30, 30)[:, :, :2]))
    hits = shapely.get_coordinates(shapely.intersection(line, edges))
    distance = (hits - [0.3, 0.2]) @ [np.sin(bearing), np.cos(bearing)]
    distance = np.unique(np.round(np.append(distance, [-15.0, 15.0]), 7))
    np.testing.assert_allclose(profile.distance, distance, atol=1e-6)


@pytest.mark.parametrize("bearing", [0.0, np.pi / 2, np.pi, 3 * np.pi / 4])
def test_profile_along_rows_columns_and_diagonals(patch_of, bearing):
    # the line lies on edges of the triangles all the way
    surface = Surface(patch_of(rough), None, 0.1)
    profile = surface.profile(0.0, 0.0, bearing, -20.0, 20.0)
    assert profile.complete
    x, y = profile.points[:, 0], profile.points[:, 1]
    np.testing.assert_allclose(profile.height, surface.height(x, y), atol=1e-9)


def test_profile_keeps_gaps(patch_of):
    patch = patch_of(lambda x, y: 0.1 * x + 0 * y)
    patch.z[:, 14] = np.nan  # x = 4; unknown from 2 to 6
    profile = Surface(patch, None, 0.1).profile(0.0, 0.5, np.pi / 2, -30.0, 30.0)
    assert not profile.complete
    z = profile.height_at([-24.1, -24.0, 1.9, 2.0, 2.1, 4.0, 5.9, 6.0, 24.0, 24.1])
    unknown = np.nan
    expected = [unknown, -2.4, 0.19, 0.2, unknown, unknown, unknown, 0.6, 2.4, unknown]
    np.testing.assert_allclose(z, expected, atol=1e-9)
    assert np.isnan(profile.length_between(0.0, 10.0))
    assert np.isnan(profile.height_at(31.0))
    assert profile.length_between(-20.0, 1.0) == pytest.approx(21 * np.hypot(1, 0.1))


def test_profile_without_any_ground_is_unknown(both):
    profile = both.profile(1000.0, 0.0, 0.0, -5.0, 5.0)
    np.testing.assert_array_equal(profile.distance, [-5.0, 5.0])
    assert np.isnan(profile.height).all()


def test_profile_must_go_forward(both):
    with pytest.raises(ValueError, match="must end beyond its start"):
        both.profile(0.0, 0.0, 0.0, 5.0, 5.0)


def test_profile_of_a_plane(patch_of):
    surface = Surface(patch_of(lambda x, y: 0.3 * x + 0.4 * y), None, 0.1)
    profile = surface.profile(0.0, 0.0, np.arctan2(0.3, 0.4), -10.0, 10.0)
    assert profile.slope_at(3.3) == pytest.approx(np.arctan(0.5))
    assert profile.slope_at(10.0) == pytest.approx(np.arctan(0.5))
    assert profile.length_between(7.0, -5.0) == pytest.approx(12 * np.hypot(1, 0.5))
    np.testing.assert_allclose(profile.points[:, 2], 0.5 * profile.distance, atol=1e-9)


@settings(max_examples=30, deadline=None)
@given(
    bearing=st.floats(0, 2 * np.pi),
    seed=st.integers(0, 10**6),
    x0=st.floats(-5, 5),
    y0=st.floats(-5, 5),
)
def test_profile_walked_the_other_way_is_mirrored(bearing, seed, x0, y0):
    surface = Surface(None, survey_of(rough, seed=seed), 0.1)
    there = surface.profile(x0, y0, bearing, -15.0, 12.0)
    back = surface.profile(x0, y0, bearing + np.pi, -12.0, 15.0)
    s = np.linspace(-14.99, 11.99, 301)
    one, other = there.height_at(s), back.height_at(-s)
    # rounding may decide otherwise right at the rim
    assert (np.isnan(one) != np.isnan(other)).sum() <= 1
    known = np.isfinite(one) & np.isfinite(other)
    np.testing.assert_allclose(one[known], other[known], atol=1e-6)
