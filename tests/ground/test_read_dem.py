"""Reading DEM files: place, unit, gaps, and no more of the file than needed."""

import math
from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.enums import ColorInterp
from rasterio.transform import Affine

from visual.errors import InputError
from visual.frame import make_frame
from visual.ground import Surface, dem_lattice, read_dem
from visual.ground import dem as dem_module
from visual.ground import raster as raster_module

E0, N0 = 553210.0, 5912280.0
FT, US_FT = 0.3048, 1200 / 3937


def frame_at(easting=E0, northing=N0, *, crs="EPSG:32630", height=0.0):
    return make_frame(crs=crs, easting=easting, northing=northing, height=height, date=None)


def dem_height(path, *, crs, easting, northing, point_crs, height_unit=None):
    """Return the height of one place, from no more of the file than that place."""
    frame = frame_at(easting, northing, crs=point_crs)
    patch = read_dem(path, frame=frame, radius=0.0, crs=crs, height_unit=height_unit)
    return float(patch.height(np.zeros(1), np.zeros(1))[0])


def base_height(path, *, crs=None, height_unit=None):
    return dem_height(
        path, crs=crs, easting=E0, northing=N0, point_crs="EPSG:32630", height_unit=height_unit
    )


def from_origin(west, north, width, height):
    return Affine(width, 0.0, west, 0.0, -height, north)


def plane(rows=50, columns=50, dtype="float32"):
    """Heights 100 + 0.01 (E − 553000) + 0.02 (N − 5912000) at 10 m pixel middles."""
    e = 5.0 + 10 * np.arange(columns)
    n = 495.0 - 10 * np.arange(rows)
    return (100 + 0.01 * e + 0.02 * n[:, None]).astype(dtype)


def test_heights_stand_at_the_middle_of_pixels(write_dem):
    path = write_dem(plane())
    frame = frame_at(height=107.7)
    patch = read_dem(path, frame=frame, radius=100.0)
    assert patch.file == "ground.tif"
    assert patch.height(np.zeros(1), np.zeros(1)) == pytest.approx(0.0, abs=1e-5)
    easting, northing = frame.to_grid(patch.x, patch.y)
    expected = 100 + 0.01 * (easting - 553000) + 0.02 * (northing - 5912000)
    np.testing.assert_allclose(frame.height(patch.z), expected, atol=2e-5)


def test_agrees_with_rasterio_sample_at_every_node(write_dem):
    rng = np.random.default_rng(2)
    path = write_dem(rng.normal(100, 5, (50, 50)).astype("float32"))
    frame = frame_at()
    surface = Surface(read_dem(path, frame=frame, radius=120.0), None, 0.1)
    places = [(E0 + 10 * i - 5, N0 + 10 * j - 5) for i in range(-9, 10) for j in range(-9, 10)]
    with rasterio.open(path) as dataset:
        expected = [value[0] for value in dataset.sample(places)]
    x, y = frame.to_local(*np.array(places).T)
    np.testing.assert_allclose(surface.height(x, y), expected, atol=1e-5)


@pytest.mark.parametrize(
    "transform",
    [
        from_origin(553000.0, 5912500.0, 10.0, 10.0),
        Affine(10.0, 0.0, 553000.0, 0.0, 10.0, 5912000.0),  # first row in the south
        Affine(7.0, -7.0, 553210.0, 7.0, 7.0, 5912000.0),
        Affine(6.0, 3.0, 552950.0, 1.0, -8.0, 5912450.0),  # sheared
    ],
    ids=["north up", "south up", "turned", "sheared"],
)
def test_any_geotransform(write_dem, transform):
    column, row = np.meshgrid(np.arange(60) + 0.5, np.arange(60) + 0.5)
    t = transform
    e, n = t.a * column + t.b * row + t.c, t.d * column + t.e * row + t.f
    path = write_dem(0.01 * (e - 553000) + 0.02 * (n - 5912000), transform=transform)
    assert base_height(path) == pytest.approx(2.1 + 5.6)
    frame = frame_at()
    surface = Surface(read_dem(path, frame=frame, radius=30.0), None, 0.1)
    x, y = np.meshgrid(np.linspace(-25, 25, 7), np.linspace(-25, 25, 7))
    easting, northing = frame.to_grid(x, y)
    expected = 0.01 * (easting - 553000) + 0.02 * (northing - 5912000)
    np.testing.assert_allclose(surface.height(x, y), expected, atol=1e-9)


