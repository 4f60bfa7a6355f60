"""Ground on open data: the elevation model that matplotlib carries.

Data: ``jacksboro_fault_dem.npz`` of matplotlib (3 arc seconds, whole metres; the names ymin and
ymax are swapped in the file, row 0 is the north; neither origin nor datum is stated, WGS 84 is
assumed). Size, extremes, corners and sha256: READ from the file. Slope, aspect and hill shade:
COMPUTED by gdaldem of GDAL 3.6.2, see ``data/terrain_gdaldem.json``.
"""

import hashlib
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from matplotlib.cbook import get_sample_data
from rasterio.transform import Affine

from visual.frame import make_frame
from visual.ground import Surface, hillshade, horn_gradient, read_dem

pytestmark = pytest.mark.reference

EXPECTED = json.loads((Path(__file__).parent / "data" / "terrain_gdaldem.json").read_text("utf-8"))
SHA256 = "0c7e9f894eb7c8d444ca4475e64249e060d96c90ab63fdf439a0381c590ed502"
WEST, NORTH, CELL = -84.41375, 36.73291666666667, 1 / 1200


@pytest.fixture(scope="module")
def elevation() -> Any:
    with np.load(get_sample_data("jacksboro_fault_dem.npz", asfileobj=False)) as data:
        return data["elevation"]


