"""One place looked at exactly: which bearings are worth it, and what the checks say of them."""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from visual.model import Model
from visual.search.causes import Cause
from visual.search.exact import Looked
from visual.search.job import Job
from visual.search.plan import OF_PLAN, plan_shares
from visual.search.stand import Stand, checks_of, stand_at

Array = NDArray[np.float64]

WORTH = 0.02
"""So much more must be left for a bearing to be worth another exact look."""

MODELS, CERTIFIED = 6, 3
"""At each place so many bearings at most are held against the checks, and so many of them against
all clearances, which takes longest."""

APART = math.radians(12.0)
"""A bearing this near to one that fails is tried later than others."""

GAIN = 0.1
"""What works is worth an exact look if so much more may be left."""


class Spot:
    """One place: what is sure and what could be at each bearing, until no look is worth it.

    Parameters
    ----------
    model, job : Model, Job
        The site, and the search.
    spot : ndarray, shape (2,)
        Where it is. [m]
    sure, most : Looked
        All bearings there, looked at in full with and without the bounds.
    """

    def __init__(self, model: Model, job: Job, spot: Array, sure: Looked, most: Looked) -> None:
        self.model, self.job, self.spot = model, job, spot
        self.bearings = job.tables[0].bearings
        self.share, self.cause = _known(sure.share), sure.cause.copy()
        self.bounds = sure.shares
        self.most, self.why = _known(most.share), most.cause.copy()
        self.tried = np.zeros(len(self.share), dtype=bool)
        self.certified = 0
        self.stand: Stand | None = None
        plan = plan_shares(model, job, spot, most.hitch)
        for of, left in zip(OF_PLAN, plan, strict=True):
            less = left < self.most
            self.most[less], self.why[less] = left[less], of
        # A bound that lets a bearing pass is right.
        self.most = np.maximum(self.most, self.share)

    def settle(self) -> tuple[float, int, int, float]:
        """Return share, cause and bearing of the best, and the most that may be left there."""
        while (b := self._next()) is not None:
            self._look(b, floor=max(float(self.share.max()), 0.0))
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

    def settle_each(self, tell: Callable[[int, int], None]) -> None:
        """Look at every bearing that a bound stops or makes clearly poorer, and tell how far."""
        worth = self.most > np.where(self.share > 0.0, self.share + GAIN, 0.0)
        for done, b in enumerate(np.flatnonzero(worth)):
            tell(done, int(worth.sum()))
            self._look(int(b), floor=0.0)

    def _look(self, b: int, *, floor: float) -> None:
        """Hold one bearing against the checks; what takes long comes last."""
        self.tried[b] = True
        self.stand = self.stand or stand_at(self.model, self.job, self.spot)
        if self.stand is None:
            return
        model = self.stand.facing(float(self.bearings[b]))

        def needed(cause: Cause) -> bool:
            # not if its bound alone leaves enough; NaN: nothing is near
            return bool(self.bounds[b, cause] < self.most[b])

        for left, cause in checks_of(model, self.job, needed):
            self.certified += cause is Cause.CLEARANCE
            if left < self.most[b]:
                self.most[b], self.why[b] = left, cause
            if self.most[b] <= floor:
                break
        if self.most[b] > floor or self.most[b] <= 0.0:
            self.share[b], self.cause[b] = self.most[b], self.why[b]


def _known(share: Array) -> Array:
    """Return shares with unknown ground as the worst there is."""
    return np.where(np.isnan(share), -np.inf, share)
