"""Given places and bearings looked at again in full: double precision, every check, no floor.

A search stops a look as soon as it cannot be the best any more. Here nothing is left out: this
says of each pair what every check leaves, with the same compiled definitions.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.search.causes import SHARES
from visual.search.fields import free_bearings
from visual.search.job import Job
from visual.search.kernel_args import Rig, ground_of
from visual.search.place import judge_places
from visual.search.window import Window, read_window, sample, without_bounds

Array = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Looked:
    """What full looks at some pairs of place and bearing found; n pairs.

    Parameters
    ----------
    share : ndarray, shape (n,)
        What is left of the tightest limit; below 0 it does not work, NaN on unknown ground.
    cause : ndarray of uint8, shape (n,)
        The `Cause` of that.
    shares : ndarray, shape (n, SHARES)
        What the checks that depend on the bearing leave; NaN where one does not apply.
    hitch : ndarray, shape (n, 2)
        Where the hitch of the vehicle begins and ends in front of the base; NaN if it has no place
        or was not looked at. [m]
    """

    share: Array
    cause: NDArray[np.uint8]
    shares: Array = field(repr=False)
    hitch: Array = field(repr=False)

    def part(self, some: slice) -> "Looked":
        """Return some of the pairs."""
        return Looked(self.share[some], self.cause[some], self.shares[some], self.hitch[some])


def look_at(job: Job, rows: Integers, columns: Integers, bearings: Integers) -> Looked:
    """Look in full at given places and bearings of a search.

    Parameters
    ----------
    job : Job
        The search.
    rows, columns : ndarray of int, shape (n,)
        Places, as in the arrays of `Found`.
    bearings : ndarray of int, shape (n,)
        Numbers of their front bearings.
    """
    return _look_at(job, rows, columns, bearings, ways=1)[0]


def look_both_ways(
    job: Job, rows: Integers, columns: Integers, bearings: Integers
) -> tuple[Looked, Looked]:
    """Look in full at given places and bearings, with and without the bounds; see `look_at`.

    Without the bounds on what stands around, and on the slope near the gin pole, what is left is
    the most there can be.
    """
    sure, most = _look_at(job, rows, columns, bearings, ways=2)
    return sure, most


def _look_at(
    job: Job, rows: Integers, columns: Integers, bearings: Integers, *, ways: int
) -> list[Looked]:
    """Look tile by tile, and in each by the shift of the places in their cells."""
    found = [_blank(len(rows)) for _ in range(ways)]
    size = job.tile * job.parts
    tiles = rows // size * job.tiles[1] + columns // size
    parts = rows % job.parts * job.parts + columns % job.parts
    for tile in np.unique(tiles).tolist():
        window = read_window(job, tile)
        windows = (window, without_bounds(window))[:ways]
        for part in np.unique(parts[tiles == tile]).tolist():
            some = np.flatnonzero((tiles == tile) & (parts == part))
            for whole, ground in zip(found, windows, strict=True):
                one = _look_in_tile(
                    job, ground, tile, part, rows[some], columns[some], bearings[some]
                )
                whole.share[some], whole.cause[some] = one.share, one.cause
                whole.shares[some], whole.hitch[some] = one.shares, one.hitch
    return found


def _blank(count: int) -> Looked:
    return Looked(
        np.empty(count), np.empty(count, np.uint8), np.empty((count, SHARES)), np.empty((count, 2))
    )


def _look_in_tile(
    job: Job,
    window: Window,
    tile: int,
    part: int,
    rows: Integers,
    columns: Integers,
    bearings: Integers,
) -> Looked:
    """Look at pairs of one tile whose places have the same shift in their cells."""
    size, (top, left) = job.tile * job.parts, divmod(tile, job.tiles[1])
    i, j = (rows - top * size) // job.parts, (columns - left * size) // job.parts
    nodes = job.margin * (job.width + 1) + (i * job.width + j) * job.stride
    x, y = job.place(rows, columns)
    looked = look_pairs(job, window, part, nodes, x, y, bearings)
    hinge = sample(window.heights, job.tables[part].base, nodes, job.width) + job.numbers.hinge
    places = judge_places(job, x[None, :], y[None, :], hinge[None, :])
    less = places.share[0] < looked.share  # not where that is unknown
    looked.share[less], looked.cause[less] = places.share[0][less], places.cause[0][less]
    return looked


def look_pairs(
    job: Job, window: Window, part: int, nodes: Integers, x: Array, y: Array, bearings: Integers
) -> Looked:
    """Look in full at pairs of one window, leaving out what does not depend on the bearing.

    Parameters
    ----------
    job, window : Job, Window
        The search, and its ground.
    part : int
        Which shift the places have in their cells.
    nodes : ndarray of int, shape (n,)
        Their nodes in the window.
    x, y : ndarray, shape (n,)
        Where they are. [m]
    bearings : ndarray of int, shape (n,)
        Numbers of their front bearings.
    """
    from visual.search.kernel import look_closely, make_room

    tables = job.tables[part]
    hinge = sample(window.heights, tables.base, nodes, job.width) + job.numbers.hinge
    free = free_bearings(job, tables, x[None, :], y[None, :], np.ones((1, len(x)), dtype=bool))
    ground = ground_of(window.heights, window.fields, window.active)
    rig = Rig(tables, job.cover[part], job.numbers, job.level, job.curves)
    steep, room, found = window.steepness.ravel(), make_room(rig), _blank(len(x))
    for k, (at, b) in enumerate(zip(nodes.tolist(), bearings.tolist(), strict=True)):
        may = bool(free[0, k, b]) if free.size else True
        room.found[:] = math.nan
        found.share[k], found.cause[k] = look_closely(
            ground, rig, at, b, float(hinge[k]), float(steep[at]), may, -math.inf, room
        )
        found.shares[k], found.hitch[k] = room.shares, room.found[1:3]
    return found
