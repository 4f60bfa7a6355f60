"""An aerial image laid on the ground, from a raster written here."""

import shutil
from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.transform import Affine

from visual.model import load_model
from visual.scene.site_ground import model_terrain, site_ground_layers

SAMPLE = Path(__file__).resolve().parents[2] / "sample_sites" / "hill_paddock"
RED, GREEN = (200, 40, 40), (60, 160, 60)


@pytest.fixture
def with_image(tmp_path):
    """Return the model of the paddock with an image: red west of the mast, green east of it."""
    folder = shutil.copytree(SAMPLE, tmp_path / "site")
    bands = np.zeros((3, 300, 300), np.uint8)
    bands[:, :, :150] = np.array(RED, np.uint8)[:, None, None]
    bands[:, :, 150:] = np.array(GREEN, np.uint8)[:, None, None]
    west, north = 553210.0 - 150.0, 5912480.0 + 150.0
    with rasterio.open(
        folder / "air.tif",
        "w",
        driver="GTiff",
        width=300,
        height=300,
        count=3,
        dtype="uint8",
        crs="EPSG:32630",
        transform=Affine(1.0, 0.0, west, 0.0, -1.0, north),
        photometric="RGB",
    ) as file:
        file.write(bands)
    text = (folder / "site.toml").read_text()
    changed = text.replace('dem = "ground.tif"', 'dem = "ground.tif"\nimage = "air.tif"')
    (folder / "site.toml").write_text(changed)
    return load_model(folder)


def color_at(layer, terrain, x, y):
    rows, columns = layer.texture.shape[:2]
    u = (x - terrain.west) / (terrain.east - terrain.west)
    v = (y - terrain.south) / (terrain.north - terrain.south)
    return layer.texture[int((1 - v) * (rows - 1)), int(u * (columns - 1))].astype(int)


def test_the_image_lies_where_it_belongs_and_fades_into_the_plain_ground(with_image):
    terrain = model_terrain(with_image)
    ground = next(x for x in site_ground_layers(with_image, terrain) if x.role == "ground")
    west, east = (color_at(ground, terrain, x, 0.0) for x in (-60.0, 60.0))
    assert west[0] > west[1] + 60
    assert east[1] > east[0] + 40
    outside = color_at(ground, terrain, terrain.west + 3.0, terrain.south + 3.0)
    assert np.ptp(outside) < 60, "beyond the image the plain ground shows"
