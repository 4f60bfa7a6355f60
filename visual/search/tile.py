"""One tile: plain arrays in, plain arrays out. Tiles know nothing of each other."""

from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage

from visual.ground import Lattice
from visual.search.causes import Cause
from visual.search.fields import free_bearings, make_fields
from visual.search.job import Job
from visual.search.kernel_args import Rig, ground_of
from visual.search.place import Places, judge_places
from visual.search.tables import Samples

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class TileFound:
    """What was found on one tile; arrays of shape (places, places).

    Parameters
    ----------
    number : int
        Which tile, row by row.
    share : ndarray of float32
        What the best bearing leaves: 1 as much as level, open ground, 0 the limit, below 0 it does
        not work; −inf outside the land and where the ground is unknown.
    cause : ndarray of uint8
        The `Cause` that leaves so little.
    bearing : ndarray of int16
        Number of the best bearing; −1 where none was looked at.
    """

    number: int
    share: NDArray[np.float32] = field(repr=False)
    cause: NDArray[np.uint8] = field(repr=False)
    bearing: NDArray[np.int16] = field(repr=False)
    looks: int = 0


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


def search_tile(job: Job, number: int) -> TileFound:
    """Search one tile.

    Parameters
    ----------
    job : Job
        The search.
    number : int
        Which tile: 0 … `job.count` − 1, row by row.
    """
    size = job.tile * job.parts
    found = TileFound(
        number,
        share=np.full((size, size), -np.inf, dtype=np.float32),
        cause=np.full((size, size), Cause.LAND, dtype=np.uint8),
        bearing=np.full((size, size), -1, dtype=np.int16),
    )
    if not _touches_land(job, number):
        return found
    window = read_window(job, number)
    looks = 0
    for part in range(len(job.shifts)):
        looks += _search_part(job, number, window, part, found)
    return TileFound(number, found.share, found.cause, found.bearing, looks)


def _corner(job: Job, number: int) -> tuple[int, int]:
    """Return row and column of the first place of a tile, in all places of the search."""
    row, column = divmod(number, job.tiles[1])
    size = job.tile * job.parts
    return row * size, column * size


def _touches_land(job: Job, number: int) -> bool:
    row, column = _corner(job, number)
    last = job.tile * job.parts
    x, y = job.place(np.array([0, 0, last, last]) + row, np.array([0, last, last, 0]) + column)
    return bool(shapely.intersects(shapely.polygons(np.column_stack([x, y])), job.land))


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


def _search_part(job: Job, number: int, window: Window, part: int, found: TileFound) -> int:
    """Search the places of one shift in their cells, and put them where they belong."""
    from visual.search.scan import scan

    row, column = _corner(job, number)
    i, j = divmod(part, job.parts)
    rows, columns = np.indices((job.tile, job.tile))
    x, y = job.place(row + rows * job.parts + i, column + columns * job.parts + j)
    start = job.margin * (job.width + 1)
    nodes = start + (rows * job.width + columns) * job.stride
    tables = job.tables[part]
    hinge = sample(window.heights, tables.base, nodes, job.width) + job.numbers.hinge
    places = judge_places(job, x, y, hinge)
    alive = places.alive
    share = np.full(x.shape, -np.inf, dtype=np.float32)
    cause = np.full(x.shape, Cause.GROUND, dtype=np.uint8)
    bearing = np.full(x.shape, -1, dtype=np.int16)
    looks = 0
    if alive.any():
        ground = ground_of(window.heights, window.fields, window.active)
        looks = scan(
            ground,
            Rig(tables, job.cover[part], job.numbers, job.level, job.curves),
            start,
            job.stride,
            alive,
            free_bearings(job, tables, x, y, alive),
            window.steepness.ravel()[nodes],
            hinge,
            share,
            cause,
            bearing,
        )
    _join(places, share, cause)
    spread = np.s_[i :: job.parts, j :: job.parts]
    found.share[spread] = places.share
    found.cause[spread] = places.cause
    found.bearing[spread] = bearing
    return int(looks)


def _join(places: Places, share: NDArray[np.float32], cause: NDArray[np.uint8]) -> None:
    """Keep the lower of what the place and what its best bearing leave."""
    alive = places.alive
    less = alive & (share < places.share)
    places.share[less] = share[less]
    places.cause[less] = cause[less]
