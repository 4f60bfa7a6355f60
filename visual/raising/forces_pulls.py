"""What tow line and back wire must pull, by virtual work of the whole.

At each angle the pull of the tow line times what the line gives way per angle is the moment of the
weights against raising.  Past the balance the top back wire holds instead.  All parts of line of a
winch count as one pull on the tip.
"""

from dataclasses import dataclass

import numpy as np

from visual.mechanics.block import pull_behind_block, tackle_advantage
from visual.mechanics.pivot import moment_of, pull_for_moment, units_between
from visual.model import Model
from visual.raising.forces_balance import far_end
from visual.raising.motion import Array, mast_direction, turning_rate
from visual.raising.tow import TowPath
from visual.raising.weights import Weights, tow_line_at_tip
from visual.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class Pulls:
    """What virtual work says, before anything is known of mast and pole; arrays over the steps.

    Parameters
    ----------
    on_tip : ndarray, shape (n,)
        Tow line on the tip. [kg]
    moment : ndarray, shape (n,)
        Moment of the weights against raising. [N m]
    lever : ndarray, shape (n,)
        Lever of the tow line. [m]
    tow, hold : ndarray, shape (n,)
        Tension of tow line and of top back wire. [N]
    line, back : ndarray, shape (n, 3)
        Unit vectors from tip along the line, and from the top collar along the back wire.
    """

    on_tip: Array
    moment: Array
    lever: Array
    tow: Array
    hold: Array
    line: Array
    back: Array


def find_pulls(model: Model, path: TowPath, weights: Weights) -> Pulls:
    """Return what tow line and back wire must pull at each step, by virtual work.

    Parameters
    ----------
    model : Model
        The mast on its site.
    path : TowPath
        Tow line and vehicle at each step.
    weights : Weights
        What is lifted.
    """
    on_tip = tow_line_at_tip(model, path)
    rate = turning_rate(model, path.tips)
    line = units_between(path.tips, far_end(path))
    moment = weights.moment(path.angles) + STANDARD_GRAVITY * on_tip * rate[:, 2]
    lever = moment_of(line, rate)
    collar = model.rig.mast.collars[-1].height * mast_direction(model, path.angles)
    back = units_between(collar, np.broadcast_to(model.anchors["back"].eye, collar.shape))
    back_lever = -moment_of(back, turning_rate(model, collar))
    return Pulls(
        on_tip=on_tip,
        moment=moment,
        lever=lever,
        tow=pull_for_moment(moment, lever=lever),
        hold=pull_for_moment(-moment, lever=back_lever),
        line=line,
        back=back,
    )


def at_hitch(model: Model, pull: Array, *, hauling: bool) -> Array:
    """Return the tension behind block or tackle, at the hitch or on the winch's part. [N]

    Parameters
    ----------
    model : Model
        The mast on its site.
    pull : ndarray, shape (n,)
        Pull on the gin-pole tip. [N]
    hauling : bool
        True going up, False going down.
    """
    tow = model.rig.tow
    if tow.by == "winch":
        loss = tackle_advantage(tow.parts, friction=tow.block_friction) / tow.parts
        share = pull / tow.parts
        return share / loss if hauling else share * loss
    if not tow.through_front_anchor:
        return pull
    factor = pull_behind_block(1.0, friction=tow.block_friction, hauling=hauling)
    return pull * factor


def runs_ahead(model: Model, path: TowPath, pulls: Pulls) -> float | None:
    """Return the raising angle from which the mast runs ahead of its tow line. [rad]

    Near the balance a little less pull would do a little further on.  The mast moves on by itself
    as soon as the line, easing by its stiffness, loses less moment than the weights do:
    ``k a² < −dM/dθ + T da/dθ`` with the lever a and the vehicle standing still.

    Parameters
    ----------
    model : Model
        The mast on its site.
    path : TowPath
        Tow line at each step.
    pulls : Pulls
        What it must pull.
    """
    tow = model.rig.tow
    length = np.linalg.norm(path.tips - far_end(path), axis=1) / tow.parts
    if tow.by == "vehicle":
        length = np.full(path.angles.size, tow.line_length)
    stiffness = model.rig.line_type.stiffness / length
    if path.angles.size < 2:
        return None
    loses = -np.gradient(pulls.moment, path.angles)
    eases = stiffness * pulls.lever**2 - pulls.tow * np.gradient(pulls.lever, path.angles)
    ahead = np.flatnonzero((pulls.moment > 0.0) & (pulls.lever > 0.0) & (eases < loses))
    return float(path.angles[ahead[0]]) if ahead.size else None
