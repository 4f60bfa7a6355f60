"""Quantities from text.

A quantity in a file is a plain number in SI (`18` is metres) or text with a unit
(`"59 ft 3 1/2 in"`). All `parse_…` functions raise ValueError with the text
``"<rule>; <way out>"``, in which the first semicolon parts the two.
"""

import difflib
import math
import re
from collections.abc import Mapping
from fractions import Fraction

from visual.units.sizes import (
    DENSITY,
    DIMENSIONS,
    FORCE,
    LENGTH,
    LENGTH_UNITS,
    MASS,
    MASS_PER_LENGTH,
    STRESS,
    Dimension,
)

_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)"
_QUANTITY = re.compile(rf"([+-]?)\s*({_NUMBER})\s*(.*)", re.ASCII)
_FEET_AND_INCHES = re.compile(rf"([+-]?)\s*(\d+)\s*ft\s*({_NUMBER})\s*in", re.ASCII)


def parse_length(value: float | str) -> float:
    """Return a length [m]; a plain number is metres.

    Parameters
    ----------
    value : float or str
        ``18``, ``"18 m"``, ``"114.3 mm"``, ``"59 ft"``, ``"59 ft 3 1/2 in"``, ``"1/4 in"``.

    Raises
    ------
    ValueError
        If it is not a length; the text gives the rule and the units accepted.
    """
    return _parse(value, LENGTH)


def parse_mass(value: float | str) -> float:
    """Return a mass [kg]; a plain number is kilograms. See `parse_length`."""
    return _parse(value, MASS)


def parse_force(value: float | str) -> float:
    """Return a force [N]; a plain number is newtons. See `parse_length`."""
    return _parse(value, FORCE)


def parse_stress(value: float | str) -> float:
    """Return a stress or modulus [Pa]; a plain number is pascals. See `parse_length`."""
    return _parse(value, STRESS)


def parse_mass_per_length(value: float | str) -> float:
    """Return a mass per length [kg/m]; a plain number is kilograms per metre.

    A bare kg or g is per metre too. See `parse_length`.
    """
    return _parse(value, MASS_PER_LENGTH)


def parse_density(value: float | str) -> float:
    """Return a density [kg/m³]; a plain number is kilograms per cubic metre.

    See `parse_length`.
    """
    return _parse(value, DENSITY)


def _parse(value: object, dimension: Dimension) -> float:
    if isinstance(value, str):
        result = _parse_text(value, dimension)
    # TOML has booleans and Python counts them as integers; a length of `true` is a slip.
    elif isinstance(value, int | float) and not isinstance(value, bool):
        result = float(value)
    else:
        rule = f"a {dimension.name} is a number or text, not {value!r}"
        raise _refusal(rule, dimension)
    if not math.isfinite(result):
        rule = f"a {dimension.name} must be finite, not {value!r}"
        raise _refusal(rule, dimension)
    return result


def _parse_text(text: str, dimension: Dimension) -> float:
    plain = " ".join(text.replace("\N{MINUS SIGN}", "-").split())
    both = _FEET_AND_INCHES.fullmatch(plain)
    if both and dimension is LENGTH:
        sign, feet, inches = both[1], _number(both[2], dimension), _number(both[3], dimension)
        if inches >= 12:
            rule = f"inches after feet must be less than 12, not {both[3]}"
            raise _refusal(rule, dimension)
        return _signed(sign, feet * LENGTH_UNITS["ft"] + inches * LENGTH_UNITS["in"])
    if "," in plain:
        rule = f"{text!r} has a comma where a decimal point is needed"
        raise _refusal(rule, dimension)
    one = _QUANTITY.fullmatch(plain)
    if one is None:
        rule = f"{text!r} does not begin with a number"
        raise _refusal(rule, dimension)
    return _signed(one[1], _number(one[2], dimension) * _factor(one[3], text, dimension))


def _factor(unit: str, text: str, dimension: Dimension) -> float:
    if unit in dimension.units:
        return dimension.units[unit]
    if not unit:
        rule = f"{text!r} has no unit"
        raise _refusal(rule, dimension)
    for other in DIMENSIONS:
        if unit in other.units:
            rule = f"{unit!r} is a unit of {other.name}, and a {dimension.name} is needed"
            raise _refusal(rule, dimension)
    near = _nearest(unit, dimension.units)
    hint = f" (did you mean {near!r}?)" if near else ""
    rule = f"{unit!r} is not a unit of {dimension.name}{hint}"
    raise _refusal(rule, dimension)


def _nearest(unit: str, units: Mapping[str, float]) -> str | None:
    same = [known for known in units if known.lower() == unit.lower()]
    close = same or difflib.get_close_matches(unit, units, n=1)
    return close[0] if close else None


def _number(text: str, dimension: Dimension) -> float:
    try:
        return float(sum(Fraction(part) for part in text.split())) if "/" in text else float(text)
    except ZeroDivisionError:
        rule = f"{text!r} divides by zero"
        raise _refusal(rule, dimension) from None


def _signed(sign: str, size: float) -> float:
    return -size if sign == "-" else size


def _refusal(rule: str, dimension: Dimension) -> ValueError:
    accepted = ", ".join(dimension.units)
    message = (
        f"{rule}; give a number in {dimension.plain} or text with a unit, such as "
        f"{dimension.example} (units: {accepted})"
    )
    return ValueError(message)
