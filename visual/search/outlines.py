"""Outlines of groups of places, as polygons."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import GeometryCollection
from shapely.geometry.base import BaseGeometry

from visual.search.causes import IN_PLAN, WORDS, Cause, unsure_text
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
    small : bool
        True if a text has no room in it.
    """

    text: str
    x: float
    y: float
    share: float
    allowed: bool
    small: bool = False


_CELLS = 4  # a part of fewer cells is a matter of the step, and is not spoken of
_KEEP_OFF = 10.0  # so much worse is text on land that is allowed than on land of another reason
_TRIED = 24  # spots along each side of a part where its text could stand

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


@dataclass(frozen=True)
class Failed:
    """Land that the rules in plan allow and no bearing works on.

    Parameters
    ----------
    cause : Cause
        What stops most bearings there.
    unsure : bool
        True if only a bound says so that may be too strict.
    outline : shapely geometry
        The land. [m]
    """

    cause: Cause
    unsure: bool
    outline: BaseGeometry

    @property
    def text(self) -> str:
        """Why, in words."""
        return unsure_text(self.cause) if self.unsure else WORDS[self.cause].text


def failed_outlines(found: Found) -> list[Failed]:
    """Return the land that the rules in plan allow and no bearing works on, by cause."""
    unsure = found.unsure
    sure = found.searched & ~found.works & ~unsure
    failed = [
        Failed(
            cause,
            some is unsure,
            cells_outline(found, some & (found.cause == cause)).intersection(found.land.allowed),
        )
        for some in (sure, unsure)
        for cause in (Cause(int(one)) for one in np.unique(found.cause[some]))
        if cause not in IN_PLAN
    ]
    return [one for one in failed if one.outline.area > 0]


Ways = Callable[[str], Sequence[tuple[str, float, float]]]
"""Tells the ways in which a text can be broken, and how wide and high each is on the land. [m]"""


def lost_reasons(
    found: Found, *, least: float, ways: Ways, shown: tuple[float, float, float, float]
) -> list[Reason]:
    """Return the reason for each lost part of the land that is large enough.

    What has no such part is said at its largest one, so that nothing is lost without a word. What
    stands on the land itself is seen, and has its name.

    Parameters
    ----------
    found : Found
        What the search found.
    least : float
        Smallest part that has room for a text, as a share of the land.
    ways : callable
        How a text can be written: it keeps off the land that is allowed, as far as it can.
    shown : tuple of float
        West, south, east and north end of what is drawn. [m]
    """
    told = [(one.text, one.outline, True) for one in failed_outlines(found)]
    units = found.model.site.site.units
    told += [
        (part.reason.in_units(units, space="\N{NO-BREAK SPACE}"), part.shape, False)
        for part in found.land.lost
        if part.check != "base place"
    ]
    reasons = []
    for text, outline, allowed in told:
        parts = shapely.get_parts(outline.intersection(shapely.box(*shown)))
        parts = parts[shapely.area(parts) >= _CELLS * found.cell_area]
        large = parts[shapely.area(parts) >= least * found.land.whole.area]
        reasons += [_reason(found, ways(text), part, allowed) for part in large]
        if len(parts) and not len(large):
            largest = parts[int(np.argmax(shapely.area(parts)))]
            reasons.append(_small_reason(found, text, largest, allowed))
    return reasons


def _small_reason(found: Found, text: str, part: BaseGeometry, allowed: bool) -> Reason:
    share = part.area / found.land.whole.area
    return Reason(text, *_middle(part), share, allowed, small=True)


def _middle(part: BaseGeometry) -> tuple[float, float]:
    """Return the middle of the largest circle in a part. [m]"""
    middle = shapely.get_point(shapely.maximum_inscribed_circle(part, tolerance=1.0), 0)
    return float(middle.x), float(middle.y)


def _reason(
    found: Found, ways: Sequence[tuple[str, float, float]], part: BaseGeometry, allowed: bool
) -> Reason:
    share, first = part.area / found.land.whole.area, _middle(part)
    if allowed:
        return Reason(ways[0][0], *first, share, allowed)
    spots = [(*_clear_spot(part, found.land.allowed, size, first), text) for text, *size in ways]
    _, x, y, text = max(spots, key=lambda spot: spot[0])
    return Reason(text, x, y, share, allowed)


def _clear_spot(
    part: BaseGeometry, off: BaseGeometry, size: Sequence[float], first: tuple[float, float]
) -> tuple[float, float, float]:
    """Return where in a part a text covers most of it and least of what it is to keep off.

    How good that is comes first, then x and y.
    """
    xmin, ymin, xmax, ymax = part.bounds
    grid = np.meshgrid(np.linspace(xmin, xmax, _TRIED), np.linspace(ymin, ymax, _TRIED))
    x, y = (np.append(one, v.ravel()) for one, v in zip(first, grid, strict=True))
    inside = shapely.contains_xy(part, x, y)
    inside[0] = True
    x, y = x[inside], y[inside]
    half = np.array(size) / 2
    boxes = shapely.box(x - half[0], y - half[1], x + half[0], y + half[1])
    on = shapely.area(shapely.intersection(boxes, part))
    over = shapely.area(shapely.intersection(boxes, off))
    away = np.hypot(x - first[0], y - first[1]) / np.hypot(xmax - xmin, ymax - ymin)
    good = (on - _KEEP_OFF * over) / (size[0] * size[1]) - 0.2 * away
    best = int(np.argmax(good))
    return float(good[best]), float(x[best]), float(y[best])
