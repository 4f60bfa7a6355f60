"""A 600 m window of a raster of 40 000 × 40 000 pixels, against reading it bare."""

import tempfile
import time
from pathlib import Path

import numpy as np
import rasterio
from rasterio.transform import Affine
from rasterio.windows import Window
from timing import in_own_process, line, side_by_side

from visual.frame import make_frame
from visual.ground import read_dem

SIZE, HALF = 40_000, 300
EAST, NORTH = 553_000.0, 5_912_000.0


def run() -> list[str]:
    """Return the lines of the report."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "large.tif"
        make_raster(path)
        return [*speed(path), *memory(path)]


def make_raster(path: Path) -> None:
    """Write a sparse raster with heights around its middle only."""
    transform = Affine(1.0, 0.0, EAST - SIZE / 2, 0.0, -1.0, NORTH + SIZE / 2)
    settings = {"driver": "GTiff", "count": 1, "dtype": "float32", "crs": "EPSG:32630"}
    settings |= {"tiled": True, "compress": "deflate", "sparse_ok": True, "nodata": -9999.0}
    with rasterio.open(
        path, "w", width=SIZE, height=SIZE, transform=transform, **settings
    ) as dataset:
        window = Window(SIZE // 2 - 512, SIZE // 2 - 512, 1024, 1024)
        column, row = np.meshgrid(np.arange(1024), np.arange(1024))
        heights = (50 + 5 * np.sin(column / 40) + 3 * np.cos(row / 60)).astype("float32")
        dataset.write(heights, 1, window=window)


def bare(path: Path) -> np.ndarray:
    """Read the window and nothing else."""
    with rasterio.open(path) as dataset:
        corner = SIZE // 2 - HALF
        return dataset.read(1, window=Window(corner, corner, 2 * HALF, 2 * HALF))


def speed(path: Path) -> list[str]:
    """Compare times in one process, the frame of the site made before."""
    frame = make_frame(crs="EPSG:32630", easting=EAST, northing=NORTH, height=50.0, date=None)
    ours, theirs = side_by_side(
        lambda: read_dem(path, frame=frame, radius=HALF),
        lambda: bare(path),
        repeats=15,
        clock=time.process_time,
    )
    text = f"  a bare window read takes {theirs * 1e3:.1f} ms; we take"
    return [
        f"600 m window of 40 000 × 40 000 pixels: {ours * 1e3:.1f} ms",
        line(text, ours / theirs, "at most 1.3"),
    ]


def memory(path: Path) -> list[str]:
    """Compare the peak memory of processes that do either."""
    folder = str(Path(__file__).resolve().parent)
    start = f"import sys; sys.path[:0] = [{folder!r}, '.']\nfrom pathlib import Path\n"
    start += "import raster_window as w\n"
    start += "frame = w.make_frame(crs='EPSG:32630', easting=w.EAST, northing=w.NORTH, "
    start += "height=50.0, date=None)\n"
    _, _, ours = in_own_process(
        start + f"w.read_dem(Path({str(path)!r}), frame=frame, radius=w.HALF)", repeats=1
    )
    _, _, theirs = in_own_process(start + f"w.bare(Path({str(path)!r}))", repeats=1)
    return [f"  more memory than the bare read: {ours - theirs:.0f} MB   wanted at most 40 MB"]
