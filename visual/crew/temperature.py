"""Wire and tape at other temperatures than those the lengths were worked out for."""

import math
import re
from dataclasses import dataclass

STEEL_EXPANSION = 11.7e-6
"""Thermal expansion of steel wire and of steel tapes; handbooks, from memory. [1/K]"""

REFERENCE = 20.0
"""Temperature at which a steel tape is right: ISO 1, from memory. [°C]"""

_COLDEST, _HOTTEST = -60.0, 70.0  # [°C] beyond these a number is a slip, not weather


@dataclass(frozen=True)
class Cutting:
    """Under which conditions wire is measured off.

    Parameters
    ----------
    at : float
        Temperature of wire and tape while measuring off. [°C]
    rigging : float
        Temperature at which the wire is to have its initial tension. [°C]
    steel_tape : bool
        True if the tape is of steel and so grows with the wire; a tape of another material is
        taken as right at any temperature.
    """

    at: float = REFERENCE
    rigging: float = REFERENCE
    steel_tape: bool = False

    @property
    def factor(self) -> float:
        """Reading of the tape over the length that is wanted. [1]"""
        wire = 1 + STEEL_EXPANSION * (self.at - self.rigging)
        tape = 1 + STEEL_EXPANSION * (self.at - REFERENCE) if self.steel_tape else 1.0
        return wire / tape

    def reading(self, length: float) -> float:
        """Return what the tape must read for a length at the rigging temperature. [m]"""
        return length * self.factor


def parse_temperature(text: str) -> float:
    """Return a temperature [°C] from ``"5"``, ``"-5 C"`` or ``"41 F"``.

    Raises
    ------
    ValueError
        If it is no temperature of a working day; the text is ``"<rule>; <way out>"``.
    """
    way_out = 'write degrees Celsius, or text such as "41 F"'
    match = re.fullmatch(r"\s*([-+\N{MINUS SIGN}]?\d+(?:\.\d+)?)\s*°?\s*([CcFf]?)\s*", text)
    if match is None:
        message = f"{text!r} is not a temperature; {way_out}"
        raise ValueError(message)
    value = float(match[1].replace("\N{MINUS SIGN}", "-"))
    if match[2] in ("F", "f"):
        value = (value - 32.0) * 5.0 / 9.0
    if not _COLDEST <= value <= _HOTTEST or not math.isfinite(value):
        message = f"{text!r} is no temperature to work in; {way_out}"
        raise ValueError(message)
    return value
