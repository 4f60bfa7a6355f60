"""Horn's slope and the hill shade from it."""

import numpy as np
import pytest
from scipy.ndimage import sobel

from visual.ground import hillshade, horn_gradient


def test_agrees_with_scipy_sobel():
    z = np.random.default_rng(1).normal(size=(30, 40))
    east, north = horn_gradient(z, step=2.5)
    np.testing.assert_allclose(east[1:-1, 1:-1], sobel(z, axis=1)[1:-1, 1:-1] / 20, atol=1e-12)
    np.testing.assert_allclose(north[1:-1, 1:-1], -sobel(z, axis=0)[1:-1, 1:-1] / 20, atol=1e-12)


def test_plane_facing_the_light_is_brightest():
    x, y = np.meshgrid(np.arange(5.0), -np.arange(5.0))
    tilt, bearing = 0.5, 5.5
    z = -np.tan(tilt) * (x * np.sin(bearing) + y * np.cos(bearing))
    facing = hillshade(z, step=1.0, bearing=bearing, altitude=np.pi / 2 - tilt)
    assert facing[2, 2] == pytest.approx(1.0)
    assert hillshade(0 * z, step=1.0, bearing=1.0, altitude=0.6)[2, 2] == pytest.approx(np.sin(0.6))
    away = hillshade(z, step=1.0, bearing=bearing + np.pi, altitude=0.3)
    assert away[2, 2] == 0.0


def test_unknown_neighbours_make_unknown_slope():
    z = np.zeros((7, 7))
    z[3, 3] = np.nan
    east, north = horn_gradient(z, step=1.0)
    assert np.isnan(east[2:5, 2:5]).all()
    assert np.isnan(north[2:5, 2:5]).all()
    assert np.isnan(east).sum() == np.isnan(north).sum() == 24 + 9
