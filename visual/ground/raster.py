"""Opening a raster: where its pixels lie and what its heights are measured in."""

import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import rasterio
from rasterio.crs import CRS
from rasterio.enums import ColorInterp
from rasterio.errors import CRSError, NotGeoreferencedWarning, RasterioError
from rasterio.windows import Window

from visual.errors import InputError
from visual.frame import LOCAL
from visual.ground.triangle import Array
from visual.units import LENGTH_UNITS

UNIT_NAMES: Mapping[str, str] = {
    "m": "m",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
    "ft": "ft",
    "foot": "ft",
    "feet": "ft",
    "international foot": "ft",
    "international feet": "ft",
    "us-ft": "us-ft",
    "ftus": "us-ft",
    "us_ft": "us-ft",
    "us ft": "us-ft",
    "us foot": "us-ft",
    "us feet": "us-ft",
    "us survey foot": "us-ft",
    "us survey feet": "us-ft",
    "foot_us": "us-ft",
    "u.s. survey foot": "us-ft",
    "cm": "cm",
    "centimetre": "cm",
    "centimeter": "cm",
    "mm": "mm",
}
"""Spellings of height units in raster files, small letters, to names of `LENGTH_UNITS`."""

UNDECLARED_GAPS = (-9999.0, -32768.0, -32767.0)
"""Values that stand for "no height" in files that forget to say so."""

Axis = Mapping[str, Any]
"""An axis of a CRS in PROJJSON: ``direction``, ``unit``."""

FOOT = 0.3048
"""Either foot to six digits. [m]"""

HIGHEST = 12_000.0
"""No ground is higher or deeper than this: such a value is no height. [m]"""

_HEIGHTS = "a DEM holds one height per pixel"


@contextmanager
def open_raster(path: Path) -> Iterator[Any]:
    """Open a raster file; what the library cannot read becomes an InputError."""
    try:
        with warnings.catch_warnings():
            # Files without a place are turned away by `affine`, with a text for the user.
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            with rasterio.open(path) as dataset:
                yield dataset
    except (RasterioError, CRSError) as error:
        if not Path(path).exists():
            rule, way_out = "there is no such file", "check the name in the site file"
        else:
            rule = f"the file cannot be read as a raster ({' '.join(str(error).split())})"
            way_out = "give a raster that GDAL reads, such as GeoTIFF or ESRI ASCII grid"
        raise raster_error(path, rule, way_out) from error


def raster_error(path: Path, rule: str, way_out: str) -> InputError:
    """Make the error of a raster file."""
    return InputError.one(file=path.name, key="", value=None, rule=rule, way_out=way_out)


def affine(dataset: Any, path: Path) -> Any:
    """Return the geotransform, column and row to easting and northing.

    Raises
    ------
    InputError
        If the file does not say where it lies.
    """
    transform = dataset.transform
    if transform.is_identity or transform.is_degenerate:
        rule = "the raster does not say where its pixels lie (it has no geotransform)"
        raise raster_error(path, rule, "georeference it, or give its world file along with it")
    return transform


def find_crs(dataset: Any, path: Path, fallback: str | None) -> tuple[str, list[Axis]]:
    """Return the CRS of the pixels and its axes: the file's own, else `fallback`.

    Raises
    ------
    InputError
        If there is neither.
    """
    if dataset.crs:
        return str(dataset.crs.to_wkt()), _axes(dataset.crs)
    if not fallback:
        rule = "the raster names no coordinate reference system"
        raise raster_error(path, rule, "assign one to the file, or give `site.crs`")
    return fallback, [] if fallback == LOCAL else _axes(CRS.from_user_input(fallback))


def grid_of(
    dataset: Any, path: Path, *, crs: str | None, height_unit: str | None
) -> tuple[Any, str, float]:
    """Return the geotransform of a DEM, its CRS, and metres per unit of its heights.

    Raises
    ------
    InputError
        If it holds no heights, or says too little about place or unit.
    """
    check_heights(dataset, path)
    transform = affine(dataset, path)
    file_crs, axes = find_crs(dataset, path, crs)
    return transform, file_crs, height_factor(dataset, path, axes=axes, height_unit=height_unit)


