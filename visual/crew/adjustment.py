"""Least squares: the points that fit all readings best, and how well they are known.

Weighted least squares by damped Gauss–Newton steps (Levenberg 1944, Marquardt 1963). Standardised
residuals, redundancy numbers and the naming of a blunder after W. Baarda, A testing procedure for
use in geodetic networks, Netherlands Geodetic Commission 1968 (from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.special import gammaincinv

from visual.crew.network import Array, Network
from visual.crew.readings import Reading

SUSPECT = 3.29
"""A standardised residual beyond this comes up by chance once in 1000: Baarda's α = 0.001."""

UNCHECKED = 0.05
"""A reading whose redundancy is below this is checked by no other: a slip in it stays hidden."""

RANK_TOLERANCE = 1e-7
"""Singular values below this share of the largest mean that something is not settled."""

EQUALLY_GOOD = 3.84
"""A reading whose removal helps less by no more than this explains a slip as well; the 95 % point
of chi-squared with one degree of freedom."""


@dataclass(frozen=True)
class Adjustment:
    """The best fit.

    Parameters
    ----------
    network : Network
        What was fitted.
    unknowns : ndarray, shape (n,)
        Points and extras. [m] and [rad]
    covariance : ndarray, shape (n, n)
        Of the unknowns, from the stated standard deviations of the readings.
    misfit : ndarray, shape (m,)
        Computed minus read, in standard deviations.
    redundancy : ndarray, shape (m,)
        How far each equation is checked by the others, 0 (not at all) to 1 (wholly).
    loose : ndarray, shape (k, n)
        Directions in which the unknowns can move without any reading noticing.
    """

    network: Network
    unknowns: Array = field(repr=False)
    covariance: Array = field(repr=False)
    misfit: Array = field(repr=False)
    redundancy: Array = field(repr=False)
    loose: Array = field(repr=False)

    @property
    def chi_squared(self) -> float:
        """Sum of squares of the misfit. [1]"""
        return float(self.misfit @ self.misfit)

    @property
    def freedom(self) -> int:
        """Equations beyond those that are needed."""
        return len(self.misfit) - len(self.unknowns) + len(self.loose)

    @property
    def standardised(self) -> Array:
        """Residuals in their own standard deviations, shape (m,); 0 where nothing checks."""
        checked = self.redundancy > UNCHECKED
        root = np.sqrt(np.where(checked, self.redundancy, 1.0))
        return np.where(checked, self.misfit / root, 0.0)

    @property
    def scatter(self) -> float:
        """Size of the residuals over what was stated, S₀; 1 as expected, NaN without checks."""
        return math.sqrt(self.chi_squared / self.freedom) if self.freedom > 0 else math.nan

    @property
    def fits(self) -> bool:
        """True if the residuals as a whole are no larger than chance makes them."""
        return self.freedom <= 0 or bool(
            # the chi-squared distribution is a gamma distribution of half the freedom
            self.chi_squared <= 2 * gammaincinv(self.freedom / 2, 0.999)
        )


@dataclass(frozen=True)
class Suspect:
    """A reading that does not go with the others.

    Parameters
    ----------
    reading : Reading
        The reading.
    standardised : float
        Its standardised residual. [1]
    slip : float
        How much it is off, by the others: read minus right. [m] or [rad]
    or_else : tuple of Reading
        Readings that would explain it as well.
    """

    reading: Reading
    standardised: float
    slip: float
    or_else: tuple[Reading, ...]


def adjust(network: Network, start: Array) -> Adjustment:
    """Return the best fit near a starting point, shape (n,)."""
    unknowns, damping = start.astype(float), 1e-4
    misfit, rates = network.misfit(unknowns)
    for _ in range(200):
        step = _step(misfit, rates, damping)
        tried, tried_rates = network.misfit(unknowns + step)
        if tried @ tried <= misfit @ misfit + 1e-12:
            unknowns, misfit, rates = unknowns + step, tried, tried_rates
            damping = max(damping / 10, 1e-12)
            if np.abs(step).max(initial=0.0) < 1e-9:
                break
        else:
            damping *= 10
            if damping > 1e12:
                break
    return _judged(network, unknowns, misfit, rates)


def _step(misfit: Array, rates: Array, damping: float) -> Array:
    normal = rates.T @ rates
    scale = np.diag(normal).max(initial=1.0) if normal.size else 1.0
    damped = normal + damping * np.diag(np.diag(normal)) + 1e-12 * scale * np.eye(len(normal))
    return np.asarray(-np.linalg.solve(damped, rates.T @ misfit), dtype=np.float64)


def _judged(network: Network, unknowns: Array, misfit: Array, rates: Array) -> Adjustment:
    left, sizes, right = np.linalg.svd(rates, full_matrices=True)
    rank = int((sizes > RANK_TOLERANCE * sizes.max(initial=0.0)).sum())
    turned = right[:rank] / sizes[:rank, np.newaxis]
    hat = (left[:, :rank] ** 2).sum(axis=1)
    return Adjustment(
        network=network,
        unknowns=unknowns,
        covariance=turned.T @ turned,
        misfit=misfit,
        redundancy=np.clip(1.0 - hat, 0.0, 1.0),
        loose=right[rank:],
    )


def find_suspects(
    adjustment: Adjustment, *, most: int = 3
) -> tuple[Adjustment, tuple[Suspect, ...]]:
    """Name the readings that do not go with the others, worst first, and fit without them.

    Each time the largest standardised residuals are candidates; of these the reading is named
    without which the rest fits best.
    """
    suspects: list[Suspect] = []
    while len(suspects) < most:
        found = _worst(adjustment)
        if found is None:
            break
        suspect, adjustment = found
        suspects.append(suspect)
    return adjustment, tuple(suspects)


def _worst(adjustment: Adjustment) -> tuple[Suspect, Adjustment] | None:
    standardised = np.abs(adjustment.standardised)
    if standardised.max(initial=0.0) <= SUSPECT:
        return None
    candidates = _candidates(adjustment, standardised)
    without = [
        adjust(adjustment.network.without([reading]), adjustment.unknowns) for reading in candidates
    ]
    order = sorted(range(len(without)), key=lambda k: without[k].chi_squared)
    best = order[0]
    alike = [
        candidates[k]
        for k in order[1:]
        if without[k].chi_squared - without[best].chi_squared < EQUALLY_GOOD
    ]
    reading = candidates[best]
    rows = [k for k, e in enumerate(adjustment.network.equations) if e.reading == reading]
    row = max(rows, key=lambda k: standardised[k])
    equation = adjustment.network.equations[row]
    slip = -adjustment.misfit[row] * equation.sigma / max(adjustment.redundancy[row], UNCHECKED)
    suspect = Suspect(
        reading=reading,
        standardised=float(-adjustment.standardised[row]),
        slip=float(slip),
        or_else=tuple(alike),
    )
    return suspect, without[best]


def _candidates(adjustment: Adjustment, standardised: Array) -> Sequence[Reading]:
    """Return the readings with the largest standardised residuals, each once."""
    order = np.argsort(-standardised)[:8]
    readings = [
        adjustment.network.equations[k].reading
        for k in order
        if standardised[k] > SUSPECT / 2
        and adjustment.network.equations[k].reading.kind != "ground"
    ]
    return tuple(dict.fromkeys(readings)) or (adjustment.network.equations[int(order[0])].reading,)
