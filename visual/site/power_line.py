"""Clearance to overhead lines by voltage.

Every line counts as live. Where the voltage is unknown the distance is the one that holds
without asking for it; where no table gives a distance there is none, and the owner must be asked.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

TableName = Literal["osha", "ontario"]

_FOOT = 0.3048

ASK_THE_OWNER = "ask the owner of the line"

UNKNOWN_VOLTAGE_DISTANCE = 20 * _FOOT
"""29 CFR 1926.1408: no part within 20 ft where the voltage is not established. [m]"""

_NOTE_ABOVE = 350.0  # [kV]

HIGHEST_VOLTAGE = 1000.0
"""Above this the owner or a professional engineer sets the distance. [kV]"""


@dataclass(frozen=True)
class ClearanceTable:
    """Least distance to a live line, in steps of voltage.

    Parameters
    ----------
    rows : tuple of (float, float)
        Highest voltage of the step and distance; each step holds up to and with its voltage.
        [kV], [m]
    source : str
        Where it is published.
    note : str
        What else holds above 350 kV; empty if nothing does.
    """

    rows: tuple[tuple[float, float], ...]
    source: str
    note: str = ""

    def distance(self, voltage_kv: float) -> float | None:
        """Return the distance of the step the voltage falls into; None beyond the table [m]."""
        for highest, distance in self.rows:
            if voltage_kv <= highest:
                return distance
        return None


CLEARANCE_TABLES: Mapping[TableName, ClearanceTable] = MappingProxyType(
    {
        "osha": ClearanceTable(
            rows=(
                (50.0, 10 * _FOOT),
                (200.0, 15 * _FOOT),
                (350.0, 20 * _FOOT),
                (500.0, 25 * _FOOT),
                (750.0, 35 * _FOOT),
                (HIGHEST_VOLTAGE, 45 * _FOOT),
            ),
            source="OSHA 29 CFR 1926.1408, Table A",
            note="29 CFR 1926.1409 presumes 50 ft above 350 kV until the owner confirms",
        ),
        # The regulation begins at 750 V; a lower voltage is held to the first step all the same.
        "ontario": ClearanceTable(
            rows=((150.0, 3.0), (250.0, 4.5), (HIGHEST_VOLTAGE, 6.0)),
            source="Ontario Regulation 213/91, section 188",
        ),
    }
)
"""Published tables by the name used in a site file."""


@dataclass(frozen=True)
class Requirement:
    """The distance to keep from one overhead line.

    Parameters
    ----------
    distance : float or None
        None where the owner must set it. [m]
    basis : str
        Where it comes from.
    overridden : bool
        True if the site file states it.
    """

    distance: float | None
    basis: str
    overridden: bool = False


def required_clearance(
    voltage_kv: float | None, *, table: TableName = "osha", distance: float | None = None
) -> Requirement:
    """Return the distance to keep from an overhead line.

    Parameters
    ----------
    voltage_kv : float or None
        Nominal voltage; None if unknown. [kV]
    table : {"osha", "ontario"}
        The table to use.
    distance : float or None
        The site file's own distance, which replaces the table. [m]
    """
    published = _published_clearance(voltage_kv, CLEARANCE_TABLES[table])
    if distance is None:
        return published
    said = "no distance" if published.distance is None else f"{published.distance:.3f} m"
    basis = f"stated in the site file (the table gives {said}: {published.basis})"
    return Requirement(distance, basis, overridden=True)


def _published_clearance(voltage_kv: float | None, table: ClearanceTable) -> Requirement:
    if voltage_kv is None:
        basis = "voltage unknown: 20 ft, OSHA 29 CFR 1926.1408"
        return Requirement(UNKNOWN_VOLTAGE_DISTANCE, basis)
    distance = table.distance(voltage_kv)
    if distance is None:
        basis = f"{voltage_kv:g} kV is above {HIGHEST_VOLTAGE:g} kV: {ASK_THE_OWNER}"
        return Requirement(None, basis)
    basis = f"{table.source}, {voltage_kv:g} kV"
    if voltage_kv > _NOTE_ABOVE and table.note:
        basis += f"; {table.note}"
    return Requirement(distance, basis)


@dataclass(frozen=True)
class OverheadLineRule:
    """Which distance a site keeps from overhead lines.

    Parameters
    ----------
    table : {"osha", "ontario"}
        Table by voltage.
    distance : float or None
        A fixed distance that replaces the table. [m]
    """

    table: TableName = "osha"
    distance: float | None = None

    def required(self, voltage_kv: float | None) -> Requirement:
        """Return the distance to keep from a line of this voltage in kV (None: unknown)."""
        return required_clearance(voltage_kv, table=self.table, distance=self.distance)