def test_geographic_dem(write_dem):
    frame = frame_at()
    lon, lat = frame.geographic(0.0, 0.0)
    cell = 1 / 10800  # a third of an arc second
    transform = from_origin(lon - 100.3 * cell, lat + 90.4 * cell, cell, cell)
    columns, rows = np.meshgrid(np.arange(200) + 0.5, np.arange(200) + 0.5)
    longitude = lon + (columns - 100.3) * cell
    latitude = lat - (rows - 90.4) * cell
    path = write_dem(
        1e4 * (longitude - lon) + 2e4 * (latitude - lat), crs="EPSG:4326", transform=transform
    )
    patch = read_dem(path, frame=frame, radius=150.0)
    # true lengths: 1/10800 degree of latitude is 10.3 m, of longitude cos(latitude) times that
    assert patch.cell == pytest.approx(10.3 * math.cos(math.radians(lat)), rel=0.01)
    x, y = np.random.default_rng(1).uniform(-140, 140, (2, 50))
    lon_p, lat_p = frame.geographic(x, y)
    expected = 1e4 * (lon_p - lon) + 2e4 * (lat_p - lat)
    # the surface is straight between nodes, meridians are not: 10 m² / 8 R at this gradient
    np.testing.assert_allclose(patch.height(x, y), expected, atol=1e-5)


def test_longitudes_counted_to_360(write_dem):
    frame = frame_at()
    lon, lat = frame.geographic(0.0, 0.0)
    assert lon < 0
    transform = from_origin(lon + 360 - 0.01, lat + 0.01, 0.001, 0.001)
    path = write_dem(np.full((20, 20), 77.0), crs="EPSG:4326", transform=transform)
    assert base_height(path) == pytest.approx(77.0)
    assert abs(read_dem(path, frame=frame, radius=200.0).x.mean()) < 100
    row, column = dem_lattice(path, frame=frame).index(np.array(0.0), np.array(0.0))
    assert (row, column) == pytest.approx((9.5, 9.5), abs=0.01)  # meridians converge


def test_other_projection_than_the_site(write_dem):
    # the site in UTM zone 30, the DEM in the zone beside it
    frame = frame_at()
    e, n = frame.to_crs("EPSG:32631", 0.0, 0.0)
    transform = from_origin(e - 201.0, n + 205.0, 5.0, 5.0)
    path = write_dem(
        np.arange(80 * 80, dtype="float64").reshape(80, 80), crs="EPSG:32631", transform=transform
    )
    surface = Surface(read_dem(path, frame=frame, radius=60.0), None, 0.1)
    x, y = np.random.default_rng(4).uniform(-50, 50, (2, 40))
    ee, nn = frame.to_crs("EPSG:32631", x, y)
    expected = 80 * ((n + 205 - nn) / 5 - 0.5) + (ee - e + 201) / 5 - 0.5
    np.testing.assert_allclose(surface.height(x, y), expected, atol=1e-4)


@pytest.mark.parametrize(
    ("crs", "unit", "argument", "factor"),
    [
        ("EPSG:32630", "", None, 1.0),
        ("EPSG:32630", "", "ft", FT),
        ("EPSG:32630", "metre", "ft", 1.0),
        ("EPSG:32630", "ft", None, FT),
        ("EPSG:32630", "US survey foot", None, US_FT),
        ("EPSG:32630", "fathom", "m", 1.0),
        ("EPSG:32630+5703", "", "ft", 1.0),  # NAVD88 height, metres
        ("EPSG:32630+6360", "", None, US_FT),  # NAVD88 height (ftUS)
        ("EPSG:32630+8228", "m", None, FT),  # NAVD88 height (ft): above the band's own tag
    ],
)
def test_unit_of_heights(write_dem, crs, unit, argument, factor):
    path = write_dem(np.full((50, 50), 1000.0), crs=crs, unit=unit)
    assert base_height(path, height_unit=argument) == pytest.approx(1000 * factor, rel=1e-9)


def test_crs_in_feet_asks_for_the_unit(write_dem):
    settings = {"crs": "EPSG:2263", "transform": from_origin(980000, 200500, 10, 10)}
    path = write_dem(np.full((50, 50), 328.0), **settings)
    place = {"easting": 980200.0, "northing": 200200.0, "point_crs": "EPSG:2263"}
    with pytest.raises(InputError, match=r"CRS is in feet.*ground\.height_unit"):
        dem_height(path, crs=None, **place)
    height = dem_height(path, crs=None, height_unit="us-ft", **place)
    assert height == pytest.approx(328 * US_FT)
    frame = frame_at(980200.0, 200200.0, crs="EPSG:2263")
    patch = read_dem(path, frame=frame, radius=30.0, height_unit="ft")
    assert patch.cell == pytest.approx(10 * US_FT, rel=1e-4)


