"""Running a search: all tiles, the exact looks, and the short list."""

import math
import os
import time
from collections.abc import Callable, Iterable
from functools import partial

import numpy as np
from shapely.geometry.base import BaseGeometry

from visual.errors import InputError
from visual.ground import Lattice
from visual.model import Model, ground_lattice
from visual.rig import SIDES
from visual.search.again import look_exactly
from visual.search.around import around_of
from visual.search.causes import Cause
from visual.search.choose import LOOKS, choose_looks, take_in
from visual.search.found import Found
from visual.search.job import TILE, Job, make_job
from visual.search.land import divide, land_of
from visual.search.pool import Progress, Tell, in_threads
from visual.search.short_list import MOST_CHECKED, with_short_list
from visual.search.tile import TileFound, search_tile

MOST_BEARINGS = 720

SURVEY_CELL = 1.0
"""Most a surveyed surface is read at. [m]"""


def search(
    model: Model,
    *,
    within: BaseGeometry | None = None,
    radius: float | None = None,
    step: float = 1.0,
    turn: float = math.radians(5.0),
    top: int = 8,
    threads: int | None = None,
    looks: int = LOOKS,
    tile: int = TILE,
    lattice: Lattice | None = None,
    progress: Tell | None = None,
) -> Found:
    """Find where on the land, and which way round, the mast of a model could stand.

    What is found is not complete if it was interrupted.

    Parameters
    ----------
    model : Model
        The mast on its site; where it stands now plays no part.
    within : shapely geometry or None
        Search here only. [m]
    radius : float or None
        Search within this of the base only. [m]
    step : float
        Distance between places at most. [m]
    turn : float
        Between front bearings; must go into 90° without rest. [rad]
    top : int
        Length of the short list.
    threads : int or None
        How many tiles are worked on at the same time; None: as many as there are processors.
    looks : int
        How many places are looked at exactly that only a bound turns down, or makes poorer.
    tile : int
        Places along the side of a tile: memory grows with its square, results are the same.
    lattice : Lattice or None
        The ground, if it is not that of the site's files.
    progress : callable or None
        Told how far it is.

    Raises
    ------
    InputError
        If no land is left, or the anchors of the site are measured already.
    """
    job, whole = prepare(
        model, within=within, radius=radius, step=step, turn=turn, tile=tile, lattice=lattice
    )
    tell, threads = progress or _quiet, threads or os.cpu_count() or 1
    tiles = in_threads(
        partial(search_tile, job), range(job.count), threads=threads, tell=tell, doing="searching"
    )
    found = gather(model, job, whole, tiles)
    if found.complete:
        found = look_again(found, looks=looks, threads=threads, tell=tell)
    return with_short_list(found, top=top, tell=_told(tell, top))


def look_again(found: Found, *, looks: int = LOOKS, threads: int = 1, tell: Tell) -> Found:
    """Look exactly at the best places that bounds turn down; see `choose_looks`."""
    batches = choose_looks(found, looks=looks)
    if not batches:
        return found
    looked = in_threads(
        partial(look_exactly, found.model, found.job),
        batches,
        threads=threads,
        tell=tell,
        doing="looking exactly",
        size=len,
    )
    return take_in(found, looked, count=sum(map(len, batches)))


def prepare(
    model: Model,
    *,
    within: BaseGeometry | None = None,
    radius: float | None = None,
    step: float = 1.0,
    turn: float = math.radians(5.0),
    tile: int = TILE,
    lattice: Lattice | None = None,
) -> tuple[Job, BaseGeometry]:
    """Return the job of a search, whose tiles can be done anywhere, and the land; see `search`."""
    _refuse_measured(model)
    around = around_of(model)
    whole = land_of(model, around, within=within, radius=radius)
    middle = whole.centroid
    if lattice is None:
        lattice = ground_lattice(model, cell=min(step, SURVEY_CELL), near=(middle.x, middle.y))
    return (
        make_job(model, lattice, whole, step=step, bearings=bearings_in(turn), tile=tile),
        whole,
    )


def gather(model: Model, job: Job, whole: BaseGeometry, tiles: Iterable[TileFound]) -> Found:
    """Put tiles together; those that are missing are not reached."""
    share = np.full(job.shape, -np.inf, dtype=np.float32)
    cause = np.full(job.shape, Cause.NOT_REACHED, dtype=np.uint8)
    bearing = np.full(job.shape, -1, dtype=np.int16)
    hope = np.full(job.shape, -np.inf, dtype=np.float32)
    size, done = job.tile * job.parts, 0
    try:
        for one in tiles:
            row, column = divmod(one.number, job.tiles[1])
            spot = np.s_[row * size : (row + 1) * size, column * size : (column + 1) * size]
            share[spot], bearing[spot], hope[spot] = one.share, one.bearing, one.hope
            cause[spot] = one.cause
            done += 1
    except KeyboardInterrupt:
        pass  # what is there is kept
    return Found(
        model=model,
        job=job,
        land=divide(whole, job.around),
        share=share,
        cause=cause,
        bearing=bearing,
        hope=hope,
        looked=np.zeros(job.shape, dtype=bool),
        complete=done == job.count,
    )


def bearings_in(turn: float) -> int:
    """Return how many bearings a turn makes of a circle; see `search`."""
    count = round(2 * math.pi / turn)
    if count > MOST_BEARINGS:
        raise InputError.one(
            file="--turn",
            key="",
            value=f"{math.degrees(turn):g}",
            rule=f"there are more than {MOST_BEARINGS} bearings",
            way_out="give half a degree or more",
        )
    if count < 4 or count % 4 or abs(count * turn - 2 * math.pi) > 1e-9:
        raise InputError.one(
            file="--turn",
            key="",
            value=f"{math.degrees(turn):g}",
            rule="90 degrees must be a whole number of turns",
            way_out="give 1, 2, 3, 5, 6, 9, 10, 15, 18, 30 or 45 degrees",
        )
    return count


def _refuse_measured(model: Model) -> None:
    for side in SIDES:
        if model.rig.anchors[side].built_at is not None:
            raise InputError.one(
                file="site file",
                key=f"anchors.{side}.position",
                value=None,
                rule="the anchor is measured, so the mast has its place",
                way_out="take the measured positions out of a copy of the file and search that",
            )


def _quiet(_: Progress) -> None:
    pass


def _told(tell: Tell, top: int) -> Callable[[int, int], None]:
    """Return what tells of the full checks; how long they take depends on how many fail.

    So the time left is told from what each place that passes took so far, failing ones included.
    """
    start = time.monotonic()

    def told(passed: int, checked: int) -> None:
        most = f", {MOST_CHECKED} at most" if checked > top else ""
        note = f"{checked} checked in full{most}"
        left = (time.monotonic() - start) / passed * (top - passed) if passed else None
        tell(Progress(passed, top, left, "checking the best places", note))

    return told
