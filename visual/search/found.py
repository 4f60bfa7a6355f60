"""What a search found, in one frozen record."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.checks import Finding
from visual.model import Model
from visual.search.causes import IN_PLAN, WORDS, Cause
from visual.search.job import Job
from visual.search.land import Land

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Place:
    """One place of the short list, fully checked.

    Parameters
    ----------
    rank : int
        1 is best.
    x, y : float
        The base in the local frame of the search. [m]
    easting, northing : float
        The base in the site's CRS.
    front : float
        Grid bearing of the front. [rad]
    share : float
        What the search leaves of the tightest limit, 1 as much as level, open ground.
    cause : Cause
        What leaves so little.
    findings : tuple of Finding
        All findings of the full check there, worst first.
    exact : bool
        True if `share` is from an exact look, not from the bounds of the search.
    """

    rank: int
    x: float
    y: float
    easting: float
    northing: float
    front: float
    share: float
    cause: Cause
    findings: tuple[Finding, ...] = field(repr=False)
    exact: bool = False

    @property
    def stops(self) -> int:
        """How many findings of the full check stop it."""
        return sum(finding.status == "stop" for finding in self.findings)

    @property
    def cautions(self) -> int:
        """How many findings of the full check caution."""
        return sum(finding.status == "caution" for finding in self.findings)

    @property
    def unchecked(self) -> int:
        """How many findings of the full check say that something could not be checked."""
        return sum(finding.status == "not checked" for finding in self.findings)

    @property
    def worst(self) -> tuple[Finding, ...]:
        """Its worst findings that have a margin: stops, then what is nearest to its limit."""
        told = [f for f in self.findings if f.margin is not None]
        return tuple(told[:3])

    @property
    def words(self) -> str:
        """What is tightest there, in words."""
        return WORDS[self.cause].tight


@dataclass(frozen=True, eq=False)
class Found:
    """What a search found.

    Parameters
    ----------
    model : Model
        The site that was searched.
    job : Job
        How it was searched.
    land : Land
        Where.
    share : ndarray of float32, shape (rows, columns)
        What the best bearing leaves at every place; below 0 none works; −inf outside the land and
        where the ground is unknown.
    cause : ndarray of uint8, shape (rows, columns)
        The `Cause` of that.
    bearing : ndarray of int16, shape (rows, columns)
        Number of the best bearing; −1 where none works.
    hope : ndarray of float32, shape (rows, columns)
        The most that may be left, if all that only a bound turns down were right; −inf where
        bounds had no say. What is sure is in `share`.
    looked : ndarray of bool, shape (rows, columns)
        Places that were looked at exactly.
    complete : bool
        False if it was stopped before all tiles and exact looks were done.
    places : tuple of Place
        The short list, best first.
    """

    model: Model = field(repr=False)
    job: Job = field(repr=False)
    land: Land
    share: NDArray[np.float32] = field(repr=False)
    cause: NDArray[np.uint8] = field(repr=False)
    bearing: NDArray[np.int16] = field(repr=False)
    hope: NDArray[np.float32] = field(repr=False)
    looked: NDArray[np.bool_] = field(repr=False)
    complete: bool
    places: tuple[Place, ...] = ()

    @property
    def cell_area(self) -> float:
        """Area that each place stands for. [m²]"""
        lattice = self.job.lattice
        whole = abs(lattice.down[0] * lattice.right[1] - lattice.down[1] * lattice.right[0])
        return float(whole * (self.job.stride / self.job.parts) ** 2)

    @property
    def searched(self) -> NDArray[np.bool_]:
        """Places on the land that were looked at."""
        return np.asarray((self.cause != Cause.LAND) & (self.cause != Cause.NOT_REACHED))

    @property
    def works(self) -> NDArray[np.bool_]:
        """Places where some bearing works."""
        return np.asarray((self.share >= 0.0) & (self.bearing >= 0))

    @property
    def unsure(self) -> NDArray[np.bool_]:
        """Places that do not work, but only by a bound that may be too strict."""
        return np.asarray(self.searched & ~self.works & (self.hope > 0.0))

    def areas(self, *, unsure: bool = False) -> dict[Cause, float]:
        """Return the area that no bearing works on for sure, or only by a bound, by cause. [m²]

        What the rules in plan leave no base on is not in it: `land` tells that exactly.
        """
        fails = self.unsure if unsure else self.searched & ~self.works & ~self.unsure
        causes, counts = np.unique(self.cause[fails], return_counts=True)
        return {
            Cause(int(cause)): float(count) * self.cell_area
            for cause, count in zip(causes, counts, strict=True)
            if cause not in IN_PLAN
        }

    def front(self, row: int, column: int) -> float:
        """Return the best front bearing at a place; NaN where none works. [rad]"""
        number = int(self.bearing[row, column])
        return float(self.job.tables[0].bearings[number]) if number >= 0 else math.nan