def test_fallback_crs_in_feet_asks_for_the_unit(write_dem):
    path = write_dem(np.zeros((50, 50)), crs=None, transform=from_origin(980000, 200500, 10, 10))
    with pytest.raises(InputError, match="CRS is in feet"):
        dem_height(
            path, crs="EPSG:2263", easting=980200.0, northing=200200.0, point_crs="EPSG:2263"
        )


def test_unknown_unit_is_named(write_dem):
    path = write_dem(np.zeros((50, 50)), unit="fathom")
    with pytest.raises(InputError, match="unit of its heights, 'fathom', is not known"):
        base_height(path)


def test_depths_are_refused(write_dem):
    path = write_dem(np.zeros((50, 50)), crs="EPSG:32630+5715")  # mean sea level depth
    with pytest.raises(InputError, match="depths, not heights"):
        base_height(path)


def test_no_crs_takes_the_fallback(write_dem):
    path = write_dem(plane(), crs=None)
    assert base_height(path, crs="EPSG:32630") == pytest.approx(107.7, abs=1e-4)
    with pytest.raises(InputError, match="names no coordinate reference system"):
        base_height(path)


def test_local_site(write_dem):
    path = write_dem(plane(20, 20), crs=None, transform=from_origin(0.0, 100.0, 5.0, 5.0))
    frame = frame_at(50.0, 50.0, crs="local", height=5.0)
    patch = read_dem(path, frame=frame, radius=20.0, crs="local")
    np.testing.assert_array_equal(np.diff(patch.x, axis=1), 5.0)
    assert abs(patch.x).min() == 2.5
    with_crs = write_dem(plane(), name="utm.tif")
    with pytest.raises(InputError, match="nothing ties the two"):
        read_dem(with_crs, frame=frame, radius=20.0, crs="local")


def test_gaps_are_unknown(write_dem):
    z = plane()
    z[21, 20] = -1.0  # declared
    z[25, 24] = np.nan
    z[10, 10] = -9999.0  # not declared, but no height
    z[11, 30] = 3.4e38
    patch = read_dem(write_dem(z, nodata=-1.0), frame=frame_at(), radius=180.0)
    assert np.isnan(patch.z).sum() == 4
    assert np.isnan(base_height(write_dem(z, nodata=-1.0)))


def test_mask_band_counts(write_dem):
    path = write_dem(plane())
    mask = np.full((50, 50), 255, np.uint8)
    mask[:, :25] = 0
    with rasterio.Env(GDAL_TIFF_INTERNAL_MASK=True), rasterio.open(path, "r+") as dataset:
        dataset.write_mask(mask)
    assert np.isnan(base_height(path))


def test_scale_and_offset_of_the_band(write_dem):
    path = write_dem(np.full((50, 50), 230, np.int16), nodata=-5)
    with rasterio.open(path, "r+") as dataset:
        dataset.scales, dataset.offsets = (0.1,), (100.0,)
    assert base_height(path) == pytest.approx(123.0)


def test_first_band_counts(write_dem):
    path = write_dem(np.stack([plane(), 0 * plane()]), photometric="minisblack")
    assert base_height(path) == pytest.approx(107.7, abs=1e-4)


def test_pictures_are_refused(write_dem):
    grey = np.zeros((50, 50), np.uint8)
    with pytest.raises(InputError, match="colour image"):
        base_height(write_dem(np.stack([grey] * 3), photometric="rgb"))
    path = write_dem(grey, name="palette.tif", photometric="palette")
    with rasterio.open(path, "r+") as dataset:
        dataset.colorinterp = [ColorInterp.palette]
        dataset.write_colormap(1, {0: (1, 2, 3, 255)})
    with pytest.raises(InputError, match="palette colours"):
        base_height(path)
    with pytest.raises(InputError, match="complex numbers"):
        base_height(write_dem(grey.astype("complex64"), name="complex.tif"))


@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_unplaced_raster_is_refused(write_dem):
    path = write_dem(plane(), crs=None, transform=Affine.identity())
    with pytest.raises(InputError, match="does not say where its pixels lie"):
        base_height(path, crs="EPSG:32630")


