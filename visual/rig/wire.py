"""Wire types: what a coil of wire is, before it is cut."""

from dataclasses import dataclass


@dataclass(frozen=True)
class WireType:
    """One kind of wire or rope.

    Parameters
    ----------
    name : str
        Name in the site file.
    diameter : float
        Nominal diameter. [m]
    mass_per_metre : float
        Mass per unstressed length. [kg/m]
    stiffness : float
        Axial stiffness EA. [N]
    breaking_load : float
        Minimum breaking load. [N]
    source : str
        Catalogue page or standard that the figures come from.
    """

    name: str
    diameter: float
    mass_per_metre: float
    stiffness: float
    breaking_load: float
    source: str
