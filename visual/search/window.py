"""The ground around a tile: heights, what stands around as distances, and how steep it is."""

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from visual.ground import Lattice
from visual.search.fields import DISC, make_fields
from visual.search.job import Job
from visual.search.tables import Samples

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Window:
    """The ground around a tile.

    Parameters
    ----------
    row, column : int
        First node.
    heights : ndarray, shape (width, width)
        Ground. [m]
    steepness : ndarray, shape (width, width)
        Cosine of the steepest ground within the reach of the gin pole.
    fields, active : ndarray
        See `make_fields`.
    """

    row: int
    column: int
    heights: Array = field(repr=False)
    steepness: Array = field(repr=False)
    fields: NDArray[np.float32] = field(repr=False)
    active: NDArray[np.bool_] = field(repr=False)


def read_window(job: Job, number: int) -> Window:
    """Read the ground around a tile and measure what stands there."""
    row, column = divmod(number, job.tiles[1])
    first = (
        (job.first[0] + row * job.tile) * job.stride - job.margin,
        (job.first[1] + column * job.tile) * job.stride - job.margin,
    )
    return window_at(job, *first)


def window_at(job: Job, row: int, column: int) -> Window:
    """Read the ground of the window that begins at a node."""
    shape = (job.width, job.width)
    heights = job.lattice.heights(row, column, shape)
    rows, columns = np.indices(shape, dtype=float)
    x, y = job.lattice.places(rows.ravel() + row, columns.ravel() + column)
    fields, active = make_fields(job, x, y)
    steepness = _steepness(job.lattice, heights, reach=job.numbers.gin + 1.0)
    return Window(row, column, heights, steepness, fields, active)


def without_bounds(window: Window) -> Window:
    """Return the same ground as if nothing stood around and the gin pole had no slope near."""
    return replace(
        window, active=np.zeros_like(window.active), steepness=np.ones_like(window.steepness)
    )


def near_things(job: Job, window: Window) -> Flags:
    """Tell at which nodes the raise may come near something; shape (width, width)."""
    shape = window.heights.shape
    if not window.active.any():
        return np.zeros(shape, dtype=bool)
    left = window.fields - job.level.field[:, None].astype(np.float32)
    least = left[window.active].min(axis=0).reshape(shape)
    return np.asarray(ndimage.minimum_filter(least, size=2 * job.margin + 1) <= DISC)


def _steepness(lattice: Lattice, heights: Array, *, reach: float) -> Array:
    """Return the cosine of the steepest triangle within a distance of each node."""
    inverse = np.linalg.inv(np.stack([lattice.right, lattice.down]))
    a, b = heights[:-1, :-1], heights[:-1, 1:]
    c, d = heights[1:, :-1], heights[1:, 1:]
    slope = np.zeros(a.shape)
    for across, along in ((b - a, c - a), (d - c, c - a), (b - a, d - b), (d - c, d - b)):
        rise = np.stack([across, along], axis=-1) @ inverse.T
        slope = np.fmax(slope, np.hypot(rise[..., 0], rise[..., 1]))
    nodes = 2 * int(np.ceil(reach / lattice.cell)) + 1
    steepest = ndimage.maximum_filter(slope, size=nodes, mode="nearest")
    whole = np.pad(steepest, ((0, 1), (0, 1)), mode="edge")
    return np.asarray(1.0 / np.hypot(1.0, whole))


def sample(heights: Array, samples: Samples, at: NDArray[np.int64], width: int) -> Array:
    """Return the ground at the first sample of many nodes; for what is not timed. [m]"""
    z = heights.ravel()
    p = at + samples.offset[0, 0]
    a, b, c, d = z[p], z[p + 1], z[p + width], z[p + width + 1]
    along, across = np.abs(a - d), np.abs(b - c)
    cut = (along < across) | ((along == across) & (a + d > b + c))
    nodes = np.stack([a, b, c, d], axis=-1)
    one, two = nodes @ samples.first[0, 0].astype(float), nodes @ samples.second[0, 0].astype(float)
    return np.asarray(np.where(cut, one, two))
