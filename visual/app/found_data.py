"""What a search or a rose found, as plain values in the coordinates of the site."""

import base64
import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.checks import Finding
from visual.search.causes import WORDS, Cause
from visual.search.found import Found, Place
from visual.search.reasons import NOTHING, reasons_of
from visual.search.rose import Rose, spans_of
from visual.search.search_text import format_area
from visual.units import UNIT_SYSTEMS, Sentence

Json = dict[str, Any]

NONE = 255
"""In the grids: no bearing works, nothing is known."""

MOST_SAID = 8
"""Findings that are told of a place of the list."""


def found_document(found: Found) -> Json:
    """Return what a search found; places in the site's CRS, bearings in degrees.

    The grids are bytes in base64, row by row: hundredths of what is left, number of the best
    bearing, number of what is said there; 255 where there is none.
    """
    reasons = reasons_of(found)
    box = _box(reasons.number != NOTHING)
    share = np.where(found.works, np.floor(100.0 * np.clip(found.share, 0.0, 1.0)), NONE)
    bearing = np.where(found.works, found.bearing, NONE)
    whole = found.land.whole.area
    works = float(found.works.sum()) * found.cell_area
    return {
        "lattice": _lattice(found, box),
        "shape": [box[0].stop - box[0].start, box[1].stop - box[1].start],
        "share": _packed(share[box]),
        "bearing": _packed(bearing[box]),
        "reason": _packed(reasons.number[box]),
        "turn": 360.0 / found.job.tables[0].bearings.size,
        "step": found.job.step,
        "complete": found.complete,
        "area": _areas(whole),
        "works": _areas(works) if works else None,
        "works_share": works / whole,
        "reasons": [
            {
                "kind": one.kind,
                "check": one.check,
                "text": _both(one.text),
                "area": _areas(one.area),
                "share": one.area / whole,
            }
            for one in reasons.said
        ],
        "places": [_place(place) for place in found.places],
    }


def rose_document(rose: Rose) -> Json:
    """Return what a rose found: for each bearing what it leaves and what is tightest there."""
    degrees = [math.degrees(float(one)) for one in rose.bearings]
    out = rose.place_share < 0
    return {
        "turn": 360.0 / len(degrees),
        "place": WORDS[rose.place_cause].text if out else "",
        "best": None if rose.best is None or out else degrees[rose.best],
        "bearings": [
            {"works": bool(works), "left": _left(float(left)), "text": _tightest(rose, k)}
            for k, (works, left) in enumerate(zip(rose.works, rose.left, strict=True))
        ],
        "spans": [_span(rose, degrees, *span) for span in spans_of(rose)],
    }


def _span(rose: Rose, degrees: list[float], first: int, last: int, cause: Cause | None) -> Json:
    which = np.arange(first, last + 1) % len(degrees)
    ends = {"first": degrees[first], "last": degrees[last % len(degrees)]}
    if cause is not None:
        return ends | {"text": WORDS[cause].text, "best": None, "left": None}
    best = int(which[np.nanargmax(rose.share[which])])
    return ends | {
        "text": _tightest(rose, best),
        "best": degrees[best],
        "left": _left(float(rose.left[best])),
    }


def _tightest(rose: Rose, bearing: int) -> str:
    """Return what leaves the least at a bearing: the place, or what depends on the bearing."""
    own = WORDS[Cause(int(rose.cause[bearing]))]
    if not rose.works[bearing]:
        return own.text
    place = rose.place_share < rose.share[bearing]
    return WORDS[rose.place_cause].tight if place else own.tight


def _left(share: float) -> float | None:
    return share if math.isfinite(share) else None


def _place(place: Place) -> Json:
    looked = [one for one in place.findings if one.status != "ok"]
    return {
        "rank": place.rank,
        "at": [place.easting, place.northing],
        "front": math.degrees(place.front) % 360.0,
        "left": float(place.share),
        "tightest": place.words,
        "stops": place.stops,
        "cautions": place.cautions,
        "unchecked": place.unchecked,
        "findings": [_said(one) for one in sorted(looked, key=_severity)[:MOST_SAID]],
    }


def _severity(finding: Finding) -> int:
    return ("stop", "caution", "not checked").index(finding.status)


def _said(finding: Finding) -> Json:
    return {
        "check": finding.check,
        "subject": finding.subject,
        "status": finding.status,
        "message": _both(finding.message),
    }


def _both(sentence: Sentence) -> Json:
    """Return a sentence in both systems of units."""
    return {units: sentence.in_units(units) for units in UNIT_SYSTEMS}


def _areas(area: float) -> Json:
    return {units: format_area(area, units) for units in UNIT_SYSTEMS}


def _box(known: NDArray[np.bool_]) -> tuple[slice, slice]:
    """Return the rows and columns that hold all that is known."""
    rows, columns = np.flatnonzero(known.any(axis=1)), np.flatnonzero(known.any(axis=0))
    if not rows.size:
        return slice(0, 1), slice(0, 1)
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def _lattice(found: Found, box: tuple[slice, slice]) -> list[list[float]]:
    """Return first place, last of the first column, last of the first row; in the site's CRS."""
    rows = np.array([box[0].start, box[0].stop, box[0].start])
    columns = np.array([box[1].start, box[1].start, box[1].stop])
    x, y = found.job.place(rows, columns)
    easting, northing = found.model.frame.to_grid(x, y)
    return np.stack([easting, northing], axis=-1).tolist()  # type: ignore[no-any-return]


def _packed(values: NDArray[Any]) -> str:
    return base64.b64encode(values.astype(np.uint8).tobytes()).decode("ascii")