def test_outside_the_raster(write_dem):
    path = write_dem(plane())
    with pytest.raises(InputError, match="no heights at easting 600000, northing 5912280"):
        dem_height(path, crs=None, easting=600000.0, northing=N0, point_crs="EPSG:32630")
    with pytest.raises(InputError, match="no heights within 50 m of"):
        read_dem(path, frame=frame_at(600000.0), radius=50.0)
    # beside it the DEM still helps, and the base is unknown
    beside = frame_at(552990.0)
    assert np.isnan(read_dem(path, frame=beside, radius=50.0).height(np.zeros(1), np.zeros(1)))


def test_unreadable_files(tmp_path: Path):
    with pytest.raises(InputError, match=r"none\.tif: there is no such file"):
        base_height(tmp_path / "none.tif")
    text = tmp_path / "text.tif"
    text.write_text("no raster")
    with pytest.raises(InputError, match=r"text\.tif: the file cannot be read as a raster"):
        base_height(text)


def test_truncated_file(write_dem, tmp_path: Path):
    whole = write_dem(np.random.default_rng(1).normal(size=(300, 300)), compress="deflate")
    broken = tmp_path / "broken.tif"
    broken.write_bytes(whole.read_bytes()[: whole.stat().st_size // 2])
    frame = frame_at(553000.0 + 1500, 5912500.0 - 2900)
    with pytest.raises(InputError, match="cannot be read as a raster"):
        read_dem(broken, frame=frame, radius=50.0)


def test_huge_file_costs_its_window(tmp_path: Path, monkeypatch):
    path = tmp_path / "huge.tif"
    size = 40_000
    settings = {
        "driver": "GTiff",
        "width": size,
        "height": size,
        "count": 1,
        "dtype": "float32",
        "crs": "EPSG:32630",
        "transform": from_origin(E0 - size / 2, N0 + size / 2, 1.0, 1.0),
        "tiled": True,
        "sparse_ok": True,
        "nodata": -1.0,
    }
    with rasterio.open(path, "w", **settings) as dataset:
        window = rasterio.windows.Window(size // 2 - 128, size // 2 - 128, 256, 256)
        dataset.write(np.full((1, 256, 256), 42.0, np.float32), window=window)
    read = []
    honest = raster_module.read_heights

    def counted(dataset, window, *, factor):
        heights = honest(dataset, window, factor=factor)
        read.append(heights.size)
        return heights

    monkeypatch.setattr(dem_module, "read_heights", counted)
    patch = read_dem(path, frame=frame_at(), radius=60.0)
    assert sum(read) <= 124**2
    assert patch.shape[0] <= 124
    assert (patch.z == 42.0).all()
    assert path.stat().st_size < 2e7


def test_very_fine_dem_is_thinned_not_averaged(write_dem, monkeypatch):
    rng = np.random.default_rng(8)
    z = rng.normal(size=(50, 50))
    path = write_dem(z)
    monkeypatch.setattr(dem_module, "MOST_NODES", 150)
    patch = read_dem(path, frame=frame_at(), radius=150.0)
    assert patch.thinning == 3
    assert patch.z.size <= 200
    assert np.isin(patch.z, z).all()
    full_x = read_dem(path, frame=frame_at(), radius=1.0)
    assert full_x.thinning == 1
    # nodes stand where the file has them
    frame = frame_at()
    e, n = frame.to_grid(patch.x, patch.y)
    row, column = np.rint((5912500 - n) / 10 - 0.5), np.rint((e - 553000) / 10 - 0.5)
    np.testing.assert_array_equal(patch.z, z[row.astype(int), column.astype(int)])


def test_large_patch_is_placed_as_exactly_as_a_small_one(write_dem):
    frame = frame_at(height=200.0)
    lon, lat = frame.geographic(0.0, 0.0)
    cell = 1e-5
    transform = from_origin(lon - 150 * cell, lat + 150 * cell, cell, cell)
    path = write_dem(np.zeros((300, 300), np.float32), crs="EPSG:4326", transform=transform)
    patch = read_dem(path, frame=frame, radius=1000.0)
    assert patch.z.size > 20_000
    easting, northing = frame.to_crs("EPSG:4326", patch.x, patch.y)
    column, row = np.meshgrid(np.arange(300) + 0.5, np.arange(300) + 0.5)
    # 1e-11 degrees are 1 µm
    np.testing.assert_allclose(easting, transform.c + cell * column, atol=2e-11)
    np.testing.assert_allclose(northing, transform.f - cell * row, atol=2e-11)
