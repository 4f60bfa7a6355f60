"""The rose of bearings at one spot: which ways round work there, and what stops the others."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Point

from visual.ground import Lattice
from visual.model import Model, ground_lattice
from visual.search.around import around_of
from visual.search.causes import Cause
from visual.search.cover import make_cover
from visual.search.exact import look_pairs
from visual.search.job import Job, make_job
from visual.search.place import judge_places
from visual.search.run import bearings_in
from visual.search.spot import Spot
from visual.search.tables import looker, make_tables
from visual.search.window import read_window, sample, without_bounds

Array = NDArray[np.float64]

_TILE = 8

FINE_CELL = 0.5
"""What a surveyed surface is read at where only one spot is looked at. [m]"""


@dataclass(frozen=True, eq=False)
class Rose:
    """All front bearings at one spot.

    Parameters
    ----------
    x, y : float
        The spot, in the model's local frame. [m]
    bearings : ndarray, shape (n,)
        Front bearings. [rad]
    share : ndarray, shape (n,)
        What each leaves of its tightest limit; below 0 it does not work, NaN where the ground is
        not known. What does not depend on the bearing is not in it.
    cause : ndarray of uint8, shape (n,)
        The `Cause` of that.
    shares : ndarray, shape (n, SHARES)
        What is left by cause, by the bounds; NaN where a check does not apply.
    place_share : float
        What the spot leaves whatever the bearing; −inf outside the land.
    place_cause : Cause
        The cause of that.
    """

    x: float
    y: float
    bearings: Array = field(repr=False)
    share: Array = field(repr=False)
    cause: NDArray[np.uint8] = field(repr=False)
    shares: Array = field(repr=False)
    place_share: float
    place_cause: Cause

    @property
    def works(self) -> NDArray[np.bool_]:
        """Bearings that work, if the spot itself does."""
        return np.asarray(self.share > 0.0)

    @property
    def left(self) -> Array:
        """What place and bearing leave together, shape (n,): as a short list tells it."""
        return np.minimum(self.share, self.place_share)

    @property
    def best(self) -> int | None:
        """Number of the best bearing that works; None if none does."""
        if not self.works.any():
            return None
        return int(np.nanargmax(np.where(self.works, self.share, -np.inf)))


def _quiet(_: int, __: int) -> None:
    pass


def rose_at(
    model: Model,
    x: float = 0.0,
    y: float = 0.0,
    *,
    turn: float = math.radians(5.0),
    lattice: Lattice | None = None,
    exact: bool = True,
    tell: Callable[[int, int], None] = _quiet,
) -> Rose:
    """Look closely at every front bearing at one spot.

    Parameters
    ----------
    model : Model
        The mast on its site; where it stands and how it is turned now plays no part.
    x, y : float
        The spot in the model's local frame. [m]
    turn : float
        Between bearings; must go into 90° without rest. [rad]
    lattice : Lattice or None
        The ground, if it is not that of the site's files.
    exact : bool
        Look exactly, with the checks, at bearings that only a bound stops or makes clearly poorer.
    tell : callable
        Told how many of them are done, and how many there are.

    Raises
    ------
    InputError
        If `turn` does not.
    """
    lattice = lattice or ground_lattice(model, cell=FINE_CELL, near=(x, y))
    job = _spot_job(model, lattice, x, y, bearings_in(turn))
    window = read_window(job, 0)
    node, spot = np.array([job.margin * (job.width + 1)]), np.array([x, y])
    hinge = sample(window.heights, job.tables[0].base, node, job.width) + job.numbers.hinge
    places = judge_places(job, spot[None, :1], spot[None, 1:], hinge[None, :])
    count = job.tables[0].bearings.size
    nodes, east, north = (np.repeat(one, count) for one in (node, spot[:1], spot[1:]))
    sure, most = (
        look_pairs(job, ground, 0, nodes, east, north, np.arange(count))
        for ground in (window, without_bounds(window))
    )
    share, cause = sure.share, sure.cause
    if exact and places.share[0, 0] >= 0.0:
        looks = Spot(model, job, spot, sure, most)
        looks.settle_each(tell)
        share = np.where(looks.tried, looks.share, share)
        cause = np.where(looks.tried, looks.cause, cause)
    return Rose(
        x=x,
        y=y,
        bearings=job.tables[0].bearings,
        share=share,
        cause=cause,
        shares=sure.shares,
        place_share=float(places.share[0, 0]),
        place_cause=Cause(int(places.cause[0, 0])),
    )


def _spot_job(model: Model, lattice: Lattice, x: float, y: float, bearings: int) -> Job:
    """Return a search of one place, which lies exactly on the spot."""
    around = around_of(model)
    land = around.land if around.land is not None else Point(x, y).buffer(1.0)
    job = make_job(
        model, lattice, Point(x, y).buffer(0.1), step=lattice.cell, bearings=bearings, tile=_TILE
    )
    row, column = (float(value) for value in lattice.index(np.array(x), np.array(y)))
    first = math.floor(row), math.floor(column)
    shift = row - first[0], column - first[1]
    tables = make_tables(
        lattice, job.numbers, job.balls, bearings=bearings, shift=shift, width=job.width
    )
    look = looker(lattice, shift, job.width)
    cover = make_cover(model, job.numbers, look, tables.bearings)
    return replace(
        job, land=land, tables=(tables,), cover=(cover,), shifts=(shift,), first=first, tiles=(1, 1)
    )


def rose_lines(rose: Rose) -> list[str]:
    """Return a rose as text: ranges of bearings that work, and what stops the others."""
    from visual.search.causes import WORDS

    lines = []
    if rose.place_share < 0:
        lines.append(f"Whatever the bearing, this spot is out: {WORDS[rose.place_cause].text}.")
    elif rose.works.any() and rose.place_share < np.nanmax(rose.share):
        left = f"{100 * rose.place_share:.0f} % is left here at most"
        lines.append(f"Whatever the bearing, {left}: {WORDS[rose.place_cause].tight}.")
    for first, last, cause in spans_of(rose):
        share = rose.left[np.arange(first, last + 1) % rose.share.size]
        if cause is not None:
            text = WORDS[cause].text
        elif rose.place_share < 0:
            text = "stopped by the spot alone"
        else:
            text = f"works, {100 * np.nanmax(share):.0f} % left at best"
        a, b = (math.degrees(rose.bearings[i % rose.share.size]) for i in (first, last))
        to = f" to {b:03.0f}°" if last > first else ""
        lines.append(f"  {f'{a:03.0f}°{to}':<12}  {text}")
    return lines


def spans_of(rose: Rose) -> list[tuple[int, int, Cause | None]]:
    """Return runs of bearings alike: first, last (may pass the end), and what stops them."""
    kinds = [None if w else Cause(int(c)) for w, c in zip(rose.works, rose.cause, strict=True)]
    count = len(kinds)
    starts = [i for i in range(count) if kinds[i] != kinds[i - 1]]
    if not starts:
        return [(0, count - 1, kinds[0])]
    ends = [*starts[1:], starts[0] + count]
    return [(a, b - 1, kinds[a]) for a, b in zip(starts, ends, strict=True)]
