"""Types of the fields of a site file. Records hold SI and radians; files hold degrees."""

import datetime as dt
import math
from dataclasses import replace
from typing import Annotated

from pydantic import Strict

from visual.site.quantity import Quantity, parse_degrees, parse_number
from visual.site.values import Coordinate, Day, Text, WholeNumber
from visual.units import (
    parse_density,
    parse_force,
    parse_length,
    parse_mass,
    parse_mass_per_length,
    parse_stress,
)

_LENGTH = Quantity(parse_length, "length", "m", "59 ft 3 1/2 in", most=1e5)
_ANGLE = Quantity(parse_degrees, "angle", "degrees", "35 deg", factor=math.pi / 180)

Length = Annotated[float, replace(_LENGTH, above=0)]
"""Longer than nothing. [m]"""
Distance = Annotated[float, replace(_LENGTH, at_least=0)]
"""Nothing or more. [m]"""
Offset = Annotated[float, _LENGTH]
"""Positive or negative. [m]"""

Mass = Annotated[float, Quantity(parse_mass, "mass", "kg", "154 lb", at_least=0)]
"""Nothing or more. [kg]"""
LineMass = Annotated[
    float,
    Quantity(
        parse_mass_per_length, "mass per length", "kg/m", "121 lb/1000 ft", above=0, smallest=1e-5
    ),
]
"""Mass per unstressed length. [kg/m]"""
Density = Annotated[float, Quantity(parse_density, "density", "kg/m³", "490 lb/ft³", above=0)]
"""Mass per volume. [kg/m³]"""
Force = Annotated[float, Quantity(parse_force, "force", "N", "6650 lbf", above=0, most=1e12)]
"""More than nothing. [N]"""
Stress = Annotated[float, Quantity(parse_stress, "stress", "Pa", "235 MPa", above=0, most=1e14)]
"""More than nothing. [Pa]"""

Bearing = Annotated[float, replace(_ANGLE, noun="bearing", at_least=0, at_most=360)]
"""Clockwise from grid north. [rad]"""
Turn = Annotated[float, replace(_ANGLE, noun="turn", at_least=-180, at_most=180)]
"""Positive clockwise as seen from above. [rad]"""
GinAngle = Annotated[float, replace(_ANGLE, above=0, below=180)]
"""Between mast and gin pole. [rad]"""
Slope = Annotated[float, replace(_ANGLE, at_least=0, below=90)]
"""Above horizontal. [rad]"""

Ratio = Annotated[float, Quantity(parse_number, "number", at_least=0)]
"""Nothing or more. [1]"""
Share = Annotated[float, Quantity(parse_number, "number", above=0, below=1)]
"""Between nothing and the whole. [1]"""
FullShare = Annotated[float, Quantity(parse_number, "number", above=0, at_most=1)]
"""More than nothing, up to the whole. [1]"""
Factor = Annotated[float, Quantity(parse_number, "number", above=0)]
"""More than nothing. [1]"""
SafetyFactor = Annotated[float, Quantity(parse_number, "number", at_least=1)]
"""One or more. [1]"""

Version = Annotated[int, WholeNumber(1, 1)]
"""Version of the site file."""
Count = Annotated[int, WholeNumber(1, 100)]
"""How many alike."""
Switch = Annotated[bool, Strict()]
"""True or false, nothing else."""
Name = Annotated[str, Text()]
"""Text that is not empty."""
FileName = Annotated[str, Text("a file name", shown=False)]
"""A file in the folder of the site file."""
Date = Annotated[dt.date, Day()]
"""A calendar day."""
Position = tuple[Annotated[float, Coordinate()], Annotated[float, Coordinate()]]
"""Easting and northing (or longitude and latitude) in the unit of the site's CRS."""
