"""Which places are looked at exactly, and what was found there taken into what was found."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from visual.search.again import Again, Batch
from visual.search.found import Found
from visual.search.job import Job
from visual.search.spot import GAIN

Integers = NDArray[np.int64]

LOOKS = 200
"""So many places of the whole land are looked at exactly."""

TOGETHER = 4
"""Places of one tile that are looked at together: its ground is read once for them."""

_WIDER = 1.25


def choose_looks(found: Found, *, looks: int = LOOKS) -> tuple[Batch, ...]:
    """Choose the places where a bound costs most, well spread; the best first.

    A place is worth a look if it could work and does not by the bounds, or could have clearly more
    left. If there are more of them than looks, the land is divided in squares just so large that
    the best of each square is looked at.

    Parameters
    ----------
    found : Found
        What the search found.
    looks : int
        How many places at most.
    """
    sure = np.where(found.works, found.share, 0.0)
    gain = found.hope - sure
    rows, columns = np.nonzero((found.hope > 0.0) & (gain > np.where(found.works, GAIN, 0.0)))
    worth = found.hope[rows, columns] + gain[rows, columns]
    order = np.lexsort((columns, rows, -worth))
    rows, columns = rows[order], columns[order]
    side = 1.0
    best = np.arange(len(rows))
    while len(best) > max(looks, 0):
        side *= _WIDER
        if side > 4 * max(found.share.shape):
            best = best[: max(looks, 0)]
            break
        square = rows // side * found.share.shape[1] + columns // side
        best = np.sort(np.unique(square, return_index=True)[1])
    return _batches(found.job, rows[best], columns[best])


def _batches(job: Job, rows: Integers, columns: Integers) -> tuple[Batch, ...]:
    """Put places of the same tile together, a few at a time, in the order of the first of each."""
    size = job.tile * job.parts
    tiles = rows // size * job.tiles[1] + columns // size
    batches = [
        some[k : k + TOGETHER]
        for tile in np.unique(tiles)
        for some in (np.flatnonzero(tiles == tile),)
        for k in range(0, len(some), TOGETHER)
    ]
    return tuple(Batch(rows[k], columns[k]) for k in sorted(batches, key=lambda one: int(one[0])))


def take_in(found: Found, looked: Iterable[Again], *, count: int) -> Found:
    """Return what was found with what exact looks found in place of what bounds said.

    Parameters
    ----------
    found : Found
        What the search found.
    looked : iterable of Again
        What exact looks found.
    count : int
        How many places were to be looked at; fewer, and it was interrupted.
    """
    share, cause, bearing = found.share.copy(), found.cause.copy(), found.bearing.copy()
    hope, seen, done = found.hope.copy(), found.looked.copy(), 0
    try:
        for one in looked:
            done += len(one.batch)
            spot = one.batch.rows, one.batch.columns
            seen[spot], hope[spot] = True, one.hope
            # What a bound lets pass is right: a look can only add to it.
            better = (one.bearing >= 0) & (one.share > share[spot])
            told = better | ((one.bearing < 0) & ~found.works[spot])
            spot = one.batch.rows[told], one.batch.columns[told]
            share[spot], cause[spot] = one.share[told], one.cause[told]
            bearing[spot] = one.bearing[told]
    except KeyboardInterrupt:
        pass  # what is there is kept
    return replace(
        found,
        share=share,
        cause=cause,
        bearing=bearing,
        hope=hope,
        looked=seen,
        complete=found.complete and done == count,
    )
