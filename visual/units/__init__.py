"""User units to SI and back. Units exist only here, at the edge; everything inside is SI.

sizes.py     size of each unit, by definition
parse.py     a quantity from the text of a file
written.py   a quantity as text for a person
sentence.py  sentences that carry their quantities until they are read
"""

from visual.units.parse import (
    parse_density,
    parse_force,
    parse_length,
    parse_mass,
    parse_mass_per_length,
    parse_stress,
)
from visual.units.sentence import (
    Quantity,
    Sentence,
    degrees,
    joined,
    kilograms,
    metres,
    millimetres,
    newtons,
    say,
)
from visual.units.sizes import (
    DENSITY_UNITS,
    FORCE_UNITS,
    LENGTH_UNITS,
    MASS_PER_LENGTH_UNITS,
    MASS_UNITS,
    STANDARD_GRAVITY,
    STRESS_UNITS,
    UNIT_SYSTEMS,
    UnitSystem,
)
from visual.units.written import (
    Rounding,
    format_angle,
    format_force,
    format_length,
    format_mass,
    format_quantity,
)

__all__ = [
    "DENSITY_UNITS",
    "FORCE_UNITS",
    "LENGTH_UNITS",
    "MASS_PER_LENGTH_UNITS",
    "MASS_UNITS",
    "STANDARD_GRAVITY",
    "STRESS_UNITS",
    "UNIT_SYSTEMS",
    "Quantity",
    "Rounding",
    "Sentence",
    "UnitSystem",
    "degrees",
    "format_angle",
    "format_force",
    "format_length",
    "format_mass",
    "format_quantity",
    "joined",
    "kilograms",
    "metres",
    "millimetres",
    "newtons",
    "parse_density",
    "parse_force",
    "parse_length",
    "parse_mass",
    "parse_mass_per_length",
    "parse_stress",
    "say",
]
