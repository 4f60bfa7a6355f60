"""Given places and bearings looked at again in full: double precision, every check, no floor.

A search stops a look as soon as it cannot be the best any more. Here nothing is left out: this
says of each pair what every check leaves, with the same compiled definitions.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.search.causes import SHARES, Cause
from visual.search.fields import free_bearings
from visual.search.job import Job
from visual.search.kernel_args import Rig, ground_of
from visual.search.place import judge_places
from visual.search.tile import read_window, sample

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
    """

    share: Array
    cause: NDArray[np.uint8]
    shares: Array = field(repr=False)


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
    share, cause = np.empty(len(rows)), np.empty(len(rows), np.uint8)
    shares = np.empty((len(rows), SHARES))
    size = job.tile * job.parts
    tiles = rows // size * job.tiles[1] + columns // size
    parts = rows % job.parts * job.parts + columns % job.parts
    for tile, part in sorted(set(zip(tiles.tolist(), parts.tolist(), strict=True))):
        some = np.flatnonzero((tiles == tile) & (parts == part))
        one = _look_in_tile(job, tile, part, rows[some], columns[some], bearings[some])
        share[some], cause[some], shares[some] = one.share, one.cause, one.shares
    return Looked(share, cause, shares)


def _look_in_tile(
    job: Job, tile: int, part: int, rows: Integers, columns: Integers, bearings: Integers
) -> Looked:
    """Look at pairs of one tile whose places have the same shift in their cells."""
    from visual.search.kernel import look_closely, make_room

    size, (top, left) = job.tile * job.parts, divmod(tile, job.tiles[1])
    window, tables = read_window(job, tile), job.tables[part]
    i, j = (rows - top * size) // job.parts, (columns - left * size) // job.parts
    nodes = job.margin * (job.width + 1) + (i * job.width + j) * job.stride
    x, y = (one[None, :] for one in job.place(rows, columns))
    hinge = sample(window.heights, tables.base, nodes, job.width) + job.numbers.hinge
    places = judge_places(job, x, y, hinge[None, :])
    free = free_bearings(job, tables, x, y, np.ones(x.shape, dtype=bool))
    ground = ground_of(window.heights, window.fields, window.active)
    rig, steep = (
        Rig(tables, job.cover[part], job.numbers, job.level, job.curves),
        window.steepness.ravel(),
    )
    room = make_room(rig)
    share, cause = places.share[0].astype(float), places.cause[0].copy()
    shares = np.empty((len(rows), SHARES))
    for k, (at, b) in enumerate(zip(nodes.tolist(), bearings.tolist(), strict=True)):
        may = bool(free[0, k, b]) if free.size else True
        found, why = look_closely(
            ground, rig, at, b, float(hinge[k]), float(steep[at]), may, -math.inf, room
        )
        shares[k] = room.shares
        if math.isnan(found) or found < share[k]:
            share[k], cause[k] = found, Cause.GROUND if math.isnan(found) else why
    return Looked(share, cause, shares)
