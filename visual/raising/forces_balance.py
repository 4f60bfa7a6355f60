"""Adding the forces up again, another way: in the local frame, from what each part feels.

The pull comes from virtual work of the whole, the lift wires and the pole from the structure in the
frame of the mast.  If both are right, the forces at the gin-pole tip add up to nothing, and so do
the moments on the mast alone.
"""

import math
from collections.abc import Sequence

import numpy as np

from visual.mechanics.pivot import STANDARD_GRAVITY, moment_of, units_between
from visual.model import Model, Vector
from visual.raising.forces_beam import MastForces, MastStructure
from visual.raising.motion import Array, gin_tip, mast_direction, mast_normal, turning_rate
from visual.raising.tow import TowPath
from visual.raising.weights import Weights


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
    left = np.full(len(states), math.nan)
    lines = units_between(path.tips, far_end(path))
    for i, state in enumerate(states):
        if state is None:
            continue
        angle = float(path.angles[i])
        on_mast = float(hold[i]) * _back_moment(model, angle)
        tow = float(pull[i]) * lines[i] if pull[i] > 0 else np.zeros(3)
        parts = _left_over(model, weights, state, angle, tow, float(on_tip[i]))
        size = STANDARD_GRAVITY * weights.mass
        left[i] = max(parts[0] / size, abs(parts[1] + on_mast) / (size * model.rig.mast.length))
    return left


def _back_moment(model: Model, angle: float) -> float:
    """Return the moment on the mast of 1 N in the top back wire. [m]"""
    collar = model.rig.mast.collars[-1].height * mast_direction(model, angle)
    unit = units_between(collar, model.anchors["back"].eye)
    return float(moment_of(unit, turning_rate(model, collar)))


def _left_over(
    model: Model, weights: Weights, state: MastForces, angle: float, tow: Vector, on_tip: float
) -> tuple[float, float]:
    """Return force left over at the tip [N] and moment left over on the mast [N m]."""
    g = STANDARD_GRAVITY * model.upward
    axis, normal, tip = (
        mast_direction(model, angle),
        mast_normal(model, angle),
        gin_tip(model, angle),
    )
    collars = np.outer([collar.height for collar in model.rig.mast.collars], axis)
    lift = state.lift_wires[:, np.newaxis] * units_between(collars, tip)
    pole = state.pole_thrust * units_between(np.zeros(3), tip)
    on_top = weights.pole.mass / 2 + weights.at_tip + on_tip
    at_tip = pole + tow - lift.sum(axis=0) - on_top * g
    # sideways the stays hold the tip: only what is in the raising plane must vanish
    flat = math.hypot(float(at_tip @ model.forward), float(at_tip[2]))
    moment = float(moment_of(lift, turning_rate(model, collars)).sum())
    tubes = [(foot + tube.length / 2, 0.0, tube.mass) for foot, tube in weights.sections]
    for along, across, mass in [*tubes, *((w.along, w.across, w.mass) for w in weights.on_mast)]:
        place = along * axis + across * normal
        moment += float(moment_of(-mass * g, turning_rate(model, place)))
    return flat, moment
