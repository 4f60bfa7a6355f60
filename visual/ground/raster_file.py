"""Writing what was worked out on a lattice as a GeoTIFF."""

from pathlib import Path

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.transform import Affine

from visual.errors import InputError
from visual.frame import LOCAL

NO_VALUE = -9999.0
"""What stands for "no value" in the files that are written."""


def write_geotiff(
    path: Path,
    bands: dict[str, NDArray[np.float64]],
    *,
    crs: str,
    origin: tuple[float, float],
    down: tuple[float, float],
    right: tuple[float, float],
) -> None:
    """Write bands of one shape as a GeoTIFF, single precision; NaN becomes no value.

    Parameters
    ----------
    path : Path
        The file.
    bands : dict of str to ndarray, shape (rows, columns)
        What each band is called, and its values.
    crs : str
        CRS of the coordinates; ``"local"`` writes none.
    origin, down, right : tuple of float
        Place of the middle of the first pixel, and the steps to the next row and column, in the
        CRS.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    rows, columns = next(iter(bands.values())).shape
    corner = [o - (d + r) / 2 for o, d, r in zip(origin, down, right, strict=True)]
    place = Affine(right[0], down[0], corner[0], right[1], down[1], corner[1])
    try:
        with rasterio.open(
            path,
            "w",
            driver="GTiff",
            width=columns,
            height=rows,
            count=len(bands),
            dtype="float32",
            crs=None if crs == LOCAL else crs,
            transform=place,
            nodata=NO_VALUE,
            compress="deflate",
        ) as file:
            for number, (name, values) in enumerate(bands.items(), start=1):
                file.write(np.where(np.isnan(values), NO_VALUE, values).astype("float32"), number)
                file.set_band_description(number, name)
    except rasterio.errors.RasterioError as error:
        rule, way_out = f"cannot be written: {error}", "check the folder and its permissions"
        raise InputError.one(
            file=str(path), key="", value=None, rule=rule, way_out=way_out
        ) from error
