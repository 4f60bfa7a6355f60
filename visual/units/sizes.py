"""Sizes of units in SI, grouped by the kind of quantity.

Each size is by definition: foot, inch and pound of the international yard and pound agreement of
1959, US survey foot 1200/3937 m (Federal Register notice 59-5442 of 1959), pound-force with
standard gravity (3rd CGPM, 1901).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

UnitSystem = Literal["metric", "imperial"]

UNIT_SYSTEMS: tuple[UnitSystem, ...] = ("metric", "imperial")

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
class Dimension:
    """A kind of quantity: its name, the name of its SI unit and its units."""

    name: str
    plain: str
    example: str
    units: Mapping[str, float]


LENGTH = Dimension("length", "metres", '"59 ft 3 1/2 in"', LENGTH_UNITS)
MASS = Dimension("mass", "kilograms", '"154 lb"', MASS_UNITS)
FORCE = Dimension("force", "newtons", '"6650 lbf"', FORCE_UNITS)
STRESS = Dimension("stress", "pascals", '"355 MPa"', STRESS_UNITS)
MASS_PER_LENGTH = Dimension(
    "mass per length", "kilograms per metre", '"121 lb/1000 ft"', MASS_PER_LENGTH_UNITS
)
DENSITY = Dimension("density", "kilograms per cubic metre", '"7850 kg/m³"', DENSITY_UNITS)
DIMENSIONS = (LENGTH, MASS, FORCE, STRESS, MASS_PER_LENGTH, DENSITY)