def check_heights(dataset: Any, path: Path) -> None:
    """Refuse rasters whose first band is no height.

    Raises
    ------
    InputError
        If the band is a palette, a colour of an image or complex.
    """
    colour = dataset.colorinterp[0]
    if colour == ColorInterp.palette:
        rule = f"{_HEIGHTS}, but this raster holds palette colours"
    elif colour in (ColorInterp.red, ColorInterp.green, ColorInterp.blue):
        rule = f"{_HEIGHTS}, but this raster is a colour image"
    elif np.issubdtype(np.dtype(dataset.dtypes[0]), np.complexfloating):
        rule = f"{_HEIGHTS}, but this raster holds complex numbers"
    else:
        return
    raise raster_error(path, rule, "give the elevation model itself, not a picture of it")


def height_factor(
    dataset: Any, path: Path, *, axes: Sequence[Axis], height_unit: str | None
) -> float:
    """Return metres per unit of height.

    Named, in this order, by the vertical part of the CRS, the unit tag of the band or
    `height_unit`; metres if none does and the CRS is not in feet.

    Raises
    ------
    InputError
        If the unit is unknown, or not stated while the CRS is in feet.
    """
    for axis in axes:
        if axis["direction"] == "down":
            rule = "the vertical part of its CRS counts depths, not heights"
            raise raster_error(path, rule, "give a DEM with heights")
        if axis["direction"] == "up":
            return _metres(axis)
    tag = (dataset.units[0] or "").strip()
    if tag.lower() in UNIT_NAMES:
        return LENGTH_UNITS[UNIT_NAMES[tag.lower()]]
    if height_unit is not None:
        return LENGTH_UNITS[height_unit]
    if tag:
        rule = f"the unit of its heights, {tag!r}, is not known"
    elif any(abs(_metres(axis) - FOOT) < 1e-3 for axis in axes):
        rule = "its CRS is in feet and nothing says whether its heights are, too"
    else:
        return 1.0
    raise raster_error(path, rule, 'set `ground.height_unit` to "m", "ft" or "us-ft"')


def read_heights(dataset: Any, window: Window, *, factor: float) -> Array:
    """Read heights in a window of the first band; NaN where there are none. [m]"""
    # not masked=True: masked arrays are slow to load, and used for nothing else here
    stored = dataset.read(1, window=window).astype(float)
    stored[dataset.read_masks(1, window=window) == 0] = np.nan
    missing = np.isin(stored, UNDECLARED_GAPS)
    heights = (stored * dataset.scales[0] + dataset.offsets[0]) * factor
    missing |= ~(np.abs(heights) <= HIGHEST)
    return np.where(missing, np.nan, heights)


def window_of(row: int, column: int, rows: int, columns: int) -> Window:
    """Return a window of a raster from its first row and column, and its size."""
    return Window(column, row, columns, rows)


def middles(transform: Any, rows: Array, columns: Array) -> tuple[Array, Array]:
    """Return easting and northing of the middles of pixels, each of shape (rows, columns).

    A pixel is an area: its middle lies half a pixel from the corner that the geotransform
    counts from.
    """
    column, row = np.meshgrid(columns + 0.5, rows + 0.5)
    t = transform
    return t.a * column + t.b * row + t.c, t.d * column + t.e * row + t.f


def place(transform: Any, easting: Array, northing: Array) -> tuple[Array, Array]:
    """Return row and column, with fractions, of points; whole at the middles of pixels."""
    t = ~transform
    row = t.d * easting + t.e * northing + t.f
    return row - 0.5, t.a * easting + t.b * northing + t.c - 0.5


def _axes(crs: Any) -> list[Axis]:
    """Return the axes of a CRS, those of a compound one in one list."""
    return list(_collect_axes(crs.to_dict(projjson=True)))


def _collect_axes(part: Mapping[str, Any]) -> Iterator[Axis]:
    if "source_crs" in part:
        yield from _collect_axes(part["source_crs"])
    for component in part.get("components", ()):
        yield from _collect_axes(component)
    yield from part.get("coordinate_system", {}).get("axis", ())


def _metres(axis: Axis) -> float:
    """Return metres per unit of an axis; NaN if its unit is an angle."""
    unit = axis.get("unit")
    if isinstance(unit, Mapping):
        return float(unit["conversion_factor"]) if unit["type"] == "LinearUnit" else float("nan")
    return 1.0 if unit == "metre" else float("nan")
