"""The ground of pictures: what lies on it, where its shading lands, and where it is exact."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from visual.checks.lane import laydown_strip
from visual.ground import DemPatch, GroundImage, Surface
from visual.scene.camera import View, project
from visual.scene.cut import drape_area
from visual.scene.drawn_ground import drawn_ground
from visual.scene.ground import block_sides
from visual.scene.layers import Caption, Scene
from visual.scene.render import draw
from visual.scene.shade import hill_shade, shade_of
from visual.scene.site_ground import drawn_bounds
from visual.scene.terrain import Terrain, circle
from visual.scene.thin_terrain import (
    ThinTerrain,
    resampled,
    sampled_ground,
    thin_ground_layer,
)

ALLOWED = 0.15


def rolling(x, y):
    return 4 * np.sin(x / 17) * np.cos(y / 11) + 0.05 * x


def with_gaps(x, y):
    return np.where((x + y) % 31 < 2, np.nan, rolling(x, y))


def thin(height=rolling, *, cells=96, allowed=ALLOWED, half=48.0):
    bounds = (-half, -0.75 * half, half, 0.75 * half)
    whole = Terrain.sample(height, bounds=bounds, cells=cells)
    grid = np.full(whole.heights.shape, allowed)
    return ThinTerrain.thinned(whole, allowed=grid, most=10**6)


def on_triangles(terrain, points):
    """Return heights at plan points by looking through all triangles."""
    out = np.full(len(points), np.nan)
    for a, b, c in terrain.vertices[terrain.triangles]:
        to = np.linalg.inv(np.column_stack([b - a, c - a])[:2])
        u, v = to @ (points - a[:2]).T
        hit = (u > -1e-9) & (v > -1e-9) & (u + v < 1 + 1e-9)
        out[hit] = a[2] + u[hit] * (b - a)[2] + v[hit] * (c - a)[2]
    return out


@pytest.mark.parametrize(
    "height",
    [rolling, with_gaps],
    ids=["all known", "with gaps"],
)
def test_height_is_that_of_the_drawn_triangles_everywhere(height):
    terrain = thin(height, allowed=0.4)
    points = np.random.default_rng(1).uniform([-47.9, -35.9], [47.9, 35.9], (400, 2))
    np.testing.assert_allclose(
        terrain.height(points[:, 0], points[:, 1]), on_triangles(terrain, points), atol=1e-9
    )


@pytest.mark.parametrize("thinned", [True, False])
def test_sides_stand_under_every_edge_of_one_triangle_only(thinned):
    terrain = thin(with_gaps, allowed=0.4)
    if not thinned:
        terrain = Terrain(terrain.west, terrain.south, terrain.step, terrain.sampled)
    count = Counter(
        frozenset((int(tri[k]), int(tri[k - 1]))) for tri in terrain.triangles for k in range(3)
    )
    alone = {
        frozenset(map(tuple, terrain.vertices[list(edge)])) for edge in count if count[edge] == 1
    }
    sides = block_sides(terrain, depth=2.0).vertices.reshape(-1, 4, 3)
    assert {frozenset(map(tuple, side[2:])) for side in sides} == alone
    assert len(sides) == len(alone)


def test_an_area_lies_on_the_drawn_triangles_and_has_its_plan():
    terrain = thin()
    ring = circle(radius=20.0, centre=(3.0, -4.0), n=90)
    vertices, triangles = drape_area(terrain, [ring])
    a, b, c = (vertices[triangles[:, k], :2] for k in range(3))
    twice = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    assert twice.min() > -1e-9
    x, y = ring[:-1].T
    area = 0.5 * float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    assert twice.sum() / 2 == pytest.approx(area, rel=1e-9)
    z = terrain.height(vertices[:, 0], vertices[:, 1])
    np.testing.assert_allclose(vertices[:, 2], z, atol=1e-9)
    middle = vertices[triangles].mean(axis=1)
    z = terrain.height(middle[:, 0], middle[:, 1])
    np.testing.assert_allclose(middle[:, 2], z, atol=1e-9)


def test_lines_are_laid_on_the_drawn_ground():
    terrain = thin()
    (path,) = terrain.drape(np.array([[-40.0, -30.0], [35.0, 28.0]]))
    np.testing.assert_allclose(path[:, 2], terrain.height(path[:, 0], path[:, 1]), atol=1e-12)
    apart = np.linalg.norm(np.diff(path[:, :2], axis=0), axis=1)
    assert apart.max() <= terrain.step / 2 + 1e-9


def test_contours_keep_their_level_on_a_steep_bank():
    terrain = thin(lambda x, y: 6.0 * (x > 3 * np.sin(y / 9)) + 0.01 * x, cells=480, allowed=0.05)
    lines = terrain.contours(1.0, offset=0.0)
    bank = [line for line in lines if 1 <= line.level <= 5]
    assert len(bank) == 5
    for line in bank:
        x, y = line.path[:, :2].T
        assert np.abs(terrain.height(x, y) - line.level).max() < 0.06
        assert np.ptp(y) == pytest.approx(72.0)


def test_specks_of_contours_are_left_out_of_fine_ground_only():
    bump = 1.0 + 1e-3

    def bumpy(x, y):
        return np.where(np.hypot(x - 8.0, y - 8.0) < 0.15, bump, 0.0) + 3.0 * (x > 30)

    fine, coarse = (thin(bumpy, cells=cells, allowed=0.05) for cells in (960, 384))
    assert len(fine.contours(1.0, offset=0.5)) == 3
    assert len(coarse.contours(1.0, offset=0.5)) == 4


def marked(terrain, row, column):
    """Return the ground layer with one grid point in red."""
    layer = thin_ground_layer(terrain)
    picture = np.full_like(layer.texture, 255)
    picture[len(picture) - 1 - row, column] = (255, 0, 0)
    return replace(layer, texture=picture)


@pytest.mark.picture
@pytest.mark.parametrize(("row", "column"), [(10, 14), (60, 80), (36, 48)])
def test_the_shading_of_a_grid_point_lands_on_it(row, column):
    terrain = thin()
    view = View(
        name="v",
        title="v",
        projection="orthographic",
        eye=np.array([0.0, 0.0, 200.0]),
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        span=(96.0, 72.0),
    )
    scene = Scene((marked(terrain, row, column),), Caption(site="Test hill"))
    image = draw(scene, view, width=480, height=360, page=(480, 360)).image.astype(float)
    red = np.clip(image[:, :, 0] - image[:, :, 1], 0, None)
    at = np.array([terrain.west + terrain.step * column, terrain.south + terrain.step * row, 0.0])
    ((x, y),), _ = project(view, at, width=480, height=360)
    rows, columns = np.mgrid[:360, :480] + 0.5
    middle = [(red * columns).sum() / red.sum(), (red * rows).sum() / red.sum()]
    np.testing.assert_allclose(middle, [x, y], atol=0.15)


def test_shade_in_strips_is_the_shade_of_the_whole():
    y, x = np.mgrid[:600, :20]
    z = rolling(x, y)
    np.testing.assert_allclose(shade_of(z, step=0.7), hill_shade(z, step=0.7), atol=1e-6)


def test_the_rim_of_a_gap_is_shaded_like_the_ground_beside_it():
    y, x = np.mgrid[:40, :40]
    z = np.where((x - 20) ** 2 + (y - 20) ** 2 < 30, np.nan, 0.4 * x)
    shade = shade_of(z, step=1.0)
    known = np.isfinite(z)
    assert np.ptp(shade[known]) < 1e-5


def test_resampling_keeps_a_slope_and_reads_the_middles_of_pixels():
    y, x = np.mgrid[:9, :13].astype(np.float32)
    found = resampled(2 * x + 5 * y, (18, 5))
    rows, columns = (np.arange(18) + 0.5) / 18 * 8, (np.arange(5) + 0.5) / 5 * 12
    np.testing.assert_allclose(found, 2 * columns + 5 * rows[:, None], rtol=1e-5)


def test_an_image_covers_the_ground_from_rim_to_rim():
    terrain = thin()
    colors = np.zeros((30, 40, 3), np.uint8)
    colors[:15] = (250, 40, 40)  # the northern half
    known = np.ones((30, 40), dtype=bool)
    known[:, :5] = False
    bounds = (terrain.west, terrain.south, terrain.east, terrain.north)
    layer = thin_ground_layer(terrain, image=GroundImage(colors, known, bounds))
    u, v = layer.uv.T
    np.testing.assert_allclose(
        terrain.west + u * (terrain.east - terrain.west), layer.vertices[:, 0], atol=1e-9
    )
    np.testing.assert_allclose(
        terrain.south + v * (terrain.north - terrain.south), layer.vertices[:, 1], atol=1e-9
    )
    north, south = layer.texture[3, 20].astype(int), layer.texture[27, 20].astype(int)
    assert north[0] > north[1] + 60
    assert np.ptp(south) < 10
    plain = thin_ground_layer(terrain).texture
    assert np.abs(layer.texture[:, :5].astype(int).mean() - plain.mean()) < 12


@pytest.mark.parametrize("name", ["paddock", "terrace"])
def test_the_ground_of_a_site_is_exact_where_it_is_worked_on_and_near_everywhere(judged, name):
    report = judged(name)
    terrain = drawn_ground(report, drawn_bounds(report.model))
    assert terrain.loosened == 1.0
    off = np.abs(terrain.heights - terrain.sampled)
    assert np.nanmax(off) > 0
    assert np.nanmax(off) < 1.2e-4 * 3 * report.model.rig.mast.total_height
    rows, columns = np.nonzero(np.isfinite(terrain.sampled))
    x, y = terrain.west + terrain.step * columns, terrain.south + terrain.step * rows
    worked = np.array(laydown_strip(report.model).exterior.coords)
    places = [anchor.eye[:2] for anchor in report.model.anchors.values()]
    around = report.model.surroundings
    places += [np.array(b.footprint.exterior.coords)[0] for b in around.buildings]
    beside = np.min([np.hypot(x - a, y - b) for a, b in places], axis=0) < 2.0
    beside |= inside(worked, x, y)
    assert off[rows[beside], columns[beside]].max() < 1e-9


def inside(ring, x, y):
    found = np.zeros(x.shape, dtype=bool)
    for (ax, ay), (bx, by) in pairwise(ring):
        if ay != by:
            crosses = (y < max(ay, by)) & (y >= min(ay, by))
            found ^= crosses & (x < ax + (y - ay) * (bx - ax) / (by - ay))
    return found


def test_pictures_are_on_the_thin_ground_and_the_page_on_the_grid(maker):
    made = maker("yard")
    thin_layer = next(x for x in made.at(None).layers if x.role == "ground")
    grid_layer = next(x for x in made.fixed if x.role == "ground")
    assert len(thin_layer.triangles) < 0.2 * len(grid_layer.triangles)
    assert len(grid_layer.vertices) == made.terrain.heights.size


def test_ground_is_sampled_as_finely_as_its_data_within_reason(monkeypatch):
    monkeypatch.setattr("visual.scene.thin_terrain._MOST_CELLS", 600)
    x, y = np.meshgrid(0.5 * np.arange(500), 0.5 * np.arange(80))
    surface = Surface(DemPatch(x=x, y=y, z=0 * x, file="made up"), None, 0.1)
    assert sampled_ground(surface, surface.bounds).step == pytest.approx(0.5)
    assert sampled_ground(surface, (0.0, 0.0, 4000.0, 40.0)).step == pytest.approx(4000 / 600)
    assert sampled_ground(surface, (0.0, 0.0, 20.0, 20.0)).step == pytest.approx(20 / 400)


def test_blocks_of_rows_change_no_height(monkeypatch):
    bounds = (-48.0, -36.0, 48.0, 36.0)
    whole = Terrain.sample(rolling, bounds=bounds, cells=96)
    monkeypatch.setattr("visual.scene.terrain._AT_ONCE", 500)
    np.testing.assert_array_equal(
        Terrain.sample(rolling, bounds=bounds, cells=96).heights, whole.heights
    )
