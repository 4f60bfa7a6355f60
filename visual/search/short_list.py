"""The short list: the best places that lie well apart, each fully checked where it is."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from scipy.ndimage import uniform_filter

from visual.checks import Report, assess
from visual.model import Model, model_of_site
from visual.search.causes import Cause
from visual.search.found import Found, Place

APART = 1.0
"""Places of the list lie at least so many total heights apart."""

_AROUND = 15  # places along the side of the ground that counts as around a place

MOST_CHECKED = 200
"""So many places at most are fully checked for one list."""

_AGAIN = 0.25
"""Where a full check stops a place, the next try lies at least so many total heights from it."""


def short_list(
    found: Found, *, top: int, tell: Callable[[int, int], None] | None = None
) -> tuple[Place, ...]:
    """Return the best places, well apart, fully checked; those that stop come last.

    The kernels know bounds only, and not all checks. So places are checked, best first, until as
    many as asked for pass; where one stops, its neighbours are still tried.

    Parameters
    ----------
    found : Found
        What the search found.
    top : int
        How many.
    tell : callable or None
        Told how many of them pass so far, and how many places were checked for that: nobody
        knows how many it will take.
    """
    return with_short_list(found, top=top, tell=tell).places


def with_short_list(
    found: Found, *, top: int, tell: Callable[[int, int], None] | None = None
) -> Found:
    """Return what was found with its `short_list`; not complete if that was interrupted."""
    if top < 1:
        return replace(found, places=())
    spots, whole = _Spots(found), False
    checked: list[Place] = []
    passed = 0
    try:
        while passed < top and len(checked) < MOST_CHECKED and (spot := spots.best()) is not None:
            if tell is not None:
                tell(passed, len(checked))
            place = _check(found, *spot)
            checked.append(place)
            passed += place.stops == 0
            spots.take(spot, apart=APART if place.stops == 0 else _AGAIN)
        if tell is not None and checked:
            tell(passed, len(checked))
        whole = True
    except KeyboardInterrupt:
        pass  # what is checked so far is kept
    checked.sort(key=lambda place: (place.stops > 0, -place.share))
    places = tuple(_ranked(place, rank) for rank, place in enumerate(checked[:top], start=1))
    return replace(found, places=places, complete=found.complete and whole)


class _Spots:
    """The places that work by the bounds, without those near places taken.

    Land may hold a hundred million places: eight bytes for each, and no list of them.
    """

    def __init__(self, found: Found) -> None:
        share = np.where(found.works, found.share, np.float32(0.0))
        # Of places that leave the same, the one with the best ground around it comes first.
        self._around = uniform_filter(share, size=_AROUND, mode="constant")
        self._left = np.where(found.works, found.share, np.float32(-np.inf))
        self._job = found.job

    def best(self) -> tuple[int, int] | None:
        """Return row and column of the best place that is left, if any is."""
        most = self._left.max()
        if most < 0.0:
            return None
        alike = np.where(self._left == most, self._around, np.float32(-np.inf))
        row, column = np.unravel_index(int(alike.argmax()), alike.shape)
        return int(row), int(column)

    def take(self, spot: tuple[int, int], *, apart: float) -> None:
        """Take out a place, and with it all that are less than so many total heights from it."""
        away = apart * self._job.numbers.total_height
        box = tuple(
            slice(max(k - n, 0), k + n + 1) for k, n in zip(spot, self._reach(away), strict=True)
        )
        rows, columns = np.ogrid[box]
        x, y = self._job.place(rows, columns)
        east, north = self._job.place(*spot)
        self._left[box][np.hypot(x - east, y - north) < away] = -np.inf
        self._left[spot] = -np.inf

    def _reach(self, away: float) -> tuple[int, int]:
        """Return over how many rows and columns a distance [m] can reach."""
        lattice = self._job.lattice
        steps = np.linalg.inv(np.stack([lattice.down, lattice.right], axis=1))
        share = self._job.parts / self._job.stride
        rows, columns = np.ceil(away * share * np.hypot(steps[:, 0], steps[:, 1])).astype(int) + 1
        return int(rows), int(columns)


def model_at(model: Model, x: float, y: float, front: float) -> Model:
    """Return the model of the same site with the mast elsewhere, as if its site file said so.

    Parameters
    ----------
    model : Model
        The site.
    x, y : float
        The base, in the model's local frame. [m]
    front : float
        Grid bearing of the front. [rad]
    """
    easting, northing = (float(value) for value in model.frame.to_grid(x, y))
    site = model.site
    mast = site.mast.model_copy(update={"position": (easting, northing), "front": front})
    return model_of_site(site.model_copy(update={"mast": mast}))


def report_at(model: Model, x: float, y: float, front: float) -> Report:
    """Return the full check of a mast elsewhere; see `model_at`."""
    return assess(model_at(model, x, y, front))


def _check(found: Found, row: int, column: int) -> Place:
    x, y = (float(value) for value in found.job.place(np.array(row), np.array(column)))
    front = found.front(row, column)
    easting, northing = (float(value) for value in found.model.frame.to_grid(x, y))
    return Place(
        rank=0,
        x=x,
        y=y,
        easting=easting,
        northing=northing,
        front=front,
        share=float(found.share[row, column]),
        cause=Cause(int(found.cause[row, column])),
        findings=report_at(found.model, x, y, front).findings,
        exact=bool(found.looked[row, column]),
    )


def _ranked(place: Place, rank: int) -> Place:
    return replace(place, rank=rank)
