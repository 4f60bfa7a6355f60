"""Scales of drawings: the standard ones, their words, and the scale bar."""

import math
import re
from collections.abc import Iterable

from visual.units import UnitSystem

METRIC = (
    *(20, 25, 50, 100, 125, 200, 250, 300, 400, 500, 750),
    *(1000, 1250, 2000, 2500, 5000, 10000),
)
"""Denominators of metric scales: ISO 5455, and those between them that rulers have."""

FEET_PER_INCH = (2, 4, 5, 8, 10, 20, 30, 40, 50, 60, 80, 100, 200, 300, 400, 500, 1000)
"""Feet to the inch of the scales of an engineer's or architect's ruler."""

_FOOT_IN_INCHES = 12
_FOOT = 0.3048
_SMALLEST, _LARGEST = 5.0, 50_000.0
_INCH_FORM = re.compile(r"1\s*(?:in|\"|″|'')\s*[=:]\s*(\d+(?:\.\d+)?)\s*(?:ft|'|′)$", re.IGNORECASE)
_RATIO_FORM = re.compile(r"1\s*:\s*(\d+(?:[.,]\d+)?)$")


def standard_scales(units: UnitSystem) -> tuple[float, ...]:
    """Return the denominators of standard scales, largest drawing first."""
    if units == "metric":
        return tuple(float(scale) for scale in METRIC)
    return tuple(float(_FOOT_IN_INCHES * feet) for feet in FEET_PER_INCH)


def fitting_scale(need: Iterable[tuple[float, float]], units: UnitSystem) -> float:
    """Return the first standard scale at which lengths fit on paper.

    Parameters
    ----------
    need : iterable of (metres, millimetres)
        A length on the ground [m] and the room for it on paper. [mm]
    units : {"metric", "imperial"}
        Which scales.

    Returns
    -------
    float
        Denominator of the scale.
    """
    exact = max(1000.0 * metres / room for metres, room in need)
    scales = standard_scales(units)
    found = next((scale for scale in scales if scale >= exact * (1 - 1e-9)), None)
    if found is not None:
        return found
    power = 10.0 ** math.floor(math.log10(exact))
    step = next(s for s in (1.0, 2.0, 5.0, 10.0) if s * power >= exact * (1 - 1e-9))
    return step * power


def scale_words(denominator: float, units: UnitSystem) -> str:
    """Return a scale as it is written, e.g. ``"1:200"`` or ``"1 in = 20 ft (1:240)"``."""
    ratio = f"1:{denominator:,.10g}".replace(",", " ")
    feet = denominator / _FOOT_IN_INCHES
    if units == "imperial" and abs(feet - round(feet, 3)) < 1e-9:
        return f"1 in = {feet:g} ft ({ratio})"
    return ratio


def parse_scale(text: str) -> float:
    """Return the denominator of a scale such as ``"1:250"`` or ``"1 in = 20 ft"``.

    Raises
    ------
    ValueError
        ``"<rule>; <way out>"`` if it is no scale.
    """
    ratio, inch = _RATIO_FORM.match(text.strip()), _INCH_FORM.match(text.strip())
    if ratio:
        value = float(ratio[1].replace(",", "."))
    elif inch:
        value = float(inch[1]) * _FOOT_IN_INCHES
    else:
        message = 'this is no scale; write it like 1:250 or "1 in = 20 ft"'
        raise ValueError(message)
    if not _SMALLEST <= value <= _LARGEST:
        message = f"a sheet is drawn at 1:{_SMALLEST:g} to 1:{_LARGEST:g}; take one between them"
        raise ValueError(message)
    return value


def bar_length(denominator: float, room: float, units: UnitSystem) -> tuple[int, float, str]:
    """Return number of parts, length of a part [m] and unit of a scale bar within a room. [mm]"""
    unit, word = (1.0, "m") if units == "metric" else (_FOOT, "ft")
    longest = room / 1000.0 * denominator / unit
    power = 10.0 ** math.floor(math.log10(longest))
    whole = next(s for s in (5.0, 4.0, 2.0, 1.0) if s * power <= longest * (1 + 1e-9))
    parts = {5.0: 5, 4.0: 4, 2.0: 4, 1.0: 5}[whole]
    return parts, whole * power * unit / parts, word
