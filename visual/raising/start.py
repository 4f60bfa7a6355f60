"""The start angle: how low the mast can lie.

Each thing that must stay off the ground gives an angle below which it does not.  The largest of
them is the start angle.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from visual.mechanics.root import root_between
from visual.model import Model
from visual.raising.motion import Array, head_centre, mast_direction, rotor_centre
from visual.rig import HEAD_RADIUS

LOWEST = math.radians(-60.0)  # steeper ground than this carries no tilt-up mast
HIGHEST = math.radians(89.0)
SCAN_STEP = math.radians(0.2)
COARSE_STEP = math.radians(4.0)
ANGLE_ROUNDING = 1e-14  # [rad] a start angle is found to this
COLLAR_ROOM = 0.05  # [m] shackle and thimble below the tube; common practice, no source
POINT_SPACING = 0.1  # [m] along the mast
BASE_PAD = 1.0  # [m] the ground right at the hinge is dug level; common practice, no source
DISC_RINGS, DISC_RAYS = 12, 24  # points under the rotor; within 3 mm for a 5 m rotor

PointAt = Callable[[Model, Array], Array]
"""A point that turns with the mast: model and raising angles to points, shape (k, 3). [m]"""


@dataclass(frozen=True)
class Gap:
    """Room under points that turn with the mast, beyond what is asked for.

    Parameters
    ----------
    model : Model
        The mast on its site.
    points : callable
        From raising angles, shape (k,) [rad], to the points, shape (k, n, 3). [m]
    reach : float or ndarray, shape (n,)
        How far each moves per angle at most; a larger one is more careful. [m/rad]
    needed : float
        Room asked for under each. [m]
    """

    model: Model
    points: Callable[[Array], Array]
    reach: float | Array
    needed: float = 0.0

    def room(self, angles: Array) -> Array:
        """Return the least room left at each raising angle; negative: too low. [m]"""
        return np.asarray(self._rooms(angles).min(axis=1))

    def may_close(self, angles: Array, step: float) -> NDArray[np.bool_]:
        """Tell at which angles any point may be too low within a step of the angle. [rad]

        No point moves farther than its reach times the step, and on ground no steeper than 45°
        its room changes by no more than twice that.
        """
        return np.asarray(~(self._rooms(angles) > 2 * self.reach * step).all(axis=1))

    def _rooms(self, angles: Array) -> NDArray[np.float64]:
        points = self.points(angles)
        ground = self.model.ground.height(points[..., 0], points[..., 1])
        return np.asarray(points[..., 2] - ground - self.needed)


@dataclass(frozen=True)
class StartAngle:
    """How low the mast can lie.

    Parameters
    ----------
    angle : float
        Start angle with all that is mounted; NaN if the ground behind is unknown. [rad]
    limited_by : str
        What sets it: ``"ground"``, ``"trestle"``, ``"collar"``, ``"head"`` or ``"rotor"``.
    without_head : float
        Start angle of the bare mast, as it is raised the first time. [rad]
    by_part : mapping of str to float
        The angle each thing asks for. [rad]
    """

    angle: float
    limited_by: str
    without_head: float
    by_part: Mapping[str, float]


def find_start(model: Model, *, trestle: float, head_clearance: float) -> StartAngle:
    """Find the start angle of a mast on its ground.

    Parameters
    ----------
    model : Model
        The mast on its site.
    trestle : float
        Height of the support under the mast top. [m]
    head_clearance : float
        Room that head and rotor need above the ground. [m]
    """
    mast, head = model.rig.mast, model.rig.mast.head
    reach = mast.reach + head_clearance
    point, ball = partial(_point_gap, model, reach=reach), partial(_ball_gap, model, reach=reach)
    collars = [_last_low(point(one.height, room=COLLAR_ROOM)) for one in mast.collars]
    bare = {
        "ground": _last_low(_tube_gap(model)),
        "trestle": _last_low(point(mast.length, room=trestle)),
        "collar": max(collars, key=_nan_first, default=LOWEST),
    }
    loaded = dict(bare)
    if head:
        radius = HEAD_RADIUS + head_clearance
        loaded["head"] = _last_low(ball(head_centre, radius=radius))
    if head and head.rotor_radius > 0:
        radius = head.rotor_radius + head_clearance
        loaded["rotor"] = _last_low(ball(rotor_centre, radius=radius))
    limited_by = max(loaded, key=lambda name: _nan_first(loaded[name]))
    return StartAngle(
        angle=loaded[limited_by],
        limited_by=limited_by,
        without_head=max(bare.values(), key=_nan_first),
        by_part=loaded,
    )


def _nan_first(angle: float) -> float:
    """Rank an unknown angle above every known one, so that it is never hidden."""
    return math.inf if math.isnan(angle) else angle


def _last_low(gap: Gap) -> float:
    """Return the highest angle at which the gap is still negative; NaN if it is unknown there.

    Ground farther out than the mast reaches at a steep angle does not matter, so the scan runs
    from upright downwards and stops at the first angle that is too low.
    """
    for angles in _fine_blocks(gap):
        room = gap.room(angles)
        bad = np.flatnonzero(~(room >= 0.0))
        if bad.size == 0:
            continue
        first = int(bad[0])
        if math.isnan(room[first]):
            return math.nan
        return (
            float(angles[0])
            if first == 0
            else _touching(gap, float(angles[first]), float(angles[first - 1]))
        )
    return LOWEST


def _fine_blocks(gap: Gap) -> Iterator[Array]:
    """Yield angles downwards in fine steps, leaving out what is far above the ground."""
    coarse = np.arange(HIGHEST, LOWEST, -COARSE_STEP)
    near = gap.may_close(coarse, COARSE_STEP)
    first = int(np.argmax(near)) if near.any() else coarse.size
    for top in coarse[max(first - 1, 0) :]:
        # One step more than the block, so that neighbouring blocks share an angle.
        yield top - SCAN_STEP * np.arange(round(COARSE_STEP / SCAN_STEP) + 1)


def _touching(gap: Gap, low: float, high: float) -> float:
    """Return where in [low: too low, high: free] the gap closes, far below any tape or level."""

    def room(angle: float) -> float:
        found = float(gap.room(np.array([angle]))[0])
        return -1.0 if math.isnan(found) else found  # unknown ground is as bad as none

    return root_between(room, low, high, tolerance=ANGLE_ROUNDING, not_below=True)


def _point_gap(model: Model, along: float, *, room: float, reach: float) -> Gap:
    """Room under the tube at one place along the mast, beyond what is asked for."""
    return _along_gap(model, np.array([along]), reach=reach, room=room)


def foot_length(mast_length: float) -> float:
    """Return how much of a mast is over the levelled ground of its base plate. [m]"""
    return min(BASE_PAD, mast_length / 4)


def _tube_gap(model: Model) -> Gap:
    """Room under the lowest point of the whole tube.

    Each point is given the reach it has: over any place beyond its foot the tube is the higher the
    larger the angle. So ground it clears at one angle it clears at all above, however steep.
    """
    mast = model.rig.mast
    first = foot_length(mast.length)
    count = max(2, math.ceil(mast.length / POINT_SPACING) + 1)
    along = np.linspace(first, mast.length, count)
    return _along_gap(model, along, reach=along)


def _along_gap(model: Model, along: Array, *, reach: float | Array, room: float = 0.0) -> Gap:
    """Room under the tube at places along the mast."""

    def points(angle: Array) -> Array:
        axis = mast_direction(model, angle)
        return np.asarray(along[np.newaxis, :, np.newaxis] * axis[:, np.newaxis, :])

    return Gap(model, points, reach, room + model.rig.mast.radius)


def _ball_gap(model: Model, centre: PointAt, *, radius: float, reach: float) -> Gap:
    """Room under a ball that turns with the mast.

    The room asked for is part of the ball, so that it holds square to sloping ground too.
    """
    offsets = _disc(radius)

    def points(angle: Array) -> Array:
        return centre(model, angle)[:, np.newaxis, :] + offsets[np.newaxis, :, :]

    return Gap(model, points, reach)


def _disc(radius: float) -> Array:
    """Return points on the lower half of a sphere of the given radius, shape (n, 3)."""
    ring = np.linspace(0.0, radius, DISC_RINGS)
    ray = np.linspace(0.0, 2 * math.pi, DISC_RAYS, endpoint=False)
    out, turn = np.meshgrid(ring, ray)
    drop = -np.sqrt(np.maximum(radius**2 - out**2, 0.0))
    return np.stack([out * np.cos(turn), out * np.sin(turn), drop], axis=-1).reshape(-1, 3)
