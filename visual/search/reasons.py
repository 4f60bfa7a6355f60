"""What stands in the way at every place of a search, in words, place by place."""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.search.causes import IN_PLAN, WORDS, Cause
from visual.search.found import Found
from visual.units import Sentence, say

Kind = Literal["works", "fails", "lost"]

NOTHING = 255
"""Number of places outside the land, or not looked at."""


@dataclass(frozen=True)
class Said:
    """One thing that is tightest, or stands in the way, at some of the places.

    Parameters
    ----------
    kind : {"works", "fails", "lost"}
        A bearing works there; the rules in plan allow the place but no bearing works; they do not.
    check : str
        The check that says so.
    text : Sentence
        What it is, in words.
    area : float
        How much of the land. [m²]
    """

    kind: Kind
    check: str
    text: Sentence
    area: float


@dataclass(frozen=True, eq=False)
class Reasons:
    """What is said at every place.

    Parameters
    ----------
    said : tuple of Said
        Everything that is said anywhere.
    number : ndarray of uint8, shape (rows, columns)
        Which of it holds at a place; `NOTHING` where nothing is said.
    """

    said: tuple[Said, ...]
    number: NDArray[np.uint8] = field(repr=False)


def reasons_of(found: Found) -> Reasons:
    """Return what is tightest or stands in the way at every place of a search."""
    number = np.full(found.share.shape, NOTHING, dtype=np.uint8)
    said: list[Said] = []

    def tell(kind: Kind, check: str, text: Sentence, places: NDArray[np.bool_]) -> None:
        count = np.count_nonzero(places)
        if count and len(said) < NOTHING:
            number[places] = len(said)
            said.append(Said(kind, check, text, float(count) * found.cell_area))

    works, searched = found.works, found.searched
    for kind, places in (("works", works), ("fails", searched & ~works)):
        for value in np.unique(found.cause[places]):
            words, here = WORDS[Cause(int(value))], places & (found.cause == value)
            if kind == "works":
                tell("works", words.check, say(words.tight), here)
            else:  # what the rules in plan leave no base on says so with its distance, below
                tell("lost" if value in IN_PLAN else "fails", words.check, say(words.text), here)
    rows, columns = np.nonzero(searched & ~works)
    x, y = found.job.place(rows, columns)
    for part in found.land.lost:
        inside = shapely.contains_xy(part.shape, x, y)
        there = np.zeros(number.shape, dtype=bool)
        there[rows[inside], columns[inside]] = True
        tell("lost", part.check, part.reason, there)
    return _without_empty(said, number, found.cell_area)


def _without_empty(said: list[Said], number: NDArray[np.uint8], cell: float) -> Reasons:
    """Leave out what something more exact has taken all the places of."""
    counts = np.bincount(number[number != NOTHING], minlength=len(said))
    kept = [k for k in range(len(said)) if counts[k]]
    renumbered = np.full(NOTHING + 1, NOTHING, dtype=np.uint8)
    renumbered[kept] = np.arange(len(kept))
    told = tuple(
        Said(said[k].kind, said[k].check, said[k].text, float(counts[k]) * cell) for k in kept
    )
    return Reasons(told, renumbered[number])
