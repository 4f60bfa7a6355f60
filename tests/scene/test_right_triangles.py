"""Few triangles for a grid of heights: how far off, whether closed, what is left of holes."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.scene.right_triangles import LARGEST, right_triangles


def grid(rows, columns, seed, *, holes=0.0, cliff=0.0, rough=1.0):
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[:rows, :columns]
    z = 3 * np.sin(x / 11 + seed) * np.cos(y / 7) + rough * 0.3 * rng.standard_normal(x.shape)
    z += cliff * (x > columns / 2 + y / 5)
    z[rng.random(z.shape) < holes] = np.nan
    return z


def halves(z):
    """Return the halves of all cells, cut along alternating diagonals, as flat places."""
    rows, columns = z.shape
    found = []
    for i in range(rows - 1):
        for j in range(columns - 1):
            a, b = i * columns + j, i * columns + j + 1
            c, d = a + columns, b + columns
            found += [(a, b, d), (a, d, c)] if (i + j) % 2 == 0 else [(a, b, c), (b, d, c)]
    corners = np.array(found)
    return corners[np.isfinite(z.ravel()[corners]).all(axis=1)]


def plan(nodes, columns):
    return np.stack([nodes % columns, nodes // columns], axis=-1)


def areas(corners):
    """Return twice the signed area of triangles in plan, shape (m, 3, 2)."""
    a, b, c = corners.transpose(1, 0, 2)
    return (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]


def on_triangles(found, columns, points):
    """Return heights at points by looking through all triangles; NaN beside them."""
    corners = plan(found.nodes, columns)[found.triangles].astype(float)
    z = found.heights.ravel()[found.nodes][found.triangles]
    out = np.full(len(points), np.nan)
    for (a, b, c), height in zip(corners, z, strict=True):
        to = np.linalg.inv(np.column_stack([b - a, c - a]))
        u, v = to @ (points - a).T
        hit = (u > -1e-9) & (v > -1e-9) & (u + v < 1 + 1e-9)
        out[hit] = height[0] + u[hit] * (height[1] - height[0]) + v[hit] * (height[2] - height[0])
    return out


grids = st.builds(
    grid,
    st.integers(3, 30),
    st.integers(3, 30),
    st.integers(0, 1000),
    holes=st.sampled_from([0.0, 0.02, 0.3]),
    cliff=st.sampled_from([0.0, 25.0]),
    rough=st.sampled_from([0.0, 0.05, 1.0]),
)


@settings(max_examples=40, deadline=None)
@given(z=grids, allowed=st.sampled_from([0.0, 0.05, 0.4, 100.0]))
def test_nowhere_farther_off_than_allowed_and_every_known_half_is_covered(z, allowed):
    found = right_triangles(z, allowed=np.full(z.shape, allowed), most=10**6)
    assert found.loosened == 1.0
    covered = halves(z)
    used = np.unique(covered)
    off = np.abs(found.heights - z).ravel()
    assert off[used].max(initial=0.0) <= allowed + 1e-8
    corners = plan(found.nodes, z.shape[1])[found.triangles]
    assert (areas(corners) > 0).all(), "every triangle faces up"
    assert areas(corners).sum() == len(covered), "the known halves are covered once"
    np.testing.assert_array_equal(np.isnan(found.heights), np.isnan(z))


@settings(max_examples=15, deadline=None)
@given(z=grids)
def test_the_heights_are_those_of_the_triangles(z):
    found = right_triangles(z, allowed=np.full(z.shape, 0.3), most=10**6)
    known = np.unique(halves(z))
    points = plan(known, z.shape[1]).astype(float)
    np.testing.assert_allclose(
        on_triangles(found, z.shape[1], points), found.heights.ravel()[known], atol=1e-8
    )


@settings(max_examples=30, deadline=None)
@given(z=grids, allowed=st.sampled_from([0.05, 0.4]))
def test_no_cracks(z, allowed):
    """Every side belongs to two triangles, or lies on the rim of the known halves."""
    found = right_triangles(z, allowed=np.full(z.shape, allowed), most=10**6)
    sides = sides_of(found.nodes[found.triangles])
    both, count = np.unique(np.sort(sides, axis=1), axis=0, return_counts=True)
    assert (count <= 2).all()
    open_sides = {tuple(side) for side in both[count == 1]}
    fine, number = np.unique(np.sort(sides_of(halves(z)), axis=1), axis=0, return_counts=True)
    rim = {tuple(side) for side in fine[number == 1]}
    assert unit_sides(open_sides, z.shape[1]) == rim


def sides_of(corners):
    return np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]])


def unit_sides(sides, columns):
    """Return long sides as sides from one grid point to the next."""
    found = set()
    for a, b in sides:
        (xa, ya), (xb, yb) = (divmod(int(k), columns)[::-1] for k in (a, b))
        count = max(abs(xb - xa), abs(yb - ya))
        places = [
            (ya + (yb - ya) * k // count) * columns + xa + (xb - xa) * k // count
            for k in range(count + 1)
        ]
        found |= {tuple(sorted(pair)) for pair in pairwise(places)}
    return found


def test_a_plane_takes_two_triangles_for_each_largest_square():
    y, x = np.mgrid[: 2 * LARGEST + 1, : 3 * LARGEST + 1]
    z = 0.3 * x - 0.2 * y + 4.0
    found = right_triangles(z, allowed=np.zeros(z.shape), most=10**6)
    assert len(found.triangles) == 12
    np.testing.assert_allclose(found.heights, z, atol=1e-9)


def test_where_nothing_is_allowed_the_grid_is_kept_and_elsewhere_it_is_thinned():
    z = grid(129, 129, 5, rough=0.2)
    allowed = np.full(z.shape, 0.5)
    allowed[40:60, 40:60] = 0.0
    found = right_triangles(z, allowed=allowed, most=10**6)
    np.testing.assert_array_equal(found.heights[40:60, 40:60], z[40:60, 40:60])
    assert len(found.triangles) < 0.25 * len(halves(z))
    assert np.abs(found.heights - z).max() <= 0.5


def test_too_many_triangles_loosen_what_is_allowed_but_nothing_exact():
    z = grid(129, 129, 6, rough=1.0)
    allowed = np.full(z.shape, 0.01)
    allowed[:10, :10] = 0.0
    found = right_triangles(z, allowed=allowed, most=6000)
    assert found.loosened > 1
    assert 2000 < len(found.triangles) <= 6000 + 8
    assert np.abs(found.heights - z).max() <= 0.01 * found.loosened + 1e-6
    np.testing.assert_array_equal(found.heights[:10, :10], z[:10, :10])


@pytest.mark.parametrize("mirror", [np.fliplr, np.flipud, np.transpose])
def test_a_mirrored_ground_gives_the_mirrored_triangles(mirror):
    z = grid(LARGEST * 2 + 1, LARGEST * 2 + 1, 8, rough=0.3)
    one, other = (
        right_triangles(np.array(heights), allowed=np.full(z.shape, 0.4), most=10**6)
        for heights in (z, mirror(z))
    )
    assert len(one.triangles) == len(other.triangles)
    np.testing.assert_allclose(mirror(one.heights), other.heights, atol=1e-9)


def test_no_ground_no_triangles():
    found = right_triangles(np.full((9, 5), np.nan), allowed=np.zeros((9, 5)), most=100)
    assert len(found.triangles) == 0
