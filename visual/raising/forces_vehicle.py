"""What the vehicle can pull on its lane, against what the raise needs.

Assumed: the wheels stand from 1 to 4 m ahead of the hitch (common practice, no source), on the
mean slope between; the line is straight; grip and rolling resistance are those of the site file.
Going down, the vehicle only holds: rolling resistance then helps it, and it needs less grip.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from visual.mechanics.pivot import units_between
from visual.mechanics.traction import largest_pull, wheels_lift
from visual.model import Model
from visual.raising.forces_run import RaiseRun
from visual.raising.motion import Array
from visual.raising.tow import TowPath
from visual.units import STANDARD_GRAVITY

WHEELS = (1.0, 4.0)  # [m] rear and front axle ahead of the hitch; common practice, no source


@dataclass(frozen=True)
class VehiclePull:
    """The vehicle at each step; arrays have shape (n,).

    Parameters
    ----------
    needed : ndarray
        Line pull at the hitch. [N]
    available : ndarray
        Largest pull before the wheels spin. [N]
    slope : ndarray
        Slope under the wheels, positive uphill to the front. [rad]
    line_angle : ndarray
        Line at the hitch above horizontal, positive where it rises back to the mast. [rad]
    lift : ndarray
        Force that lifts the hitch, positive up. [N]
    off_ground : ndarray
        Pull at which the line would take all weight off the wheels. [N]
    """

    needed: Array = field(repr=False)
    available: Array = field(repr=False)
    slope: Array = field(repr=False)
    line_angle: Array = field(repr=False)
    lift: Array = field(repr=False)
    off_ground: Array = field(repr=False)

    @property
    def worst(self) -> int:
        """Step at which the pull left over is smallest; the first unknown one, if any is."""
        spare = self.available - self.needed
        unknown = np.flatnonzero(np.isnan(spare))
        return int(unknown[0]) if unknown.size else int(np.argmin(spare))


def vehicle_pull(model: Model, run: RaiseRun) -> VehiclePull | None:
    """Return what the vehicle needs and can do at each step; None for a winch."""
    tow = model.rig.tow
    if tow.by != "vehicle":
        return None
    path = run.tow
    slope, line = wheel_slope(path), hitch_line_angle(path)
    weight = tow.vehicle_mass * STANDARD_GRAVITY
    return VehiclePull(
        needed=run.hauling,
        available=largest_pull(
            slope,
            line,
            weight=weight,
            grip=tow.grip,
            rolling=tow.rolling,
            driven=tow.driven_share,
        ),
        slope=slope,
        line_angle=line,
        lift=run.hauling * np.sin(line),
        off_ground=wheels_lift(slope, line, weight=weight),
    )


def wheel_slope(path: TowPath) -> Array:
    """Return the mean slope between the axles, positive uphill to the front. [rad]"""
    rear, front = (path.lane.height_at(path.distance + ahead) for ahead in WHEELS)
    return np.arctan((front - rear) / (WHEELS[1] - WHEELS[0]))


def hitch_line_angle(path: TowPath) -> Array:
    """Return the angle of the line at the hitch above horizontal. [rad]"""
    far = path.tips if path.block is None else np.broadcast_to(path.block, path.tips.shape)
    unit = units_between(path.ends, far)
    return np.arctan2(unit[:, 2], np.hypot(unit[:, 0], unit[:, 1]))


def pull_in_words(angle: float) -> str:
    """Say which way the line pulls the hitch at an angle above horizontal [rad]."""
    return "lifts the hitch" if math.sin(angle) > 0 else "presses the hitch down"
