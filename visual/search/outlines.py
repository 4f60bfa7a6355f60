"""Outlines of groups of places, as polygons."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import GeometryCollection
from shapely.geometry.base import BaseGeometry

from visual.search.causes import WORDS, Cause
from visual.search.found import Found


@dataclass(frozen=True)
class Reason:
    """Why a part of the land is lost, and where there is room to say so.

    Parameters
    ----------
    text : str
        Why.
    x, y : float
        Middle of the largest circle in it. [m]
    share : float
        Its area over that of all the land.
    allowed : bool
        True if the rules in plan would allow it.
    """

    text: str
    x: float
    y: float
    share: float
    allowed: bool


CLASSES = (0.75, 0.5, 0.25, 0.0)
"""Lower ends of the classes that what is left is shown in, best first."""


def cells_outline(found: Found, chosen: NDArray[np.bool_]) -> BaseGeometry:
    """Return the outline of the cells around chosen places, cut to the land. [m]

    Parameters
    ----------
    found : Found
        What was found.
    chosen : ndarray of bool, shape (rows, columns)
        Which places.
    """
    if not chosen.any():
        return GeometryCollection()
    padded = np.pad(chosen, ((0, 0), (1, 1))).astype(np.int8)
    rows, first = np.nonzero(np.diff(padded, axis=1) == 1)
    _, last = np.nonzero(np.diff(padded, axis=1) == -1)
    corners = [
        found.job.place(rows + dr, column + dc)
        for dr, column, dc in (
            (-0.5, first, -0.5),
            (-0.5, last, -0.5),
            (0.5, last, -0.5),
            (0.5, first, -0.5),
        )
    ]
    rings = np.stack([np.stack(corner, axis=-1) for corner in corners], axis=1)
    # A hair wider, so that rows that touch become one.
    whole = shapely.union_all(shapely.buffer(shapely.polygons(rings), 1e-3, join_style="mitre"))
    return shapely.intersection(whole, found.land.whole)


def class_outlines(found: Found) -> list[tuple[float, float, BaseGeometry]]:
    """Return the land that works by what is left there: lower end, upper end, outline."""
    ends = [1.0, *CLASSES]
    return [
        (
            low,
            high,
            cells_outline(found, found.works & (found.share >= low) & _below(found, high)),
        )
        for high, low in pairwise(ends)
    ]


def _below(found: Found, high: float) -> NDArray[np.bool_]:
    return np.ones(found.share.shape, dtype=bool) if high >= 1.0 else found.share < high


def failed_outlines(found: Found) -> list[tuple[Cause, BaseGeometry]]:
    """Return the land that the rules in plan allow and no bearing works on, by cause."""
    fails = found.searched & ~found.works
    causes = [Cause(int(cause)) for cause in np.unique(found.cause[fails])]
    told = [c for c in causes if c not in (Cause.BASE_SETBACK, Cause.BASE_PLACE)]
    outlines = [
        (
            cause,
            cells_outline(found, fails & (found.cause == cause)).intersection(found.land.allowed),
        )
        for cause in told
    ]
    return [(cause, outline) for cause, outline in outlines if outline.area > 0]


def lost_reasons(found: Found, *, least: float) -> list[Reason]:
    """Return the reason for each lost part of the land that is large enough.

    Parameters
    ----------
    found : Found
        What was found.
    least : float
        Smallest part that counts, as a share of the land.
    """
    told = [(WORDS[cause].text, outline, True) for cause, outline in failed_outlines(found)]
    told += [(part.reason, part.shape, False) for part in found.land.lost]
    return [
        _reason(text, part, allowed, part.area / found.land.whole.area)
        for text, outline, allowed in told
        for part in shapely.get_parts(outline)
        if part.area >= least * found.land.whole.area
    ]


def _reason(text: str, part: BaseGeometry, allowed: bool, share: float) -> Reason:
    middle = shapely.get_point(shapely.maximum_inscribed_circle(part, tolerance=1.0), 0)
    return Reason(text, float(middle.x), float(middle.y), share, allowed)
