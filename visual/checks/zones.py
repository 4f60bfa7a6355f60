"""The fall zone: the circle of the rules, and the ground a rigid fall can touch."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Point, Polygon

from visual.ground import Profile
from visual.mechanics.polyline import leaves_spheres
from visual.model import Model

BEARINGS = 360  # one profile per degree: the outline is within 0.2 mm per metre of height
CIRCLE_QUARTER = 90  # segments per quarter of a drawn circle


@dataclass(frozen=True)
class FallZone:
    """What a falling mast can reach.

    Parameters
    ----------
    total_height : float
        Ground at the base to the highest point the rotor reaches. [m]
    circle_radius : float
        Radius of the circle the rules ask for: the total height, or a multiple of it. [m]
    bearings : ndarray, shape (n,)
        Grid bearings of `reach`. [rad]
    reach : ndarray, shape (n,)
        Horizontal distance from the hinge to the farthest ground within the total height,
        measured in 3D. Where the ground is unknown it is the total height itself, which no
        fall can exceed. [m]
    complete : bool
        False if the ground is unknown anywhere within the total height.
    """

    total_height: float
    circle_radius: float
    bearings: NDArray[np.float64] = field(repr=False)
    reach: NDArray[np.float64] = field(repr=False)
    complete: bool

    @property
    def circle(self) -> Polygon:
        """Horizontal circle about the base. [m]"""
        return Point(0.0, 0.0).buffer(self.circle_radius, quad_segs=CIRCLE_QUARTER)

    @property
    def circle_area(self) -> float:
        """Area of the circle. [m²]"""
        return math.pi * self.circle_radius**2

    @property
    def contact(self) -> Polygon:
        """Outline of the ground a rigid fall can touch, in plan. [m]"""
        x = self.reach * np.sin(self.bearings)
        y = self.reach * np.cos(self.bearings)
        return Polygon(np.column_stack([x, y]))

    @property
    def contact_area(self) -> float:
        """Plan area of the ground a rigid fall can touch. [m²]"""
        return float(self.contact.area)


def find_fall_zone(model: Model) -> FallZone:
    """Find both fall zones of a model."""
    height = model.rig.mast.total_height
    bearings = np.linspace(0.0, 2 * math.pi, BEARINGS, endpoint=False)
    profiles = model.ground.fan(0.0, 0.0, bearings, height * 1.001)
    return FallZone(
        total_height=height,
        circle_radius=height * model.site.limits.fall_zone_times.value,
        bearings=bearings,
        reach=_reach(profiles, height),
        complete=all(profile.complete for profile in profiles),
    )


def _reach(profiles: Sequence[Profile], height: float) -> NDArray[np.float64]:
    """Return the farthest horizontal distance at which a fall touches each profile. [m]"""
    count, longest = len(profiles), max(profile.distance.size for profile in profiles)
    points = np.full((count, longest, 2), np.nan)
    for row, profile in zip(points, profiles, strict=True):
        row[: profile.distance.size] = np.column_stack([profile.distance, profile.height])
    place = leaves_spheres(points, centres=np.zeros((count, 2)), radii=np.full(count, height))
    known = np.array([profile.complete for profile in profiles]) & ~np.isnan(place)
    piece = np.where(known, place, 0.0).astype(int)
    share = np.where(known, place, 0.0) - piece
    rows = np.arange(count)
    near, far = points[rows, piece, 0], points[rows, np.minimum(piece + 1, longest - 1), 0]
    # A whole corner number may be the last corner: nothing is added to it.
    reach = near + np.where(share > 0.0, share * (far - near), 0.0)
    return np.where(known, reach, height)
