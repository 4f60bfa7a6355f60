"""One surface from DEM nodes: heights, triangles, whatever way the raster runs."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator, RegularGridInterpolator
from scipy.spatial import Delaunay

from visual.ground import DemPatch, Surface

LAYOUTS = {
    "north up": {"right": (2.0, 0.0), "down": (0.0, -2.0)},
    "south up": {"right": (2.0, 0.0), "down": (0.0, 2.0)},
    "turned": {"right": (1.6, 1.2), "down": (1.2, -1.6)},
    "long cells": {"right": (0.5, 0.0), "down": (0.0, -3.0)},
    "sheared": {"right": (2.0, 0.3), "down": (-0.9, -1.5)},
    "mirrored": {"right": (-2.0, 0.0), "down": (0.0, -2.0)},
}


def rough(x, y):
    return 0.1 * x - 0.05 * y + np.sin(0.7 * x) * np.cos(0.9 * y)


def within(patch, n=400, seed=1):
    """Return points inside the patch, by bilinear shares."""
    rng = np.random.default_rng(seed)
    i = rng.integers(0, patch.shape[0] - 1, n)
    j = rng.integers(0, patch.shape[1] - 1, n)
    v, u = rng.uniform(0, 1, (2, n))
    return tuple(
        (1 - v) * ((1 - u) * a[i, j] + u * a[i, j + 1])
        + v * ((1 - u) * a[i + 1, j] + u * a[i + 1, j + 1])
        for a in (patch.x, patch.y)
    )


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
def test_nodes_keep_their_heights(patch_of, layout):
    patch = patch_of(rough, **layout)
    heights = patch.height(patch.x.ravel(), patch.y.ravel())
    np.testing.assert_allclose(heights, patch.z.ravel(), atol=1e-9)


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
def test_plane_is_exact(patch_of, layout):
    patch = patch_of(lambda x, y: 3 + 0.2 * x - 0.4 * y, **layout)
    x, y = within(patch)
    np.testing.assert_allclose(patch.height(x, y), 3 + 0.2 * x - 0.4 * y, atol=1e-12)
    np.testing.assert_allclose(patch.gradient(x, y), np.tile([0.2, -0.4], (400, 1)), atol=1e-12)


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
def test_heights_agree_with_scipy_on_the_same_triangles(patch_of, layout):
    patch = patch_of(rough, **layout)
    corners = patch.triangles(-1e3, -1e3, 1e3, 1e3)
    assert len(corners) == 2 * (patch.shape[0] - 1) * (patch.shape[1] - 1)
    x, y = within(patch)
    found = patch.height(x, y)
    facets, share = patch.facets(x, y)
    known = {tuple(np.sort(t.ravel())) for t in corners}
    for k in range(0, len(x), 7):
        assert tuple(np.sort(facets[k].ravel())) in known
        # scipy on this one triangle
        one = LinearNDInterpolator(Delaunay(facets[k, :, :2]), facets[k, :, 2])
        inside = share[k].min() > 1e-6
        if inside:
            assert found[k] == pytest.approx(float(one(x[k], y[k])), abs=1e-9)


def test_close_to_bilinear_interpolation(patch_of):
    # On both diagonals of a cell the two differ by a quarter of its twist at most.
    patch = patch_of(rough)
    bilinear = RegularGridInterpolator((patch.y[::-1, 0], patch.x[0]), patch.z[::-1])
    x, y = within(patch)
    z = patch.z
    twist = np.abs(z[1:, 1:] - z[1:, :-1] - z[:-1, 1:] + z[:-1, :-1]).max()
    difference = np.abs(patch.height(x, y) - bilinear((y, x)))
    assert 0 < difference.max() <= twist / 4 + 1e-12


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
def test_outside_is_unknown(patch_of, layout):
    patch = patch_of(rough, **layout)
    x, y = within(patch)
    far = 3 * np.array([x, y]) / np.hypot(x, y) * np.hypot(patch.x, patch.y).max()
    assert np.isnan(patch.height(*far)).all()


def test_bent_grid_is_found(patch_of):
    # As after reprojection: rows and columns are neither straight nor evenly spaced.
    flat = patch_of(rough, rows=60, columns=80)
    x = flat.x + 2e-3 * flat.x * flat.y
    y = flat.y - 1e-3 * flat.x**2
    patch = DemPatch(x=x, y=y, z=2 * x - y, file="bent")
    px, py = within(patch)
    np.testing.assert_allclose(patch.height(px, py), 2 * px - py, atol=1e-10)


def test_diagonal_joins_the_nearer_heights():
    ridge = np.array([[5.0, 0.0], [0.0, 5.0]])
    x, y = np.meshgrid([0.0, 1.0], [1.0, 0.0])
    centre = np.array([0.5]), np.array([0.5])
    assert (
        DemPatch(x=x, y=y, z=ridge + np.array([[0.0, 0.0], [0.1, 0.0]]), file="").height(*centre)
        == 5.0
    )
    # both diagonals level: the higher one
    assert DemPatch(x=x, y=y, z=ridge, file="").height(*centre) == 5.0
    assert DemPatch(x=x, y=y, z=5 - ridge, file="").height(*centre) == 5.0


def test_hole_takes_only_the_triangles_that_need_it(patch_of):
    patch = patch_of(lambda x, y: 0.1 * x + 0 * y, rows=5, columns=5)
    patch.z[2, 2] = np.nan
    # the four cells around the hole lose one triangle each
    assert len(patch.triangles(-99, -99, 99, 99)) == 2 * 16 - 4
    assert np.isnan(patch.height(np.array([0.0, 0.5]), np.array([0.0, 0.5]))).all()
    assert patch.height(np.array([1.5]), np.array([1.5])) == pytest.approx(0.15)
    # on the edge of the hole the height is known
    assert patch.height(np.array([2.0]), np.array([0.0])) == pytest.approx(0.2)


def test_triangles_of_a_box_cover_it(patch_of):
    surface = Surface(patch_of(rough), None, 0.1)
    corners = surface.triangles(-3.0, -2.0, 5.0, 4.5)
    assert len(corners) < 80
    x, y = np.meshgrid(np.linspace(-3, 5, 9), np.linspace(-2, 4.5, 9))
    z = surface.height(x, y)
    for px, py, pz in zip(x.ravel(), y.ravel(), z.ravel(), strict=True):
        share = _shares(corners, px, py)
        held = share.min(axis=1) > -1e-9
        assert held.any()
        np.testing.assert_allclose((share * corners[:, :, 2]).sum(axis=1)[held], pz, atol=1e-9)


def _shares(corners, px, py):
    """Barycentric weights by solving 3 × 3 equations: independent of the program's formula."""
    matrix = np.stack([corners[:, :, 0], corners[:, :, 1], np.ones(corners.shape[:2])], axis=1)
    return np.linalg.solve(matrix, np.array([px, py, 1.0])[None, :, None])[..., 0]


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    whole=st.booleans(),
    turn=st.sampled_from(["mirror", "quarter", "half"]),
)
def test_mirrored_and_turned_ground_is_the_same_ground(seed, whole, turn):
    rng = np.random.default_rng(seed)
    z = rng.integers(0, 4, (6, 7)).astype(float) if whole else rng.normal(size=(6, 7))
    x, y = np.meshgrid(np.arange(7.0), -np.arange(6.0))
    px, py = rng.uniform(0, 6, 50), -rng.uniform(0, 5, 50)
    plain = DemPatch(x=x, y=y, z=z, file="").height(px, py)
    if turn == "mirror":
        other = DemPatch(x=-x[:, ::-1], y=y, z=z[:, ::-1], file="").height(-px, py)
    elif turn == "half":
        other = DemPatch(x=-x[::-1, ::-1], y=-y[::-1, ::-1], z=z[::-1, ::-1], file="").height(
            -px, -py
        )
    else:
        other = DemPatch(x=np.rot90(-y), y=np.rot90(x), z=np.rot90(z), file="").height(-py, px)
    np.testing.assert_allclose(other, plain, atol=1e-9)
