"""Exact looks at the best places that only a bound turns down, or makes poorer than they are.

The bounds of the search forget heights. So a place beside a low shed may work though the search
says no. Here the mast is put up at such a place, at its most promising bearings, and held against
the checks themselves: strips, setbacks, gin pole, and the certified clearances of the raise.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.model import Model
from visual.search.exact import look_both_ways
from visual.search.job import Job
from visual.search.spot import Spot

Array = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Batch:
    """A few places of one tile; n places.

    Parameters
    ----------
    rows, columns : ndarray of int, shape (n,)
        Places, as in the arrays of `Found`.
    """

    rows: Integers = field(repr=False)
    columns: Integers = field(repr=False)

    def __len__(self) -> int:
        return len(self.rows)


@dataclass(frozen=True, eq=False)
class Again:
    """What exact looks at a few places found; n places.

    Parameters
    ----------
    batch : Batch
        Which places.
    share : ndarray, shape (n,)
        What the best bearing leaves, as far as looked at.
    cause : ndarray of uint8, shape (n,)
        What leaves so little.
    bearing : ndarray of int16, shape (n,)
        Number of that bearing; −1 where none works.
    hope : ndarray, shape (n,)
        The most that bearings can leave that were not looked at; no less than `share`.
    """

    batch: Batch
    share: Array = field(repr=False)
    cause: NDArray[np.uint8] = field(repr=False)
    bearing: NDArray[np.int16] = field(repr=False)
    hope: Array = field(repr=False)


def look_exactly(model: Model, job: Job, batch: Batch) -> Again:
    """Look exactly at a few places. Batches know nothing of each other.

    Parameters
    ----------
    model : Model
        The site that is searched.
    job : Job
        The search.
    batch : Batch
        The places.
    """
    rows, columns = batch.rows, batch.columns
    count = job.tables[0].bearings.size
    pairs = [np.repeat(one, count) for one in (rows, columns)] + [
        np.tile(np.arange(count), len(rows))
    ]
    sure, most = look_both_ways(job, *pairs)
    found = []
    for k in range(len(rows)):
        some = np.s_[k * count : (k + 1) * count]
        spot = np.array([float(v) for v in job.place(rows[k], columns[k])])
        found.append(Spot(model, job, spot, sure.part(some), most.part(some)).settle())
    share, cause, bearing, hope = (np.array(one) for one in zip(*found, strict=True))
    return Again(batch, share, cause.astype(np.uint8), bearing.astype(np.int16), hope)
