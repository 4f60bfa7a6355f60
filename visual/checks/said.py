"""Sentences of findings in the units of the reader.

A finding is worded once. Its lengths are metric, its forces in the units of its site; whoever
shows it to a person restates the quantities in the sentence. A length that the finding knows
exactly is restated from there: in sentence and column it must read the same.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

from visual.checks.finding import Finding
from visual.units import (
    UnitSystem,
    format_force,
    format_length,
    format_mass,
    parse_force,
    parse_length,
    parse_mass,
)

_FOOT = 0.3048

# A number, a space, a unit, and nothing behind it that would make it another unit.
_QUANTITY = re.compile(
    r"(?<![\w.,/])(?P<sign>[+-]?)(?P<number>\d+(?:\.\d+)?) "
    r"(?P<unit>kNm|kN|kg|km|mm|m/s|m²|m|N|lbf|lb)(?![\w/²³^])"
)


def said_in(finding: Finding, units: UnitSystem) -> str:
    """Return the sentence of a finding with every quantity in the units asked for."""
    lengths = (finding.value, finding.limit, finding.margin) if finding.unit == "m" else ()
    return in_units(finding.message, units, lengths=lengths)


def in_units(sentence: str, units: UnitSystem, *, lengths: Iterable[float | None] = ()) -> str:
    """Return a sentence of a finding with every quantity in the units asked for.

    Parameters
    ----------
    sentence : str
        As in `Finding.message`: plain decimal numbers with a metric unit, or pounds.
    units : {"metric", "imperial"}
        Quantities that are in these units already stay as they are written. Angles, shares and
        numbers without a unit always do.
    lengths : iterable of float or None
        Lengths of which the sentence may say the rounded size. [m]
    """
    table = _TO_IMPERIAL if units == "imperial" else _TO_METRIC
    exact = {f"{abs(one):.2f} m": abs(one) for one in lengths if one is not None}

    def restated(found: re.Match[str]) -> str:
        write = table.get(found["unit"])
        if write is None:
            return found[0]
        known = exact.get(f"{found['number']} {found['unit']}")
        size = write(found["number"]) if known is None else format_length(known, units)
        return found["sign"] + size

    return _QUANTITY.sub(restated, sentence)


def _length(unit: str) -> Callable[[str], str]:
    return lambda number: format_length(parse_length(f"{number} {unit}"), "imperial")


def _force(unit: str, units: UnitSystem) -> Callable[[str], str]:
    return lambda number: format_force(parse_force(f"{number} {unit}"), units)


def _mass(unit: str, units: UnitSystem) -> Callable[[str], str]:
    return lambda number: format_mass(parse_mass(f"{number} {unit}"), units)


def _speed(number: str) -> str:
    return f"{float(number) * 3600.0 / (5280.0 * _FOOT):.0f} mph"


def _area(number: str) -> str:
    return f"{float(number) / _FOOT**2:.0f} ft²"


def _moment(number: str) -> str:
    """Return a bending moment in pound-feet. [kNm]"""
    return f"{float(number) * parse_force('1 kN') / parse_force('1 lbf') / _FOOT:.0f} lbf ft"


_TO_IMPERIAL: Mapping[str, Callable[[str], str]] = MappingProxyType(
    {
        **{unit: _length(unit) for unit in ("m", "mm", "km")},
        **{unit: _force(unit, "imperial") for unit in ("N", "kN")},
        "kg": _mass("kg", "imperial"),
        "m/s": _speed,
        "m²": _area,
        "kNm": _moment,
    }
)
_TO_METRIC: Mapping[str, Callable[[str], str]] = MappingProxyType(
    {"lbf": _force("lbf", "metric"), "lb": _mass("lb", "metric")}
)
