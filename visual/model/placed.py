"""What stands on the ground: anchors and surroundings, placed in the local frame."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Polygon

from visual.rig import Side

Vector = NDArray[np.float64]
"""A point or direction, shape (3,): x grid east, y grid north, z up. [m]"""


@dataclass(frozen=True)
class PlacedAnchor:
    """An anchor on the ground.

    Parameters
    ----------
    side : {"front", "right", "back", "left"}
        Which anchor.
    eye : ndarray, shape (3,)
        Eye of the anchor in the local frame. [m]
    ground_height : float
        Ground at the eye, z in the local frame; NaN where the ground is unknown. [m]
    capacity : float or None
        Working load; None where not stated. [N]
    as_built : bool
        True if its position was measured, False if it is only planned.
    """

    side: Side
    eye: Vector = field(repr=False)
    ground_height: float
    capacity: float | None
    as_built: bool

    @property
    def bearing(self) -> float:
        """Grid bearing from the base, in 0 … 2π. [rad]"""
        return math.atan2(self.eye[0], self.eye[1]) % (2 * math.pi)

    @property
    def placed(self) -> bool:
        """True if the height of its eye is known."""
        return not math.isnan(self.eye[2])

    @property
    def radius(self) -> float:
        """Horizontal distance from the base. [m]"""
        return math.hypot(self.eye[0], self.eye[1])


@dataclass(frozen=True)
class PlacedBuilding:
    """A building as an upright prism.

    Parameters
    ----------
    name : str
        As in the data file, or "building 3".
    footprint : Polygon
        Plan outline, local frame. [m]
    base : float
        Lowest ground along the outline, z; NaN where unknown. [m]
    top : float
        Highest ground along the outline plus the building's height, z; NaN where unknown. [m]
    """

    name: str
    footprint: Polygon
    base: float
    top: float


@dataclass(frozen=True)
class PlacedTree:
    """A tree, taken as an upright cylinder as wide as its crown.

    Parameters
    ----------
    name : str
        As in the data file, or "tree 3".
    foot : ndarray, shape (3,)
        Where the stem meets the ground; z is NaN where unknown. [m]
    height : float
        Ground to top. [m]
    crown_radius : float
        Radius of the crown. [m]
    """

    name: str
    foot: Vector = field(repr=False)
    height: float
    crown_radius: float

    @property
    def top(self) -> float:
        """Top of the tree, z. [m]"""
        return float(self.foot[2]) + self.height


@dataclass(frozen=True)
class PlacedLine:
    """An overhead line.

    Parameters
    ----------
    name : str
        As in the data file, or "overhead line 1".
    supports : ndarray, shape (n, 3)
        Where the lowest conductor hangs at each support; z is NaN where unknown. [m]
    support_feet : ndarray, shape (n,)
        Ground at each support, z. [m]
    voltage_kv : float or None
        Nominal voltage; None if unknown. [kV]
    sag : float or None
        Sag of each span below its chord at mid span; None if unknown. [m]
    spread : float
        Widest distance between outer conductors, square to the line. [m]
    """

    name: str
    supports: NDArray[np.float64] = field(repr=False)
    support_feet: NDArray[np.float64] = field(repr=False)
    voltage_kv: float | None
    sag: float | None
    spread: float


@dataclass(frozen=True)
class PlacedArea:
    """Anything that only has a plan: boundary, road, keep-out, water and other kinds.

    Parameters
    ----------
    kind : str
        Kind as in the data file.
    name : str
        As in the data file, or "road 1".
    shape : shapely geometry
        Plan geometry in the local frame. [m]
    """

    kind: str
    name: str
    shape: Polygon | MultiPolygon | LineString | MultiLineString


@dataclass(frozen=True)
class PlacedViewpoint:
    """A place somebody looks from.

    Parameters
    ----------
    name : str
        Name of the viewpoint.
    eye : ndarray, shape (3,)
        The eye; z is NaN where the ground is unknown. [m]
    """

    name: str
    eye: Vector = field(repr=False)


@dataclass(frozen=True)
class Surroundings:
    """Everything around the mast, on the ground and in the local frame."""

    buildings: tuple[PlacedBuilding, ...] = ()
    trees: tuple[PlacedTree, ...] = ()
    lines: tuple[PlacedLine, ...] = ()
    areas: tuple[PlacedArea, ...] = ()
    viewpoints: tuple[PlacedViewpoint, ...] = ()

    def areas_of(self, kind: str) -> tuple[PlacedArea, ...]:
        """Return the areas of one kind, such as ``"boundary"`` or ``"road"``."""
        return tuple(area for area in self.areas if area.kind == kind)
