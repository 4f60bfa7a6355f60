"""Where a DEM lies: its CRS and a place on it to begin with."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from rasterio.enums import Resampling

from visual.ground.raster import affine, check_heights, open_raster, raster_error

LOOK = 200  # rows and columns of the coarse look for known ground


@dataclass(frozen=True)
class DemPlace:
    """A first place on a DEM.

    Parameters
    ----------
    crs : str
        CRS of the DEM, as short as it can be said.
    easting, northing : float
        The known ground nearest to the middle of the raster, in this CRS.
    """

    crs: str
    easting: float
    northing: float


def dem_place(path: Path) -> DemPlace:
    """Return the CRS of a DEM and the known ground nearest to its middle.

    Raises
    ------
    InputError
        If the file is no usable DEM, names no CRS or holds no height at all.
    """
    with open_raster(path) as dataset:
        transform = affine(dataset, path)
        check_heights(dataset, path)
        if not dataset.crs:
            rule = "the raster names no coordinate reference system"
            raise raster_error(path, rule, "assign one to the file")
        row, column = _known_middle(dataset, path)
        easting, northing = transform @ (column + 0.5, row + 0.5)
        code = dataset.crs.to_epsg()
        crs = f"EPSG:{code}" if code else dataset.crs.to_wkt()
    return DemPlace(crs=crs, easting=float(easting), northing=float(northing))


def _known_middle(dataset: Any, path: Path) -> tuple[int, int]:
    """Return row and column of a pixel with a height, near to the middle of the raster."""
    rows, columns = min(LOOK, dataset.height), min(LOOK, dataset.width)
    known = dataset.read_masks(1, out_shape=(rows, columns), resampling=Resampling.nearest) > 0
    if not known.any():
        rule = "the raster holds no height at all"
        raise raster_error(path, rule, "give a DEM with heights")
    row, column = np.nonzero(known)
    # Rows and columns of the coarse look, at the middles of its cells, as shares of the raster.
    down, across = (row + 0.5) / rows, (column + 0.5) / columns
    nearest = int(np.argmin((down - 0.5) ** 2 + (across - 0.5) ** 2))
    return int(down[nearest] * dataset.height), int(across[nearest] * dataset.width)
