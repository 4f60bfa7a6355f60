"""An aerial image, turned and scaled to lie on the ground in the local frame."""

import math
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from rasterio.enums import ColorInterp, Resampling
from rasterio.windows import Window

from visual.frame import Frame
from visual.ground.raster import affine, find_crs, open_raster, place, raster_error
from visual.ground.smooth import smooth_grid
from visual.ground.triangle import Array

MOST_PIXELS = 2048
"""Pixels per side at most."""

_COLOURS = (ColorInterp.red, ColorInterp.green, ColorInterp.blue)


@dataclass(frozen=True, eq=False)
class GroundImage:
    """An image with its edges along the axes of the local frame.

    Parameters
    ----------
    rgb : ndarray of uint8, shape (rows, columns, 3)
        Colours, first row in the north.
    known : ndarray of bool, shape (rows, columns)
        False where the file has no picture; the colours there mean nothing.
    bounds : tuple of float
        xmin, ymin, xmax, ymax of the outer edges. [m]
    """

    rgb: NDArray[np.uint8] = field(repr=False)
    known: NDArray[np.bool_] = field(repr=False)
    bounds: tuple[float, float, float, float]


def read_image(
    path: Path,
    *,
    frame: Frame,
    bounds: tuple[float, float, float, float],
    crs: str | None = None,
) -> GroundImage:
    """Read an aerial image over a box of the local frame.

    Parameters
    ----------
    path : Path
        A raster with 8 bits per colour: three bands, one grey band or a palette.
    frame : Frame
        Local frame of the site.
    bounds : tuple of float
        xmin, ymin, xmax, ymax. [m]
    crs : str, optional
        CRS of the image if it names none itself.

    Raises
    ------
    InputError
        If the file cannot be read, says too little about its place, has other than 8 bits per
        colour, or does not reach the box.
    """
    path = Path(path)
    with open_raster(path) as dataset:
        if dataset.dtypes[0] != "uint8":
            rule = (
                f"an aerial image needs 8 bits per colour, and this one holds {dataset.dtypes[0]}"
            )
            raise raster_error(path, rule, "convert it to 8 bits")
        transform = affine(dataset, path)
        file_crs, _ = find_crs(dataset, path, crs)
        try:
            row, column = _places(frame, file_crs, transform, bounds)
        except ValueError as error:
            rule, _, way_out = str(error).partition("; ")
            raise raster_error(path, rule, way_out or "check `site.crs`") from error
        window = _window(dataset, row, column)
        if window is None:
            rule = "the image does not reach the ground around the base"
            raise raster_error(path, rule, "check its CRS and place, or leave `ground.image` out")
        rgb, known = _sample(dataset, window, row, column)
    return GroundImage(rgb=rgb, known=known, bounds=bounds)


def _places(
    frame: Frame, crs: str, transform: Any, bounds: tuple[float, float, float, float]
) -> tuple[Array, Array]:
    """Return row and column in the file for each pixel of the result."""
    xmin, ymin, xmax, ymax = bounds

    def exact(y: Array, x: Array) -> Array:
        return np.stack(place(transform, *frame.to_crs(crs, *np.meshgrid(x, y))))

    # First at the corners, to learn how many pixels of the file the box is long.
    row, column = exact(np.array([ymax, ymin]), np.array([xmin, xmax]))
    across = np.hypot(np.diff(row[0]), np.diff(column[0])).item()
    down = np.hypot(np.diff(row[:, 0]), np.diff(column[:, 0])).item()
    if not math.isfinite(across + down):
        message = "the image's CRS has no place for the base; check the CRS of the image"
        raise ValueError(message)
    columns, rows = (min(MOST_PIXELS, max(1, math.ceil(n))) for n in (across, down))
    x = xmin + (np.arange(columns) + 0.5) / columns * (xmax - xmin)
    y = ymax - (np.arange(rows) + 0.5) / rows * (ymax - ymin)
    row, column = smooth_grid(exact, y, x)
    return row, column


def _window(dataset: Any, row: Array, column: Array) -> Window | None:
    """Return the part of the file that the places fall on; None if they miss it."""
    top, left = max(math.floor(row.min()), 0), max(math.floor(column.min()), 0)
    bottom = min(math.ceil(row.max()) + 1, dataset.height)
    right = min(math.ceil(column.max()) + 1, dataset.width)
    if bottom <= top or right <= left:
        return None
    return Window(left, top, right - left, bottom - top)


def _sample(
    dataset: Any, window: Window, row: Array, column: Array
) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    """Read a window, no finer than needed, and take the colours at the places."""
    shape = tuple(
        min(size, 2 * places)
        for size, places in zip((window.height, window.width), row.shape, strict=True)
    )
    is_palette = dataset.colorinterp[0] == ColorInterp.palette
    how = Resampling.nearest if is_palette else Resampling.average
    numbers = _bands(dataset)
    bands = dataset.read(numbers, window=window, out_shape=(len(numbers), *shape), resampling=how)
    mask = np.asarray(dataset.dataset_mask(window=window, out_shape=shape))
    if is_palette:
        table = np.array([dataset.colormap(1).get(k, (0, 0, 0, 0)) for k in range(256)], np.uint8)
        bands = np.moveaxis(table[bands[0], :3], -1, 0)
    # Middles of pixels: whole numbers both in the file and in the array that was read.
    at = np.stack(
        [
            (row - window.row_off + 0.5) * shape[0] / window.height - 0.5,
            (column - window.col_off + 0.5) * shape[1] / window.width - 0.5,
        ]
    )
    colours = [_take(np.asarray(band, dtype=float), at, smooth=not is_palette) for band in bands]
    rgb = np.rint(np.stack(colours * (3 // len(colours)), axis=-1)).astype(np.uint8)
    inside = (at >= -0.5) & (at <= np.array(shape)[:, None, None] - 0.5)
    return rgb, inside.all(axis=0) & (_take(mask.astype(float), at, smooth=False) > 0)


def _take(band: Array, at: Array, *, smooth: bool) -> Array:
    """Return values of a band at rows and columns with fractions."""
    from scipy.ndimage import map_coordinates  # slow to load, and only pictures need it

    return map_coordinates(band, at, order=1 if smooth else 0, mode="nearest")


def _bands(dataset: Any) -> list[int]:
    """Return the numbers of the red, green and blue band, or of the single grey one."""
    named = [dataset.colorinterp.index(c) + 1 for c in _COLOURS if c in dataset.colorinterp]
    if len(named) == 3:
        return named
    return [1, 2, 3] if dataset.count >= 3 else [1]
