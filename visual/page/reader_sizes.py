"""Lengths as a neighbour reads them: round, and always rounded to the careful side.

What must be kept, and how high or far something reaches, is rounded up; what was found to be left
is rounded down. What the pictures write beside the mast is written alike; the table of findings
keeps the full figures.
"""

import math

from visual.page.packing import Json
from visual.units import UNIT_SYSTEMS, UnitSystem, format_length

_STEPS = {"metric": (0.1, 1, "m"), "imperial": (0.3048, 0, "ft")}
_SLACK = 1e-6  # of a step: what is round already must not go on to the next step


def at_most(metres: float) -> Json:
    """Return a length rounded up, in both units: how high it is, how far it reaches. [m]"""
    return {units: _rounded(metres, units, up=True) for units in UNIT_SYSTEMS}


def at_least(metres: float) -> Json:
    """Return a length rounded down, in both units: how far away something is. [m]"""
    return {units: _rounded(metres, units, up=False) for units in UNIT_SYSTEMS}


def exactly(metres: float) -> Json:
    """Return a length of the rig as the pictures write it, in both units. [m]"""
    return {units: format_length(metres, units) for units in UNIT_SYSTEMS}


def _rounded(metres: float, units: UnitSystem, *, up: bool) -> str:
    step, decimals, unit = _STEPS[units]
    if not math.isfinite(metres):
        return "unknown"
    steps = metres / step
    whole = math.ceil(steps - _SLACK) if up else math.floor(steps + _SLACK)
    return f"{whole * (step if decimals else 1):z.{decimals}f} {unit}"


def say(words: str, **sizes: Json | str) -> Json:
    """Return a sentence in both units.

    Parameters
    ----------
    words : str
        With the names of sizes and names in braces.
    **sizes : mapping or str
        A text for each system of units, or one for both.
    """
    return {
        units: words.format(
            **{key: one if isinstance(one, str) else one[units] for key, one in sizes.items()}
        )
        for units in UNIT_SYSTEMS
    }


def together(*sentences: Json) -> Json:
    """Return sentences one after another, in both units."""
    return {units: " ".join(one[units] for one in sentences) for units in UNIT_SYSTEMS}


def listed(names: list[str]) -> str:
    """Return names as a list in a sentence: ``a, b and c``, each once."""
    once = list(dict.fromkeys(names))
    return " and ".join(filter(None, [", ".join(once[:-1]), *once[-1:]]))


def same(words: str) -> Json:
    """Return a text without sizes for both systems of units."""
    return dict.fromkeys(UNIT_SYSTEMS, words)
