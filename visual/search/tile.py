"""One tile: plain arrays in, plain arrays out. Tiles know nothing of each other."""

from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.search.causes import Cause
from visual.search.fields import free_bearings
from visual.search.job import Job
from visual.search.kernel_args import Rig, ground_of
from visual.search.place import Places, judge_places
from visual.search.window import Window, near_things, read_window, sample, without_bounds

Flags = NDArray[np.bool_]
Shares = NDArray[np.float32]
Causes = NDArray[np.uint8]
Bearings = NDArray[np.int16]

GENTLE = 0.97
"""Cosine of ground so gentle (14°) that the bound on the gin pole, off by that much at most, does
not matter to a place that works."""


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
    hope : ndarray of float32
        The most that could be left if what only a bound turns down were right; see `hope`.
    looks : int
        How many pairs were looked at closely.
    """

    number: int
    share: NDArray[np.float32] = field(repr=False)
    cause: NDArray[np.uint8] = field(repr=False)
    bearing: NDArray[np.int16] = field(repr=False)
    hope: NDArray[np.float32] = field(repr=False)
    looks: int = 0


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
        hope=np.full((size, size), -np.inf, dtype=np.float32),
    )
    if not _touches_land(job, number):
        return found
    window = read_window(job, number)
    near, looks = near_things(job, window), 0
    for part in range(len(job.shifts)):
        looks += _search_part(job, number, window, near, part, found)
    return replace(found, looks=looks)


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


@dataclass(frozen=True, eq=False)
class _Sweep:
    """The places of one shift in their cells, ready to be scanned."""

    job: Job
    part: int
    window: Window
    places: Places
    nodes: NDArray[np.int64]
    free: Flags

    @classmethod
    def of(cls, job: Job, number: int, window: Window, part: int) -> "_Sweep":
        """Judge the places of one shift by what does not depend on the bearing."""
        row, column = _corner(job, number)
        i, j = divmod(part, job.parts)
        rows, columns = np.indices((job.tile, job.tile))
        x, y = job.place(row + rows * job.parts + i, column + columns * job.parts + j)
        nodes = job.margin * (job.width + 1) + (rows * job.width + columns) * job.stride
        tables = job.tables[part]
        hinge = sample(window.heights, tables.base, nodes, job.width) + job.numbers.hinge
        places = judge_places(job, x, y, hinge)
        free = free_bearings(job, tables, x, y, places.alive)
        return cls(job, part, window, places, nodes, free)

    def scan(self, window: Window, wanted: Flags) -> tuple[Shares, Causes, Bearings, int]:
        """Return share, cause and bearing of wanted places, and how many looks that took."""
        from visual.search.scan import scan

        job, part, shape = self.job, self.part, wanted.shape
        share = np.full(shape, -np.inf, dtype=np.float32)
        cause = np.full(shape, Cause.GROUND, dtype=np.uint8)
        bearing = np.full(shape, -1, dtype=np.int16)
        if not wanted.any():
            return share, cause, bearing, 0
        rig = Rig(job.tables[part], job.cover[part], job.numbers, job.level, job.curves)
        looks = scan(
            ground_of(window.heights, window.fields, window.active),
            rig,
            int(self.nodes[0, 0]),
            job.stride,
            wanted,
            self.free,
            window.steepness.ravel()[self.nodes],
            self.places.hinge,
            share,
            cause,
            bearing,
        )
        return share, cause, bearing, int(looks)

    def hope(self, share: Shares, near: Flags) -> tuple[Shares, int]:
        """Return the most that could be left where a bound may have had a say; else −inf."""
        steep = self.window.steepness.ravel()[self.nodes] < GENTLE
        wanted = self.places.alive & ((share <= 0.0) | near.ravel()[self.nodes] | steep)
        hope, _, bearing, looks = self.scan(without_bounds(self.window), wanted)
        most = np.minimum(hope, self.places.share).astype(np.float32)
        return np.where(bearing >= 0, most, np.float32(-np.inf)), looks


def _search_part(
    job: Job, number: int, window: Window, near: Flags, part: int, found: TileFound
) -> int:
    """Search the places of one shift in their cells, and put them where they belong."""
    sweep = _Sweep.of(job, number, window, part)
    share, cause, bearing, looks = sweep.scan(window, sweep.places.alive)
    hope, more = sweep.hope(share, near)
    places = sweep.places
    _join(places, share, cause)
    i, j = divmod(part, job.parts)
    spread = np.s_[i :: job.parts, j :: job.parts]
    found.share[spread] = places.share
    found.cause[spread] = places.cause
    found.bearing[spread] = bearing
    found.hope[spread] = hope
    return looks + more


def _join(places: Places, share: NDArray[np.float32], cause: NDArray[np.uint8]) -> None:
    """Keep the lower of what the place and what its best bearing leave."""
    alive = places.alive
    less = alive & (share < places.share)
    places.share[less] = share[less]
    places.cause[less] = cause[less]
