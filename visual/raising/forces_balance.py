"""Adding the forces up again, another way: in the local frame, from what each part feels.

The pull comes from virtual work of the whole, the lift wires and the pole from the structure in the
frame of the mast.  If both are right, the forces at the gin-pole tip add up to nothing, and so do
the moments on the mast alone.
"""

import math
from collections.abc import Sequence

import numpy as np

from visual.mechanics.pivot import moment_of, units_between
from visual.model import Model
from visual.raising.forces_beam import MastForces, MastStructure
from visual.raising.motion import Array, gin_tip, mast_direction, mast_normal, turning_rate
from visual.raising.tow import TowPath
from visual.raising.weights import Weights
from visual.units import STANDARD_GRAVITY


def far_end(path: TowPath) -> Array:
    """Return where the piece of line at the tip goes to at each step, shape (n, 3). [m]"""
    return path.ends if path.block is None else np.broadcast_to(path.block, path.tips.shape)


def imbalance(
    structure: MastStructure,
    states: Sequence[MastForces | None],
    path: TowPath,
    *,
    pull: Array,
    hold: Array,
    on_tip: Array,
) -> Array:
    """Return what is left over at each step, over the weight of everything. [1]

    Parameters
    ----------
    structure : MastStructure
        Mast, pole and lift wires.
    states : sequence of MastForces or None
        Its forces at each step.
    path : TowPath
        Tow line at each step.
    pull, hold : ndarray, shape (n,)
        Tension of tow line and of the top back wire, from virtual work. [N]
    on_tip : ndarray, shape (n,)
        Mass of tow line on the tip. [kg]

    Returns
    -------
    ndarray, shape (n,)
        NaN where there are no forces.
    """
    model, weights = structure.model, structure.weights
    known = np.array([state is not None for state in states], dtype=bool)
    forces = [state for state in states if state is not None]
    left = np.full(len(states), math.nan)
    if not forces:
        return left
    angles = path.angles[known]
    lines = units_between(path.tips, far_end(path))[known]
    tow = np.where(pull[known] > 0, pull[known], 0.0)[:, np.newaxis]
    tow = np.where(tow > 0, tow * lines, 0.0)
    at_tip = _left_at_tip(model, weights, forces, angles, tow, on_tip[known])
    moment = _left_on_mast(model, weights, forces, angles)
    moment += hold[known] * _back_moment(model, angles)
    size = STANDARD_GRAVITY * weights.mass
    left[known] = np.maximum(at_tip / size, np.abs(moment) / (size * model.rig.mast.length))
    return left


def _back_moment(model: Model, angles: Array) -> Array:
    """Return the moment on the mast of 1 N in the top back wire. [m]"""
    collar = model.rig.mast.collars[-1].height * mast_direction(model, angles)
    unit = units_between(collar, model.anchors["back"].eye)
    return moment_of(unit, turning_rate(model, collar))


def _lift_pulls(model: Model, forces: Sequence[MastForces], angles: Array) -> tuple[Array, Array]:
    """Return the collars, and the pull of each lift wire on its collar, shape (n, levels, 3)."""
    heights = np.array([collar.height for collar in model.rig.mast.collars])
    collars = heights[:, np.newaxis] * mast_direction(model, angles)[:, np.newaxis, :]
    unit = units_between(collars, gin_tip(model, angles)[:, np.newaxis, :])
    tension = np.array([state.lift_wires for state in forces])
    return collars, tension[..., np.newaxis] * unit


def _left_at_tip(
    model: Model,
    weights: Weights,
    forces: Sequence[MastForces],
    angles: Array,
    tow: Array,
    on_tip: Array,
) -> Array:
    """Return the force left over at the tip at each angle. [N]"""
    tip = gin_tip(model, angles)
    thrust = np.array([state.pole_thrust for state in forces])[:, np.newaxis]
    lift = _lift_pulls(model, forces, angles)[1].sum(axis=1)
    on_top = (weights.pole.mass / 2 + weights.at_tip + on_tip)[:, np.newaxis]
    gravity = STANDARD_GRAVITY * on_top * model.upward
    left = thrust * units_between(np.zeros(3), tip) + tow - lift - gravity
    # sideways the stays hold the tip: only what is in the raising plane must vanish
    return np.asarray(np.hypot(left @ model.forward, left[:, 2]))


def _left_on_mast(
    model: Model, weights: Weights, forces: Sequence[MastForces], angles: Array
) -> Array:
    """Return the moment of lift wires and weights left over on the mast at each angle. [N m]"""
    collars, lift = _lift_pulls(model, forces, angles)
    moment = moment_of(lift, turning_rate(model, collars)).sum(axis=1)
    axis, normal = mast_direction(model, angles), mast_normal(model, angles)
    tubes = [(foot + tube.length / 2, 0.0, tube.mass) for foot, tube in weights.sections]
    for along, across, mass in [*tubes, *((w.along, w.across, w.mass) for w in weights.on_mast)]:
        weight = -mass * STANDARD_GRAVITY * model.upward
        moment += moment_of(weight, turning_rate(model, along * axis + across * normal))
    return np.asarray(moment)
