"""Features of the surroundings as records: as read, and as the model uses them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shapely.geometry.base import BaseGeometry

from visual.site.kinds import Kind

EYE_HEIGHT = 1.6
"""Eyes of a standing person above the ground; common practice, no published source. [m]"""


@dataclass(frozen=True)
class Feature:
    """One thing of the surroundings, in plan.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    name : str
        As in the file, or kind and number.
    shape : shapely geometry
        Outline in the local frame: x grid east, y grid north. [m]
    number : int
        Its place in the file, counted from 1.
    height : float or None
        Above the ground; of buildings and trees. [m]
    crown_radius : float or None
        Of trees. [m]
    voltage_kv : float or None
        Of overhead lines; None if unknown. [kV]
    conductor_heights : tuple of float or None
        Of overhead lines: lowest conductor above the ground at each vertex of `shape`. [m]
    sag : float or None
        Of overhead lines: below the chord at mid span; None if unknown. [m]
    spread : float
        Of overhead lines: width between the outer conductors. [m]
    eye_height : float
        Of viewpoints. [m]
    """

    kind: Kind
    name: str
    shape: BaseGeometry
    number: int
    height: float | None = None
    crown_radius: float | None = None
    voltage_kv: float | None = None
    conductor_heights: tuple[float, ...] | None = None
    sag: float | None = None
    spread: float = 0.0
    eye_height: float = EYE_HEIGHT


@dataclass(frozen=True)
class RawFeature:
    """A feature as read, before its rules are checked.

    Parameters
    ----------
    place : str
        Where it stands, for messages: ``"feature 3"``.
    number : int
        Its place in the file, counted from 1.
    geometry : shapely geometry or None
        In the CRS of the file.
    properties : mapping of str to object
        Names in lower case; a value that is not given is None.
    """

    place: str
    number: int
    geometry: BaseGeometry | None
    properties: Mapping[str, Any]
