"""User units to SI and back. Units exist only here, at the edge; everything inside is SI.

A quantity in a file is a plain number in SI (`18` is metres) or text with a unit
(`"59 ft 3 1/2 in"`). The tables below are grouped by dimension; each entry is the value of the
unit in SI by definition: foot, inch and pound of the international yard and pound agreement of
1959, US survey foot 1200/3937 m (Federal Register notice 59-5442 of 1959), pound-force with
standard gravity (3rd CGPM, 1901).

All `parse_…` functions raise ValueError with the text ``"<rule>; <way out>"``, in which the
first semicolon parts the two.
"""

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

UnitSystem = Literal["metric", "imperial"]

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall, by definition. [m/s²]"""

_FOOT = 0.3048
_INCH = 0.0254
_POUND = 0.45359237
_POUND_FORCE = _POUND * STANDARD_GRAVITY
_PSI = _POUND_FORCE / _INCH**2

LENGTH_UNITS: Mapping[str, float] = MappingProxyType(
    {
        "m": 1.0,
        "mm": 1e-3,
        "cm": 1e-2,
        "km": 1e3,
        "in": _INCH,
        "ft": _FOOT,
        "us-ft": 1200 / 3937,
    }
)
"""Metres in one unit. [m]"""

MASS_UNITS: Mapping[str, float] = MappingProxyType({"kg": 1.0, "g": 1e-3, "t": 1e3, "lb": _POUND})
"""Kilograms in one unit. [kg]"""

FORCE_UNITS: Mapping[str, float] = MappingProxyType(
    {"N": 1.0, "kN": 1e3, "MN": 1e6, "lbf": _POUND_FORCE, "kip": 1e3 * _POUND_FORCE}
)
"""Newtons in one unit. [N]"""

STRESS_UNITS: Mapping[str, float] = MappingProxyType(
    {"Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9, "psi": _PSI, "ksi": 1e3 * _PSI}
)
"""Pascals in one unit. [Pa]"""

MASS_PER_LENGTH_UNITS: Mapping[str, float] = MappingProxyType(
    {
        "kg/m": 1.0,
        "g/m": 1e-3,
        "kg/100 m": 1e-2,
        "lb/ft": _POUND / _FOOT,
        "lb/100 ft": _POUND / (100 * _FOOT),
        "lb/1000 ft": _POUND / (1000 * _FOOT),
        # The key says "per metre", so a bare metric mass is clear. A bare "lb" is not: it would
        # almost always be meant per foot.
        "kg": 1.0,
        "g": 1e-3,
    }
)
"""Kilograms per metre in one unit. [kg/m]"""

DENSITY_UNITS: Mapping[str, float] = MappingProxyType(
    {"kg/m³": 1.0, "kg/m3": 1.0, "lb/ft³": _POUND / _FOOT**3, "lb/ft3": _POUND / _FOOT**3}
)
"""Kilograms per cubic metre in one unit. [kg/m³]"""


@dataclass(frozen=True)
class _Dimension:
    """A kind of quantity: its name, the name of its SI unit and its units."""

    name: str
    plain: str
    example: str
    units: Mapping[str, float]


_LENGTH = _Dimension("length", "metres", '"59 ft 3 1/2 in"', LENGTH_UNITS)
_MASS = _Dimension("mass", "kilograms", '"154 lb"', MASS_UNITS)
_FORCE = _Dimension("force", "newtons", '"6650 lbf"', FORCE_UNITS)
_STRESS = _Dimension("stress", "pascals", '"355 MPa"', STRESS_UNITS)
_MASS_PER_LENGTH = _Dimension(
    "mass per length", "kilograms per metre", '"121 lb/1000 ft"', MASS_PER_LENGTH_UNITS
)
_DENSITY = _Dimension("density", "kilograms per cubic metre", '"7850 kg/m³"', DENSITY_UNITS)
_DIMENSIONS = (_LENGTH, _MASS, _FORCE, _STRESS, _MASS_PER_LENGTH, _DENSITY)

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
    return _parse(value, _LENGTH)


def parse_mass(value: float | str) -> float:
    """Return a mass [kg]; a plain number is kilograms. See `parse_length`."""
    return _parse(value, _MASS)


def parse_force(value: float | str) -> float:
    """Return a force [N]; a plain number is newtons. See `parse_length`."""
    return _parse(value, _FORCE)


def parse_stress(value: float | str) -> float:
    """Return a stress or modulus [Pa]; a plain number is pascals. See `parse_length`."""
    return _parse(value, _STRESS)


def parse_mass_per_length(value: float | str) -> float:
    """Return a mass per length [kg/m]; a plain number is kilograms per metre.

    A bare kg or g is per metre too. See `parse_length`.
    """
    return _parse(value, _MASS_PER_LENGTH)


def parse_density(value: float | str) -> float:
    """Return a density [kg/m³]; a plain number is kilograms per cubic metre.

    See `parse_length`.
    """
    return _parse(value, _DENSITY)


def format_length(metres: float, system: UnitSystem, *, decimals: int = 2) -> str:
    """Return a length for a person: ``"17.40 m"`` or ``"57 ft 1 1/16 in"``.

    Parameters
    ----------
    metres : float
        The length; what is not finite gives ``"unknown"``. [m]
    system : {"metric", "imperial"}
        Imperial lengths are rounded to the nearest 1/16 inch.
    decimals : int
        Decimals of metres; imperial lengths ignore it.
    """
    if not math.isfinite(metres):
        return "unknown"
    if system == "metric":
        return f"{metres:z.{decimals}f} m"
    sixteenths = round(abs(metres) / _INCH * 16)
    sign = "-" if metres < 0 and sixteenths else ""
    feet, rest = divmod(sixteenths, 12 * 16)
    return sign + (f"{feet} ft " if feet else "") + f"{_mixed(Fraction(rest, 16))} in"


def format_mass(kilograms: float, system: UnitSystem, *, decimals: int = 1) -> str:
    """Return a mass for a person: ``"75.0 kg"`` or ``"165.3 lb"``."""
    if system == "metric":
        return _decimal(kilograms, decimals, "kg")
    return _decimal(kilograms / _POUND, decimals, "lb")


def format_force(newtons: float, system: UnitSystem) -> str:
    """Return a force for a person: ``"296 N"``, ``"2.96 kN"`` or ``"665 lbf"``."""
    if system == "imperial":
        return _decimal(newtons / _POUND_FORCE, 0, "lbf")
    if abs(newtons) < 999.5:  # what would be printed as 1000 N is printed as 1.00 kN
        return _decimal(newtons, 0, "N")
    return _decimal(newtons / 1e3, 2, "kN")


def format_angle(radians: float, *, decimals: int = 1) -> str:
    """Return an angle for a person, in degrees: ``"35.0°"``."""
    return _degrees(math.degrees(radians), decimals)


def format_quantity(value: float, unit: str, system: UnitSystem) -> str:
    """Return a value of a finding for a person.

    Parameters
    ----------
    value : float
        In `unit`.
    unit : {"m", "m2", "kg", "N", "Pa", "deg", ""}
        As in `Finding.unit`: SI or degrees; empty for a pure number.
    system : {"metric", "imperial"}
        Units to show.

    Raises
    ------
    ValueError
        If `unit` is none of these.
    """
    metric = system == "metric"
    match unit:
        case "m":
            return format_length(value, system)
        case "kg":
            return format_mass(value, system)
        case "N":
            return format_force(value, system)
        case "m2":
            return _decimal(value, 0, "m²") if metric else _decimal(value / _FOOT**2, 0, "ft²")
        case "Pa":
            scale, shown = (1e6, "MPa") if metric else (1e3 * _PSI, "ksi")
            return _decimal(value / scale, 1, shown)
        case "deg":
            return _degrees(value, 1)
        case "":
            return _decimal(value, 2, "")
    message = f"{unit!r} is not a unit of a finding; use m, m2, kg, N, Pa, deg or nothing"
    raise ValueError(message)


def _parse(value: object, dimension: _Dimension) -> float:
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


def _parse_text(text: str, dimension: _Dimension) -> float:
    plain = " ".join(text.replace("\N{MINUS SIGN}", "-").split())
    both = _FEET_AND_INCHES.fullmatch(plain)
    if both and dimension is _LENGTH:
        sign, feet, inches = both[1], _number(both[2], dimension), _number(both[3], dimension)
        if inches >= 12:
            rule = f"inches after feet must be less than 12, not {both[3]}"
            raise _refusal(rule, dimension)
        return _signed(sign, feet * _FOOT + inches * _INCH)
    if "," in plain:
        rule = f"{text!r} has a comma where a decimal point is needed"
        raise _refusal(rule, dimension)
    one = _QUANTITY.fullmatch(plain)
    if one is None:
        rule = f"{text!r} does not begin with a number"
        raise _refusal(rule, dimension)
    return _signed(one[1], _number(one[2], dimension) * _factor(one[3], text, dimension))


def _factor(unit: str, text: str, dimension: _Dimension) -> float:
    if unit in dimension.units:
        return dimension.units[unit]
    if not unit:
        rule = f"{text!r} has no unit"
        raise _refusal(rule, dimension)
    for other in _DIMENSIONS:
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


def _number(text: str, dimension: _Dimension) -> float:
    try:
        return float(sum(Fraction(part) for part in text.split())) if "/" in text else float(text)
    except ZeroDivisionError:
        rule = f"{text!r} divides by zero"
        raise _refusal(rule, dimension) from None


def _signed(sign: str, size: float) -> float:
    return -size if sign == "-" else size


def _refusal(rule: str, dimension: _Dimension) -> ValueError:
    accepted = ", ".join(dimension.units)
    message = (
        f"{rule}; give a number in {dimension.plain} or text with a unit, such as "
        f"{dimension.example} (units: {accepted})"
    )
    return ValueError(message)


def _decimal(value: float, decimals: int, unit: str) -> str:
    # "z" keeps a rounded small negative number from being shown as -0.00
    return f"{value:z.{decimals}f} {unit}".rstrip() if math.isfinite(value) else "unknown"


def _degrees(degrees: float, decimals: int) -> str:
    return f"{degrees:z.{decimals}f}°" if math.isfinite(degrees) else "unknown"


def _mixed(inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)
