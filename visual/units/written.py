"""Quantities as text for a person, in the units that he or she reads."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from visual.units.sizes import FORCE_UNITS, LENGTH_UNITS, MASS_UNITS, STRESS_UNITS, UnitSystem

Rounding = Literal["nearest", "up", "down"]
"""Which way a number is rounded: what is needed up, what is left down, what was found nearest."""

UNKNOWN = "unknown"

_HAIR = 6  # further decimals, beyond which a number that is to be rounded up is round already


@dataclass(frozen=True)
class _Written:
    """How a quantity is written: the name of the unit, its size in SI, and its decimals."""

    name: str
    size: float
    decimals: int


_EITHER = {"deg": _Written("°", 1.0, 1), "": _Written("", 1.0, 2)}
_METRIC: Mapping[str, _Written] = MappingProxyType(
    {
        "m": _Written(" m", 1.0, 2),
        "m2": _Written(" m²", 1.0, 0),
        "m/s": _Written(" m/s", 1.0, 0),
        "kg": _Written(" kg", 1.0, 1),
        "N": _Written(" N", 1.0, 0),
        "Nm": _Written(" kNm", 1e3, 2),
        "Pa": _Written(" MPa", STRESS_UNITS["MPa"], 1),
    }
    | _EITHER
)
_IMPERIAL: Mapping[str, _Written] = MappingProxyType(
    {
        "m2": _Written(" ft²", LENGTH_UNITS["ft"] ** 2, 0),
        "m/s": _Written(" mph", 5280 * LENGTH_UNITS["ft"] / 3600, 0),
        "kg": _Written(" lb", MASS_UNITS["lb"], 1),
        "N": _Written(" lbf", FORCE_UNITS["lbf"], 0),
        "Nm": _Written(" lbf ft", FORCE_UNITS["lbf"] * LENGTH_UNITS["ft"], 0),
        "Pa": _Written(" ksi", STRESS_UNITS["ksi"], 1),
    }
    | _EITHER
)
_KILONEWTONS = _Written(" kN", 1e3, 2)


def format_length(
    metres: float, system: UnitSystem, *, decimals: int = 2, rounding: Rounding = "nearest"
) -> str:
    """Return a length for a person: ``"17.40 m"`` or ``"57 ft 1 1/16 in"``.

    Parameters
    ----------
    metres : float
        The length; what is not finite gives ``"unknown"``. [m]
    system : {"metric", "imperial"}
        Imperial lengths are rounded to 1/16 inch.
    decimals : int
        Decimals of metres; imperial lengths ignore it.
    rounding : {"nearest", "up", "down"}
        Which way it is rounded.
    """
    return format_quantity(metres, "m", system, decimals=decimals, rounding=rounding)


def format_mass(kilograms: float, system: UnitSystem, *, decimals: int = 1) -> str:
    """Return a mass for a person: ``"75.0 kg"`` or ``"165.3 lb"``."""
    return format_quantity(kilograms, "kg", system, decimals=decimals)


def format_force(newtons: float, system: UnitSystem) -> str:
    """Return a force for a person: ``"296 N"``, ``"2.96 kN"`` or ``"665 lbf"``."""
    return format_quantity(newtons, "N", system)


def format_angle(radians: float, *, decimals: int = 1) -> str:
    """Return an angle for a person, in degrees: ``"35.0°"``."""
    return format_quantity(math.degrees(radians), "deg", "metric", decimals=decimals)


def format_quantity(
    value: float,
    unit: str,
    system: UnitSystem,
    *,
    decimals: int | None = None,
    rounding: Rounding = "nearest",
) -> str:
    """Return a quantity for a person.

    Parameters
    ----------
    value : float
        In `unit`; what is not finite gives ``"unknown"``.
    unit : {"m", "m2", "m/s", "kg", "N", "Nm", "Pa", "deg", ""}
        SI or degrees; empty for a pure number.
    system : {"metric", "imperial"}
        Units to show.
    decimals : int or None
        Other than what is usual for this kind of quantity; lengths in inches ignore it.
    rounding : {"nearest", "up", "down"}
        Which way it is rounded.

    Raises
    ------
    ValueError
        If `unit` is none of these.
    """
    if unit not in _METRIC:
        known = ", ".join(filter(None, _METRIC))
        message = f"{unit!r} is not a unit of a finding; use {known} or nothing"
        raise ValueError(message)
    if not math.isfinite(value):
        return UNKNOWN
    if unit == "m" and system == "imperial":
        return _feet_and_inches(value, rounding)
    written = _written(value, unit, system)
    places = written.decimals if decimals is None else decimals
    shown = _rounded(value / written.size, places, rounding)
    # "z" keeps a rounded small negative number from being shown as -0.00
    return f"{shown:z.{places}f}{written.name}"


def _written(value: float, unit: str, system: UnitSystem) -> _Written:
    if system == "imperial":
        return _IMPERIAL[unit]
    # what would be printed as 1000 N is printed as 1.00 kN
    return _KILONEWTONS if unit == "N" and abs(value) >= 999.5 else _METRIC[unit]


def _rounded(value: float, decimals: int, rounding: Rounding) -> float:
    """Round up or down, but for a hair; leave to be rounded what goes to the nearest."""
    if rounding == "nearest":
        return value
    steps = round(value * 10.0**decimals, _HAIR)
    return (math.ceil(steps) if rounding == "up" else math.floor(steps)) / 10.0**decimals


def _feet_and_inches(metres: float, rounding: Rounding) -> str:
    sixteenths = round(_rounded(metres / LENGTH_UNITS["in"] * 16, 0, rounding))
    sign = "-" if sixteenths < 0 else ""
    feet, rest = divmod(abs(sixteenths), 12 * 16)
    return sign + (f"{feet} ft " if feet else "") + f"{_mixed(Fraction(rest, 16))} in"


def _mixed(inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)
