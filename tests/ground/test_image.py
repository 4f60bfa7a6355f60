"""An aerial image laid on the local frame."""

import numpy as np
import pytest
import rasterio
from rasterio.enums import ColorInterp
from rasterio.transform import Affine

from visual.errors import InputError
from visual.frame import make_frame
from visual.ground import image as image_module
from visual.ground import read_image

E0, N0 = 553210.0, 5912280.0
BOX = (-40.0, -30.0, 40.0, 30.0)
NORTH_UP = Affine(1.0, 0.0, E0 - 60, 0.0, -1.0, N0 + 60)


@pytest.fixture
def frame():
    return make_frame(crs="EPSG:32630", easting=E0, northing=N0, height=50.0, date=None)


@pytest.fixture
def ramps():
    """Red grows to the east, green to the north, both 2 per pixel; blue is 7."""
    column, row = np.meshgrid(np.arange(120), np.arange(120))
    return np.stack([2 * column, 2 * (119 - row), 0 * row + 7]).astype(np.uint8)


def expected_at(frame, image, row, column):
    """Colours where a pixel of the result lies, from its place in the site's grid."""
    rows, columns, _ = image.rgb.shape
    xmin, ymin, xmax, ymax = image.bounds
    x = xmin + (column + 0.5) / columns * (xmax - xmin)
    y = ymax - (row + 0.5) / rows * (ymax - ymin)
    e, n = frame.to_grid(x, y)
    return 2 * (e - E0 + 60 - 0.5), 2 * (n - N0 + 60 - 0.5), 7


def test_colours_lie_where_they_belong(write_dem, frame, ramps):
    image = read_image(
        write_dem(ramps, transform=NORTH_UP, photometric="rgb"), frame=frame, bounds=BOX
    )
    assert image.rgb.dtype == np.uint8
    assert image.rgb.shape[1] == pytest.approx(80, abs=1)
    assert image.known.all()
    assert image.bounds == BOX
    for row, column in ((0, 0), (0, 79), (59, 0), (30, 40)):
        assert image.rgb[row, column] == pytest.approx(
            expected_at(frame, image, row, column), abs=0.6
        )


def test_turned_image(write_dem, frame):
    # the file's rows run to the north-east
    transform = Affine(0.6, 0.8, E0 - 84, 0.8, -0.6, N0 - 12)
    column, row = np.meshgrid(np.arange(120) + 0.5, np.arange(120) + 0.5)
    east = 0.6 * column + 0.8 * row - 84
    north = 0.8 * column - 0.6 * row - 12
    grey = np.clip(128 + east + 0.5 * north, 0, 255).round().astype(np.uint8)
    image = read_image(
        write_dem(grey, transform=transform), frame=frame, bounds=(-20.0, -20.0, 20.0, 20.0)
    )
    rows, columns, _ = image.rgb.shape
    assert (rows, columns) == (40, 40) or abs(rows - 40) + abs(columns - 40) <= 2
    x = -20 + (np.arange(columns) + 0.5) * 40 / columns
    y = 20 - (np.arange(rows) + 0.5) * 40 / rows
    np.testing.assert_allclose(image.rgb[:, :, 0], 128 + x + 0.5 * y[:, None], atol=1.2)
    assert (image.rgb[:, :, 0] == image.rgb[:, :, 2]).all()


def test_part_without_picture_is_unknown(write_dem, frame, ramps):
    path = write_dem(ramps, transform=NORTH_UP, photometric="rgb")
    image = read_image(path, frame=frame, bounds=(-100.0, -30.0, 40.0, 30.0))
    known_columns = image.known.any(axis=0).mean()
    assert known_columns == pytest.approx(100 / 140, abs=0.02)
    assert not image.known[:, 0].any()
    assert image.known[:, -1].all()


def test_palette(write_dem, frame):
    index = np.repeat([[0] * 60 + [1] * 60], 120, axis=0).astype(np.uint8)
    path = write_dem(index, transform=NORTH_UP, photometric="palette")
    with rasterio.open(path, "r+") as dataset:
        dataset.colorinterp = [ColorInterp.palette]
        dataset.write_colormap(1, {0: (10, 20, 30, 255), 1: (200, 100, 50, 255)})
    image = read_image(path, frame=frame, bounds=BOX)
    assert image.rgb[30, 5].tolist() == [10, 20, 30]
    assert image.rgb[30, -5].tolist() == [200, 100, 50]


def test_fine_image_is_read_no_finer_than_needed(write_dem, frame, ramps, monkeypatch):
    monkeypatch.setattr(image_module, "MOST_PIXELS", 20)
    path = write_dem(ramps, transform=NORTH_UP, photometric="rgb")
    image = read_image(path, frame=frame, bounds=BOX)
    assert image.rgb.shape == (20, 20, 3)
    assert image.rgb[10, 10] == pytest.approx(expected_at(frame, image, 10, 10), abs=2.5)


def test_unusable_images(write_dem, frame, ramps):
    deep = write_dem(ramps.astype(np.uint16), transform=NORTH_UP)
    with pytest.raises(InputError, match="8 bits per colour, and this one holds uint16"):
        read_image(deep, frame=frame, bounds=BOX)
    away = write_dem(ramps, transform=Affine(1.0, 0.0, 0.0, 0.0, -1.0, 5e6), photometric="rgb")
    with pytest.raises(InputError, match="does not reach the ground around the base"):
        read_image(away, frame=frame, bounds=BOX)
