"""Rays from one place: the same as one profile each, whatever the ground."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from visual.ground import Surface, make_tin

BEARINGS = np.radians([0.0, 45.0, 90.0, 133.0, 180.0, 200.5, 270.0, 315.0, 359.9])


def holed(x, y):
    """Return rough ground with a hole of unknown ground in it."""
    z = 0.1 * x + np.sin(0.7 * x) * np.cos(0.9 * y)
    return np.where(np.hypot(x - 4, y - 6) < 3, np.nan, z)


def survey_of(seed):
    rng = np.random.default_rng(seed)
    plan = rng.uniform(-7, 7, (12, 2))
    return make_tin(np.column_stack([plan, 2 + rng.normal(0, 0.4, 12)]), file="survey.csv")


def assert_same(surface, x0, y0, reach):
    rays = surface.fan(x0, y0, BEARINGS, reach)
    for ray, bearing in zip(rays, BEARINGS, strict=True):
        alone = surface.profile(x0, y0, float(bearing), 0.0, reach)
        assert ray.bearing == bearing
        np.testing.assert_allclose(ray.distance, alone.distance, atol=1e-8)
        np.testing.assert_allclose(ray.height, alone.height, atol=1e-7)


@pytest.mark.parametrize("ground", ["dem", "survey", "both"])
@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(seed=st.integers(0, 99), x0=st.floats(-12, 12), y0=st.floats(-12, 12))
def test_a_fan_is_one_profile_per_ray(patch_of, ground, seed, x0, y0):
    dem = patch_of(holed, right=(1.6, 1.2), down=(1.2, -1.6))
    surface = Surface(
        dem=None if ground == "survey" else dem,
        survey=None if ground == "dem" else survey_of(seed),
        accuracy=0.1,
    )
    assert_same(surface, x0, y0, 30.0)


def test_a_fan_from_a_node_follows_the_edges(patch_of):
    surface = Surface(dem=patch_of(holed), survey=None, accuracy=0.1)
    assert_same(surface, 0.0, 0.0, 15.0)


def test_a_fan_beyond_the_ground_is_unknown(patch_of):
    surface = Surface(dem=patch_of(holed), survey=None, accuracy=0.1)
    for ray in surface.fan(500.0, 500.0, BEARINGS, 10.0):
        assert ray.distance.tolist() == [0.0, 10.0]
        assert np.isnan(ray.height).all()
