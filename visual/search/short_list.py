"""The short list: the best places that lie well apart, each fully checked where it is."""

from collections.abc import Callable, Iterator
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

SPARES = 2
"""How many more places than asked for are checked, so that a stop costs no place on the list."""


def short_list(
    found: Found, *, top: int, tell: Callable[[int, int], None] | None = None
) -> tuple[Place, ...]:
    """Return the best places, well apart, fully checked; those that stop come last.

    Parameters
    ----------
    found : Found
        What the search found.
    top : int
        How many.
    tell : callable or None
        Told how many of how many are checked.
    """
    spots = list(best_spots(found, count=top + SPARES)) if top > 0 else []
    checked = []
    try:
        for done, (row, column) in enumerate(spots):
            if tell is not None:
                tell(done, len(spots))
            checked.append(_check(found, row, column))
    except KeyboardInterrupt:
        pass  # what is checked so far is kept
    checked.sort(key=lambda place: (place.stops > 0, -place.share))
    return tuple(_ranked(place, rank) for rank, place in enumerate(checked[:top], start=1))


def best_spots(found: Found, *, count: int) -> Iterator[tuple[int, int]]:
    """Yield rows and columns of the best places that lie well apart, best first."""
    apart = APART * found.job.numbers.total_height
    rows, columns = np.nonzero(found.works)
    # Of places that leave the same, the one with the best ground around it comes first.
    around = uniform_filter(np.where(found.works, found.share, 0.0), size=_AROUND, mode="constant")
    left = found.share[rows, columns].astype(float)
    order = np.lexsort((columns, rows, -around[rows, columns], -left))
    rows, columns = rows[order], columns[order]
    x, y = found.job.place(rows, columns)
    free = np.ones(rows.size, dtype=bool)
    for _ in range(count):
        if not free.any():
            return
        i = int(np.argmax(free))
        yield int(rows[i]), int(columns[i])
        free &= np.hypot(x - x[i], y - y[i]) >= apart


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
    )


def _ranked(place: Place, rank: int) -> Place:
    return replace(place, rank=rank)