@pytest.fixture(scope="module")
def dem_file(elevation: Any, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("dem") / "jacksboro.tif"
    settings = {
        "driver": "GTiff",
        "count": 1,
        "height": elevation.shape[0],
        "width": elevation.shape[1],
        "dtype": elevation.dtype,
        "crs": "EPSG:4326",
        "transform": Affine(CELL, 0.0, WEST, 0.0, -CELL, NORTH),
    }
    with rasterio.open(path, "w", **settings) as dataset:
        dataset.write(elevation, 1)
    return path


def test_data_are_the_data(elevation: Any) -> None:
    assert elevation.shape == (344, 403)
    assert hashlib.sha256(np.ascontiguousarray(elevation).tobytes()).hexdigest() == SHA256
    assert (elevation.min(), elevation.max()) == (236, 1076)
    corners = elevation[[0, 0, -1, -1], [0, -1, 0, -1]]
    assert corners.tolist() == [483, 444, 545, 272]


@pytest.mark.parametrize(
    ("row", "column", "height"),
    [(0, 0, 483), (0, 402, 444), (343, 0, 545), (343, 402, 272), (297, 219, 1076), (288, 347, 236)],
)
def test_corners_and_extremes(dem_file: Path, row: int, column: int, height: int) -> None:
    lon, lat = WEST + (column + 0.5) * CELL, NORTH - (row + 0.5) * CELL
    frame = make_frame(crs="EPSG:4326", easting=lon, northing=lat, height=0.0, date=None)
    patch = read_dem(dem_file, frame=frame, radius=0.0)
    assert patch.height(np.zeros(1), np.zeros(1)) == pytest.approx(height, abs=1e-6)


@pytest.fixture(scope="module")
def surface(dem_file: Path) -> Surface:
    lon, lat = WEST + 219.5 * CELL, NORTH - 297.5 * CELL  # the highest point
    # UTM zone of the place: the DEM is geographic, the site is not
    x, y = make_frame(crs="EPSG:4326", easting=lon, northing=lat, height=0.0, date=None).to_crs(
        "EPSG:32616", 0.0, 0.0
    )
    frame = make_frame(crs="EPSG:32616", easting=x, northing=y, height=1076.0, date=None)
    return Surface(read_dem(dem_file, frame=frame, radius=1500.0), None, 5.0)


def test_every_node_around_the_top(surface: Surface, elevation: Any) -> None:
    assert surface.dem is not None
    patch = surface.dem
    top = np.unravel_index(np.nanargmax(patch.z), patch.shape)
    assert math.hypot(patch.x[top], patch.y[top]) < 0.01
    near = elevation[297 - 16 : 297 + 17, 219 - 19 : 219 + 20] - 1076.0
    found = patch.z[top[0] - 16 : top[0] + 17, top[1] - 19 : top[1] + 20]
    np.testing.assert_allclose(found, near, atol=1e-9)


def test_cells_have_true_lengths(surface: Surface) -> None:
    # meridian arc and parallel on WGS 84 (Snyder, USGS Professional Paper 1395, 1987, p. 25),
    # at the height of the site
    assert surface.dem is not None
    a, e2 = 6378137.0, 0.00669437999014
    lat = math.radians(NORTH - 297.5 * CELL)
    root = math.sqrt(1 - e2 * math.sin(lat) ** 2)
    raised = 1 + 1076 / 6371000
    east = math.radians(CELL) * a * math.cos(lat) / root * raised
    north = math.radians(CELL) * a * (1 - e2) / root**3 * raised
    top = np.unravel_index(np.nanargmax(surface.dem.z), surface.dem.shape)
    i, j = int(top[0]), int(top[1])
    x, y = surface.dem.x, surface.dem.y
    across = math.hypot(x[i, j + 1] - x[i, j - 1], y[i, j + 1] - y[i, j - 1]) / 2
    down = math.hypot(x[i + 1, j] - x[i - 1, j], y[i + 1, j] - y[i - 1, j]) / 2
    assert across == pytest.approx(east, abs=1e-3)
    assert down == pytest.approx(north, abs=1e-3)


def test_profile_over_the_top(surface: Surface) -> None:
    profile = surface.profile(0.0, 0.0, 0.7, -1200.0, 1200.0)
    s = np.linspace(-1200, 1200, 4801)
    expected = surface.height(s * math.sin(0.7), s * math.cos(0.7))
    np.testing.assert_allclose(profile.height_at(s), expected, atol=1e-8)
    # no more than five edges per cell crossed
    assert len(profile.distance) < 5 * 2400 / 74


def test_contours_run_at_round_true_heights(surface: Surface) -> None:
    lines = surface.contours((-800.0, -800.0, 800.0, 800.0), 20.0, offset=1076.0)
    levels = {round(line.level + 1076.0, 6) for line in lines}
    assert len(levels) > 10
    assert all(level % 20 == 0 for level in levels)
    for line in lines:
        ground = surface.height(line.path[:, 0], line.path[:, 1])
        assert np.nanmax(np.abs(ground - line.level)) < 1.0


def test_slope_and_aspect_against_gdaldem(elevation: Any) -> None:
    heights = elevation.astype(float)
    east, north = horn_gradient(heights, step=EXPECTED["cell_m"])
    slope = np.degrees(np.arctan(np.hypot(east, north)))
    assert np.isnan(slope[[0, -1]]).all()
    inner = slope[1:-1, 1:-1]
    assert inner.mean() == pytest.approx(EXPECTED["slope_mean_deg_interior"], abs=2e-5)
    assert inner.max() == pytest.approx(EXPECTED["slope_max_deg"], abs=2e-5)
    for row, column, z, angle, aspect, _ in EXPECTED["samples_row_col_z_slope_aspect_hillshade"]:
        assert heights[row, column] == z
        assert slope[row, column] == pytest.approx(angle, abs=2e-5)  # single precision
        falls = math.degrees(math.atan2(-east[row, column], -north[row, column])) % 360
        assert falls == pytest.approx(aspect, abs=2e-4)


def test_hill_shade_against_gdaldem(elevation: Any) -> None:
    shade = hillshade(
        elevation.astype(float),
        step=EXPECTED["cell_m"],
        bearing=math.radians(315),
        altitude=math.radians(45),
    )
    for row, column, *_, value in EXPECTED["samples_row_col_z_slope_aspect_hillshade"]:
        # gdaldem: 1 + 254 cos(incidence), rounded
        assert 1 + 254 * shade[row, column] == pytest.approx(value, abs=0.51)
