"""Running a search: tiles in a pool of threads, progress, and keeping what is there if stopped."""

import math
import os
import time
from collections.abc import Callable, Iterable
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry.base import BaseGeometry

from visual.errors import InputError
from visual.ground import Lattice
from visual.model import Model, ground_lattice
from visual.rig import SIDES
from visual.search.around import around_of
from visual.search.causes import Cause
from visual.search.found import Found
from visual.search.job import TILE, Job, make_job
from visual.search.land import divide, land_of
from visual.search.short_list import short_list
from visual.search.tile import TileFound, search_tile

SURVEY_CELL = 1.0
"""Most a surveyed surface is read at. [m]"""


@dataclass(frozen=True)
class Progress:
    """How far a search is.

    Parameters
    ----------
    done, total : int
        Tiles, or places of the short list.
    left : float or None
        Estimate of the time left; None while it is not known. [s]
    doing : str
        What is being done.
    """

    done: int
    total: int
    left: float | None
    doing: str


Tell = Callable[[Progress], None]


def search(
    model: Model,
    *,
    within: BaseGeometry | None = None,
    radius: float | None = None,
    step: float = 1.0,
    turn: float = math.radians(5.0),
    top: int = 8,
    threads: int | None = None,
    tile: int = TILE,
    lattice: Lattice | None = None,
    progress: Tell | None = None,
) -> Found:
    """Find where on the land, and which way round, the mast of a model could stand.

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
        How many tiles are worked on at the same time; None for as many as the machine has
        processors.
    tile : int
        Places along the side of a tile: memory grows with its square, results are the same.
    lattice : Lattice or None
        The ground, if it is not that of the site's files.
    progress : callable or None
        Told how far it is.

    Returns
    -------
    Found
        What was found; not complete if it was interrupted.

    Raises
    ------
    InputError
        If no land is left, or the anchors of the site are measured already.
    """
    job, whole = prepare(
        model, within=within, radius=radius, step=step, turn=turn, tile=tile, lattice=lattice
    )
    tell = progress or _quiet
    found = gather(model, job, whole, _tiles(job, threads or os.cpu_count() or 1, tell))
    return replace(found, places=short_list(found, top=top, tell=_told(tell)))


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
    size, done = job.tile * job.parts, 0
    for one in tiles:
        row, column = divmod(one.number, job.tiles[1])
        spot = np.s_[row * size : (row + 1) * size, column * size : (column + 1) * size]
        share[spot], cause[spot], bearing[spot] = one.share, one.cause, one.bearing
        done += 1
    return Found(
        model=model,
        job=job,
        land=divide(whole, job.around, units=model.site.site.units),
        share=share,
        cause=cause,
        bearing=bearing,
        complete=done == job.count,
    )


def _tiles(job: Job, threads: int, tell: Tell) -> Iterable[TileFound]:
    """Yield tiles as they are done; an interrupt ends it and loses nothing that is there."""
    start, done = time.monotonic(), 0
    tell(Progress(0, job.count, None, "searching"))
    with ThreadPoolExecutor(max_workers=threads) as pool:
        numbers = iter(range(job.count))
        running: set[Future[TileFound]] = set()
        try:
            while True:
                # No more waiting than is being worked on: memory stays that of a few tiles.
                for number in numbers:
                    running.add(pool.submit(search_tile, job, number))
                    if len(running) > threads:
                        break
                if not running:
                    return
                ready, running = wait(running, return_when=FIRST_COMPLETED)
                for future in ready:
                    yield future.result()
                    done += 1
                passed = time.monotonic() - start
                left = passed / done * (job.count - done)
                tell(Progress(done, job.count, left, "searching"))
        except KeyboardInterrupt:
            for future in running:
                future.cancel()
            tell(Progress(done, job.count, None, "interrupted: keeping what is found"))


def bearings_in(turn: float) -> int:
    """Return how many bearings a turn makes of a circle; see `search`."""
    count = round(2 * math.pi / turn)
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


def _told(tell: Tell) -> Callable[[int, int], None]:
    start = time.monotonic()

    def told(done: int, total: int) -> None:
        left = (time.monotonic() - start) / done * (total - done) if done else None
        tell(Progress(done, total, left, "checking the best places"))

    return told
