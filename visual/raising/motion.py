"""Where each part of the mast is at a raising angle.

Mast, head and gin pole turn as one rigid body about the hinge axis.  With ``e_f`` to the front
and ``e_z`` up, the mast points along ``t = −cos θ e_f + sin θ e_z``; θ = 0 is level on the back
side and 90° is upright.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.model import Model, Vector

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Pose:
    """The turning parts at one raising angle, in the local frame.

    Parameters
    ----------
    angle : float
        Raising angle. [rad]
    axis : ndarray, shape (3,)
        Unit vector from hinge to mast top.
    normal : ndarray, shape (3,)
        Unit vector square to the mast, to the front when upright.
    top, tip : ndarray, shape (3,)
        Mast top and gin-pole tip. [m]
    collars : ndarray, shape (n, 3)
        Collars from the lowest to the highest. [m]
    head_centre, rotor_centre : ndarray, shape (3,), or None
        Centre of mass of the head and centre of the rotor; None without a head. [m]
    """

    angle: float
    axis: Vector = field(repr=False)
    normal: Vector = field(repr=False)
    top: Vector = field(repr=False)
    tip: Vector = field(repr=False)
    collars: Array = field(repr=False)
    head_centre: Vector | None = field(repr=False)
    rotor_centre: Vector | None = field(repr=False)


def in_raising_plane(model: Model, plane_angle: Array | float) -> Array:
    """Return unit vectors in the raising plane, shape (..., 3).

    Parameters
    ----------
    model : Model
        The mast on its site.
    plane_angle : array_like
        Angle from the front, upwards. [rad]
    """
    angle = np.asarray(plane_angle, dtype=float)[..., np.newaxis]
    return np.asarray(np.cos(angle) * model.forward + np.sin(angle) * model.upward)


def mast_direction(model: Model, angle: Array | float) -> Array:
    """Return the direction of the mast, t, at raising angles [rad], shape (..., 3)."""
    return in_raising_plane(model, math.pi - np.asarray(angle, dtype=float))


def mast_normal(model: Model, angle: Array | float) -> Array:
    """Return the direction square to the mast, to the front when upright, shape (..., 3)."""
    return in_raising_plane(model, math.pi / 2 - np.asarray(angle, dtype=float))


def gin_direction(model: Model, angle: Array | float) -> Array:
    """Return the direction of the gin pole: t turned towards the front by its angle."""
    turned = math.pi - np.asarray(angle, dtype=float) - model.rig.gin_pole.angle
    return in_raising_plane(model, turned)


def gin_tip(model: Model, angle: Array | float) -> Array:
    """Return the gin-pole tip at raising angles [rad], shape (..., 3). [m]"""
    return model.rig.gin_pole.length * gin_direction(model, angle)


def rotor_centre(model: Model, angle: Array | float) -> Array:
    """Return the middle of the rotor at raising angles [rad], shape (..., 3). [m]"""
    return model.rig.mast.hub_above_hinge * mast_direction(model, angle)


def head_centre(model: Model, angle: Array | float) -> Array:
    """Return the centre of mass of the head at raising angles [rad], shape (..., 3). [m]

    Without a head it is the mast top.
    """
    mast = model.rig.mast
    if mast.head is None:
        return mast.length * mast_direction(model, angle)
    along = mast.length + mast.head.centre_above_top
    across = mast.head.centre_to_front * mast_normal(model, angle)
    return np.asarray(along * mast_direction(model, angle) + across)


def turning_rate(model: Model, points: Array) -> Array:
    """Return how points of the turning parts move per angle of raising, shape (..., 3). [m/rad]

    A point ``a`` to the front and ``b`` up moves by ``(b, −a)``.
    """
    ahead = points @ model.forward
    return np.asarray(
        points[..., 2:3] * model.forward - ahead[..., np.newaxis] * model.upward, dtype=float
    )


def pose_at(model: Model, angle: float) -> Pose:
    """Return where every turning part is at one raising angle [rad]."""
    mast = model.rig.mast
    axis = mast_direction(model, angle)
    heights = np.array([collar.height for collar in mast.collars])
    return Pose(
        angle=angle,
        axis=axis,
        normal=mast_normal(model, angle),
        top=mast.length * axis,
        tip=gin_tip(model, angle),
        collars=heights[:, np.newaxis] * axis,
        head_centre=head_centre(model, angle) if mast.head else None,
        rotor_centre=rotor_centre(model, angle) if mast.head else None,
    )
