"""DEM files and patches made on the spot."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from rasterio.transform import Affine

from visual.ground import DemPatch


@pytest.fixture
def write_dem(tmp_path: Path) -> Callable[..., Path]:
    """Return a function that writes heights to a GeoTIFF and returns its path."""

    def write(heights: Any, *, name: str = "ground.tif", unit: str = "", **profile: Any) -> Path:
        z = np.atleast_3d(np.asarray(heights).T).T
        settings = {
            "driver": "GTiff",
            "count": z.shape[0],
            "height": z.shape[1],
            "width": z.shape[2],
            "dtype": z.dtype,
            "crs": "EPSG:32630",
            "transform": Affine(10.0, 0.0, 553000.0, 0.0, -10.0, 5912500.0),
        }
        path = tmp_path / name
        with rasterio.open(path, "w", **{**settings, **profile}) as dataset:
            dataset.write(z)
            if unit:
                dataset.units = (unit,) * z.shape[0]
        return path

    return write


@pytest.fixture
def patch_of() -> Callable[..., DemPatch]:
    """Return a function that makes a patch from a formula, turned and sheared at will."""

    def make(
        formula: Callable[[Any, Any], Any],
        *,
        rows: int = 21,
        columns: int = 25,
        right: tuple[float, float] = (2.0, 0.0),
        down: tuple[float, float] = (0.0, -2.0),
    ) -> DemPatch:
        i, j = np.meshgrid(np.arange(rows), np.arange(columns), indexing="ij")
        i, j = i - (rows - 1) / 2, j - (columns - 1) / 2
        x = j * right[0] + i * down[0]
        y = j * right[1] + i * down[1]
        return DemPatch(x=x, y=y, z=np.asarray(formula(x, y), float), file="made up")

    return make
