"""Exact looks at the best places that only a bound turns down, or makes poorer than they are.

The bounds of the search forget heights. So a place beside a low shed may work though the search
says no. Here the mast is put up at such a place, at its most promising bearings, and held against
the checks themselves: strips, setbacks, gin pole, and the certified clearances of the raise.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.model import Model
from visual.search.causes import Cause
from visual.search.exact import Looked, look_both_ways
from visual.search.job import Job
from visual.search.plan import OF_PLAN, plan_shares
from visual.search.stand import checks_of, stand_at

Array = NDArray[np.float64]
Integers = NDArray[np.int64]

WORTH = 0.02
"""So much more must be left for a bearing to be worth another exact look."""

MODELS, CERTIFIED = 6, 3
"""At each place so many bearings at most are held against the checks, and so many of them against
all clearances, which takes longest."""

APART = math.radians(12.0)
"""A bearing this near to one that fails is tried later than others."""


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
        found.append(_Place(model, job, spot, _part(sure, some), _part(most, some)).settle())
    share, cause, bearing, hope = (np.array(one) for one in zip(*found, strict=True))
    return Again(batch, share, cause.astype(np.uint8), bearing.astype(np.int16), hope)


def _part(looked: Looked, some: slice) -> Looked:
    """Return some of many looks; unknown ground is the worst there is."""
    share = looked.share[some]
    return Looked(
        np.where(np.isnan(share), -np.inf, share),
        looked.cause[some].copy(),
        looked.shares[some],
        looked.hitch[some],
    )


class _Place:
    """One place: what is sure and what could be at each bearing, until no look is worth it."""

    def __init__(self, model: Model, job: Job, spot: Array, sure: Looked, most: Looked) -> None:
        self.model, self.job, self.spot = model, job, spot
        self.bearings = job.tables[0].bearings
        self.share, self.cause, self.bounds = sure.share, sure.cause, sure.shares
        self.most, self.why = most.share, most.cause
        self.tried = np.zeros(len(self.share), dtype=bool)
        self.certified = 0
        plan = plan_shares(model, job, spot, most.hitch)
        for of, left in zip(OF_PLAN, plan, strict=True):
            less = left < self.most
            self.most[less], self.why[less] = left[less], of
        # A bound that lets a bearing pass is right.
        self.most = np.maximum(self.most, self.share)

    def settle(self) -> tuple[float, int, int, float]:
        """Return share, cause and bearing of the best, and the most that may be left there."""
        stand = None
        while (b := self._next()) is not None:
            stand = stand or stand_at(self.model, self.job, self.spot)
            if stand is None:
                break
            self.tried[b] = True
            self._look(stand.facing(float(self.bearings[b])), b)
        best = int(np.argmax(self.share))
        hope = float(self.most.max())
        if self.share[best] > 0.0:
            return float(self.share[best]), int(self.cause[best]), best, hope
        reasons = np.where(self.most > 0.0, self.cause, self.why)
        return -1.0, int(np.argmax(np.bincount(reasons))), -1, hope

    def _next(self) -> int | None:
        """Return the bearing to look at next; None if none is worth it or it has been enough."""
        best = float(self.share.max())
        worth = ~self.tried & (self.most > (best + WORTH if best > 0.0 else 0.0))
        enough = self.tried.sum() >= MODELS or self.certified >= CERTIFIED
        if enough or not worth.any():
            return None
        # What the bound likes better is the likelier to work.
        rank = self.most + np.maximum(self.share, -1.0)
        for b in np.flatnonzero(self.tried & (self.most <= 0.0)):
            turn = np.abs(
                np.remainder(self.bearings - self.bearings[b] + math.pi, 2 * math.pi) - math.pi
            )
            rank = np.where(turn < APART, rank - 4.0, rank)
        return int(np.argmax(np.where(worth, rank, -np.inf)))

    def _look(self, model: Model, b: int) -> None:
        """Hold one bearing against the checks; what takes long comes last."""
        floor = max(float(self.share.max()), 0.0)

        def needed(cause: Cause) -> bool:
            # not if its bound alone leaves enough; NaN: nothing is near
            return bool(self.bounds[b, cause] < self.most[b])

        for left, cause in checks_of(model, self.job, needed):
            self.certified += cause is Cause.CLEARANCE
            if left < self.most[b]:
                self.most[b], self.why[b] = left, cause
            if self.most[b] <= floor:
                return
        self.share[b], self.cause[b] = self.most[b], self.why[b]
