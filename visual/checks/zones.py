"""The fall zone: the circle of the rules, and the ground a rigid fall can touch."""

import math
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
    profiles = [model.ground.profile(0.0, 0.0, float(b), 0.0, height * 1.001) for b in bearings]
    return FallZone(
        total_height=height,
        circle_radius=height * model.site.limits.fall_zone_times.value,
        bearings=bearings,
        reach=np.array([_reach(profile, height) for profile in profiles]),
        complete=not any(np.isnan(profile.height).any() for profile in profiles),
    )


def _reach(profile: Profile, height: float) -> float:
    """Return the farthest horizontal distance at which a fall touches the ground. [m]"""
    if np.isnan(profile.height).any():
        return height
    points = np.column_stack([profile.distance, profile.height])
    place = leaves_spheres(points, centres=np.zeros((1, 2)), radii=np.array([height]))
    if np.isnan(place).any():
        return height
    return float(np.interp(place[0], np.arange(profile.distance.size), profile.distance))
