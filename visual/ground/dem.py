"""Reading the part of a DEM around the base; never more of the file than that."""

import math
from pathlib import Path
from typing import Any

import numpy as np
from rasterio.windows import Window

from visual.errors import InputError
from visual.frame import Frame
from visual.ground.patch import DemPatch
from visual.ground.raster import (
    grid_of,
    middles,
    open_raster,
    place,
    raster_error,
    read_heights,
)
from visual.ground.smooth import smooth_grid
from visual.ground.triangle import Array

MOST_NODES = 6_250_000
"""Above this many heights around the base, only every second, third … row and column is kept."""

ROUNDING = 1e-3
"""More than map projections there and back are off. [pixels]"""

TURN = 360.0
"""Some geographic rasters count longitudes 0 … 360 instead of −180 … 180. [deg]"""


def read_dem(
    path: Path,
    *,
    frame: Frame,
    radius: float,
    crs: str | None = None,
    height_unit: str | None = None,
) -> DemPatch:
    """Read the DEM around the base.

    Parameters
    ----------
    path : Path
        Any raster the raster library opens; the first band holds the heights.
    frame : Frame
        Local frame of the site.
    radius : float
        Half the side of the square about the base that is wanted. [m]
    crs : str, optional
        CRS of the raster if it names none itself.
    height_unit : {"m", "ft", "us-ft"}, optional
        Unit of the heights if the file names none.

    Returns
    -------
    DemPatch
        Heights at the middles of the pixels; NaN where the file has none.

    Raises
    ------
    InputError
        If the file cannot be read, holds no heights, says too little about place or unit, or
        does not reach the square.
    """
    path = Path(path)
    with open_raster(path) as dataset:
        transform, file_crs, factor = grid_of(dataset, path, crs=crs, height_unit=height_unit)
        try:
            easting, northing = _outline(frame, file_crs, radius)
            turn = longitude_turn(dataset, transform, easting, northing)
            rows, columns, thinning = _window(dataset, transform, easting + turn, northing)
            if min(len(rows), len(columns)) < 2:
                raise _out_of_reach(path, frame, radius, dataset)
            heights = _read(dataset, rows, columns, thinning, factor)
            x, y = _to_local(frame, file_crs, transform, rows, columns, turn)
        except ValueError as error:
            rule, _, way_out = str(error).partition("; ")
            raise raster_error(path, rule, way_out or "check `site.crs`") from error
    z = frame.local_height(heights)
    return DemPatch(x=x, y=y, z=z, file=path.name, thinning=thinning)


def _outline(frame: Frame, crs: str, radius: float) -> tuple[Array, Array]:
    """Return points around the wanted square in the CRS of the raster."""
    share = np.linspace(-radius, radius, 17)
    edge = np.full_like(share, radius)
    x = np.concatenate([share, share, edge, -edge])
    y = np.concatenate([edge, -edge, share, share])
    easting, northing = frame.to_crs(crs, x, y)
    known = np.isfinite(easting) & np.isfinite(northing)
    return easting[known], northing[known]


def longitude_turn(dataset: Any, transform: Any, easting: Array, northing: Array) -> float:
    """Return what to add to longitudes so that they fall on the raster, if anything does."""
    if dataset.crs and dataset.crs.is_geographic:
        for turn in (0.0, TURN, -TURN):
            rows, columns, _ = _window(dataset, transform, easting + turn, northing)
            if len(rows) and len(columns):
                return turn
    return 0.0


def _window(
    dataset: Any, transform: Any, easting: Array, northing: Array
) -> tuple[Array, Array, int]:
    """Return the rows and columns to keep, and every how many-th that is."""
    if easting.size == 0:
        return np.empty(0), np.empty(0), 1
    spans = []
    for index, size in zip(
        place(transform, easting, northing), (dataset.height, dataset.width), strict=True
    ):
        # The slack keeps both neighbours of a place that is the middle of a pixel but for rounding.
        first = math.ceil(index.min() - ROUNDING) - 1
        last = math.floor(index.max() + ROUNDING) + 1
        spans.append((max(first, 0), min(last, size - 1)))
    count = math.prod(max(last - first + 1, 0) for first, last in spans)
    thinning = max(1, math.ceil(math.sqrt(count / MOST_NODES)))
    rows, columns = (
        np.arange(first - first % thinning, last + 1, thinning, dtype=float)
        for first, last in spans
    )
    return rows, columns, thinning


def _read(dataset: Any, rows: Array, columns: Array, thinning: int, factor: float) -> Array:
    """Read the heights of rows and columns. [m]"""
    left, width = int(columns[0]), int(columns[-1] - columns[0]) + 1
    if thinning == 1:
        window = Window(left, int(rows[0]), width, len(rows))
        return read_heights(dataset, window, factor=factor)
    lines = [
        read_heights(dataset, Window(left, int(row), width, 1), factor=factor)[:, ::thinning]
        for row in rows
    ]
    return np.concatenate(lines)


def _to_local(
    frame: Frame, crs: str, transform: Any, rows: Array, columns: Array, turn: float
) -> tuple[Array, Array]:
    """Return x and y of the nodes, each of shape (rows, columns). [m]

    Raises
    ------
    ValueError
        If the CRS cannot be converted there.
    """

    def exact(some_rows: Array, some_columns: Array) -> Array:
        easting, northing = middles(transform, some_rows, some_columns)
        return np.stack(frame.from_crs(crs, easting - turn, northing))

    x, y = smooth_grid(exact, rows, columns)
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        message = "part of the raster has no place in the site's CRS; use one that covers the site"
        raise ValueError(message)
    return x, y


def _out_of_reach(path: Path, frame: Frame, radius: float, dataset: Any) -> InputError:
    base = f"easting {frame.origin_easting:.10g}, northing {frame.origin_northing:.10g}"
    reach = f"within {radius:g} m of" if radius else "at"
    bounds = ", ".join(f"{value:.10g}" for value in dataset.bounds)
    rule = (
        f"the raster has no heights {reach} {base}; in its own grid it runs over {bounds} "
        "(west, south, east, north)"
    )
    way_out = "check `mast.position`, `site.crs` and the raster's CRS, or use a DEM of the site"
    return raster_error(path, rule, way_out)
