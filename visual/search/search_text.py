"""What a search found, in lines of text."""

import math
from collections.abc import Iterator
from textwrap import wrap

from visual.frame import Frame
from visual.model import Model
from visual.search.around import not_judged
from visual.search.causes import WORDS, unsure_text
from visual.search.found import Found, Place
from visual.units import format_force, format_length

ACRE = 4046.8564224  # [m²] international acre, exactly
SQUARE_FOOT = 0.3048**2  # [m²] exactly
HECTARE = 10_000.0  # [m²]
_WIDE, _INDENT = 100, " " * 6  # of lines under a place [letters]


def search_lines(found: Found) -> Iterator[str]:
    """Yield the result of a search as text: land, what it is lost to, and the short list."""
    yield from _land_lines(found)
    yield ""
    yield from _place_lines(found)


def format_area(area: float, units: str) -> str:
    """Write an area of land. [m²]"""
    if units == "imperial":
        acres = area / ACRE
        return f"{acres:.2f} acres" if acres >= 0.25 else f"{area / SQUARE_FOOT:,.0f} sq ft"
    if area >= 1000:
        return f"{area / HECTARE:.2f} ha"
    return f"{area:.0f} m²" if area >= 10 else f"{area:.1f} m²"


def format_share(share: float) -> str:
    """Write what is left of the tightest limit."""
    return f"{100 * share:.0f} %"


def format_front(front: float) -> str:
    """Write a bearing. [rad]"""
    return f"{math.degrees(front) % 360:03.0f}°"


def format_spot(frame: Frame, easting: float, northing: float) -> tuple[str, str]:
    """Write a place in the grid of the site, or in degrees if that is geographic; to 0.1 m."""
    degrees = not frame.is_local and frame.scale is None
    decimals = 6 if degrees else 1
    return f"{easting:.{decimals}f}", f"{northing:.{decimals}f}"


def _land_lines(found: Found) -> Iterator[str]:
    units, whole = found.model.site.site.units, found.land.whole.area
    if not found.complete:
        yield "Stopped before the end: this is what was found so far."
    step = format_length(found.job.step, units)
    count = found.job.tables[0].bearings.size
    yield f"Searched {format_area(whole, units)} every {step}, {count} bearings at each place."
    works = float(found.works.sum()) * found.cell_area
    yield f"The mast can stand on {format_area(works, units)}. The rest is lost to:"
    rows = [(part.area, part.reason.in_units(units)) for part in found.land.lost]
    rows += [(area, WORDS[cause].text) for cause, area in found.areas().items()]
    rows += [(area, unsure_text(cause)) for cause, area in found.areas(unsure=True).items()]
    lost: dict[str, float] = {}
    for area, reason in rows:
        lost[reason] = lost.get(reason, 0.0) + area
    for reason, area in sorted(lost.items(), key=lambda one: -one[1]):
        yield f"  {format_area(area, units):>11}  {reason}"
    yield from _looks_lines(found)
    yield from _not_judged_lines(found.model)


def _not_judged_lines(model: Model) -> Iterator[str]:
    """Say what the search keeps no clearance from, as something of it is not known."""
    for told in not_judged(model):
        yield from wrap(f"Not judged: {told}", _WIDE, subsequent_indent="  ")


def _looks_lines(found: Found) -> Iterator[str]:
    """Say how many places were looked at exactly, and that others may work."""
    looked = int(found.looked.sum())
    if looked:
        works = int((found.looked & found.works).sum())
        yield f"Looked at exactly, as a bound may be too strict: {looked} places; {works} work."
    if found.unsure.any():
        yield "What only a bound says no to may work: more exact looks (--looks) tell."


def _place_lines(found: Found) -> Iterator[str]:
    if not found.searched.any():
        yield "No place of this step was reached on the land: give a shorter step, or wait."
        return
    if not found.works.any():
        yield "No place works: see above for what stands in the way."
        return
    if not found.places:
        yield "No place was checked."
        return
    yield "  K      easting     northing  front   left  tightest"
    for place in found.places:
        yield from _lines_of(place, found.model)
    yield ""
    yield "left: of the tightest limit, against what level, open ground would leave the same rig."


def _lines_of(place: Place, model: Model) -> Iterator[str]:
    units = model.site.site.units
    easting, northing = format_spot(model.frame, place.easting, place.northing)
    yield (
        f"{place.rank:>3} {easting:>12} {northing:>12}   "
        f"{format_front(place.front)}  {format_share(place.share):>5}  {place.words}"
    )
    worst = "; ".join(f"{f.status}: {f.check}, {f.subject}" for f in place.worst)
    yield from wrap(
        f"{_state(place)}; {worst}", _WIDE, initial_indent=_INDENT, subsequent_indent=_INDENT
    )
    for pull in (f for f in place.findings if f.check == "vehicle pull" and f.value is not None):
        there_is = "" if pull.limit is None else f" of {format_force(pull.limit, units)} there is"
        yield f"{_INDENT}largest pull {format_force(pull.value or 0.0, units)}{there_is}"


def _state(place: Place) -> str:
    """Say what the full check found; what could not be checked is never left out."""
    told = ["looked at exactly"] if place.exact else []
    told.append(
        "nothing stops it" if place.stops == 0 else f"{_count(place.stops, 'finding')} stopping it"
    )
    told.append(_count(place.cautions, "caution"))
    if place.unchecked:
        told.append(f"{place.unchecked} not checked")
    return ", ".join(told)


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
