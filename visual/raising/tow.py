"""The tow line and the lane: where the vehicle is at each raising angle.

The line keeps its length.  A vehicle drives away from the base along the front bearing, its hitch
at a constant height above the real ground; the hitch is where the line from the gin-pole tip
(or from the block at the front anchor) is just stretched.  A winch stands at the front anchor
and shortens the line instead.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from visual.ground import Profile
from visual.mechanics.polyline import leaves_spheres
from visual.model import Model, Vector
from visual.raising.motion import Array, gin_tip

LANE_SPARE = 6.0  # [m] a vehicle's length beyond the farthest hitch


@dataclass(frozen=True)
class TowPath:
    """Tow line and vehicle through the raise.

    Parameters
    ----------
    angles : ndarray, shape (n,)
        Raising angles. [rad]
    distance : ndarray, shape (n,)
        Horizontal distance from base to hitch along the lane; NaN where no place on known ground
        stretches the line. For a winch, the distance to the winch. [m]
    travel : ndarray, shape (n,)
        Ground driven, or line wound in, since the first angle. [m]
    tips, ends : ndarray, shape (n, 3)
        Gin-pole tip, and where the line ends at hitch or winch. [m]
    block : ndarray, shape (3,), or None
        Block at the front anchor, if the line runs through one. [m]
    lane : Profile
        Ground along the front bearing.
    """

    angles: Array
    distance: Array
    travel: Array
    tips: Array = field(repr=False)
    ends: Array = field(repr=False)
    block: Vector | None = field(repr=False)
    lane: Profile = field(repr=False)

    def line_at(self, index: int) -> Array:
        """Return the tow line at one step, from the tip on, shape (2 or 3, 3). [m]"""
        tip, end = self.tips[index], self.ends[index]
        middle = [] if self.block is None else [self.block]
        return np.array([tip, *middle, end])


def tow_path(model: Model, angles: Array) -> TowPath:
    """Return tow line and vehicle at raising angles [rad]; travel counts from the first of them."""
    lane = lane_profile(model)
    tips, ends, distance = line_places(model, lane, angles)
    return TowPath(
        angles=angles,
        distance=distance,
        travel=_travel(model, lane, tips, ends, distance),
        tips=tips,
        ends=ends,
        block=block_at_anchor(model),
        lane=lane,
    )


def lane_profile(model: Model) -> Profile:
    """Return the ground along the front bearing, as far as the vehicle can come."""
    reach = model.rig.gin_pole.length + model.rig.tow.line_length + LANE_SPARE
    return model.ground.profile(0.0, 0.0, model.rig.front, 0.0, reach)


def block_at_anchor(model: Model) -> Vector | None:
    """Return the block that the line runs through, at the eye of the front anchor; or None."""
    return model.anchors["front"].eye if model.rig.tow.through_front_anchor else None


def line_places(model: Model, lane: Profile, angles: Array) -> tuple[Array, Array, Array]:
    """Return tips, ends of the line and their distance from the base at raising angles.

    Parameters
    ----------
    model : Model
        The mast on its site.
    lane : Profile
        The `lane_profile` of the model.
    angles : ndarray, shape (n,)
        Raising angles. [rad]

    Returns
    -------
    tips, ends : ndarray, shape (n, 3)
        Gin-pole tip and where the line ends. [m]
    distance : ndarray, shape (n,)
        Horizontal distance from the base to the end; NaN where it has no place. [m]
    """
    tips = gin_tip(model, angles)
    if model.rig.tow.by == "winch":
        eye = model.anchors["front"].eye
        away = math.hypot(*eye[:2]) if model.anchors["front"].placed else math.nan
        return tips, np.broadcast_to(eye, tips.shape), np.full(len(tips), away)
    distance = _hitch_distance(model, lane, tips)
    return tips, _hitch_point(model, lane, distance), distance


def _hitch_point(model: Model, lane: Profile, distance: Array) -> Array:
    """Return the hitch at distances along the lane, shape (n, 3). [m]"""
    height = lane.height_at(distance) + model.rig.tow.hitch_height
    ahead = distance[:, np.newaxis] * model.forward
    return np.asarray(ahead + height[:, np.newaxis] * model.upward)


def _hitch_distance(model: Model, lane: Profile, tips: Array) -> Array:
    """Return the farthest place on the lane where the line is just stretched; NaN if none. [m]"""
    block = block_at_anchor(model)
    line = np.full(len(tips), model.rig.tow.line_length)
    centres = tips
    if block is not None:
        line = line - np.linalg.norm(tips - block, axis=1)
        centres = np.broadcast_to(block, tips.shape)
    place = leaves_spheres(
        _hitch_point(model, lane, lane.distance), centres=centres, radii=np.maximum(line, 0.0)
    )
    distance = np.interp(place, np.arange(lane.distance.size), lane.distance)
    ahead = distance > centres @ model.forward
    return np.where(ahead & (line > 0.0), distance, math.nan)


def _travel(model: Model, lane: Profile, tips: Array, ends: Array, distance: Array) -> Array:
    """Return the ground driven, or the line wound in, since the first place. [m]"""
    if model.rig.tow.by == "winch":
        length = np.linalg.norm(tips - ends, axis=1)
        return np.asarray(length[0] - length)
    if math.isnan(distance[0]):
        return np.full(distance.shape, math.nan)
    return lane.lengths_from(float(distance[0]), distance)
