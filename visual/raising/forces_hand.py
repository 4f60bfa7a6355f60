"""Walking the gin pole up by hand, and when the tow line can take over.

Before the raise the pole lies back along the mast.  People lift its tip and walk towards the hinge
under it until the tow line, led over the tip to the front, has a lever.  Assumed:

* the pole turns freely about the hinge; the lift wires and the tow line hang on its tip with half
  their weight from the first moment on;
* the pole is held square to itself, at the tip or at most 1.5 m above the hinge;
* the tow line can take over once its lever is half the length of the pole and its pull is no more
  than at lift-off: our reading of what the trade does at about 45° (common practice, no source).
"""

import math
from dataclasses import dataclass, field

import numpy as np

from visual.mechanics.handling import (
    REFERENCE_MASS,
    REFERENCE_MASS_ISO,
    grip_distance,
    hand_force,
    people_needed,
)
from visual.mechanics.pivot import moment_of, pull_for_moment, units_between
from visual.model import Model
from visual.raising.forces_balance import far_end
from visual.raising.motion import Array, gin_tip, turning_rate
from visual.raising.tow import TowPath, tow_path
from visual.raising.weights import find_weights, tow_line_at_tip
from visual.units import STANDARD_GRAVITY

TRADE_TAKE_OVER = math.radians(45.0)  # common practice, no source
LEVER_SHARE = 0.5  # of the pole's length: a line at 30° to the pole; ours, see above
STEP = math.radians(1.0)


@dataclass(frozen=True)
class HandWalk:
    """The gin pole walked up from lying flat, before the mast moves.

    Parameters
    ----------
    pole_angles : ndarray, shape (n,)
        Pole above horizontal, from lying back to upright. [rad]
    tip_force : ndarray, shape (n,)
        Force square to the pole at its tip that holds it. [N]
    hand_force : ndarray, shape (n,)
        The same where people can reach it. [N]
    tow_pull : ndarray, shape (n,)
        Pull of the tow line that holds it instead; NaN where it has no lever or no place. [N]
    tow_lever : ndarray, shape (n,)
        Lever of the tow line about the hinge. [m]
    take_over : float or None
        Pole angle from which the tow line can take over; None if it never can. [rad]
    """

    pole_angles: Array = field(repr=False)
    tip_force: Array = field(repr=False)
    hand_force: Array = field(repr=False)
    tow_pull: Array = field(repr=False)
    tow_lever: Array = field(repr=False)
    take_over: float | None

    @property
    def by_hand_to(self) -> float:
        """Pole angle to which it is walked: where the line takes over, at least 45°. [rad]"""
        return max(TRADE_TAKE_OVER, self.take_over or math.pi / 2)

    @property
    def worst(self) -> tuple[float, float]:
        """Largest hand force [N] on the way, and the pole angle where it is needed [rad]."""
        until = self.pole_angles <= self.by_hand_to + 1e-9
        index = int(np.argmax(np.where(until, self.hand_force, -math.inf)))
        return float(self.hand_force[index]), float(self.pole_angles[index])

    @property
    def people(self) -> int:
        """People to share the largest force, 23 kg each (NIOSH)."""
        return people_needed(self.worst[0], gravity=STANDARD_GRAVITY, mass=REFERENCE_MASS)

    @property
    def people_iso(self) -> int:
        """The same at 25 kg each (ISO 11228-1, from memory)."""
        return people_needed(self.worst[0], gravity=STANDARD_GRAVITY, mass=REFERENCE_MASS_ISO)


def walk_pole_up(model: Model, *, lift_off_pull: float) -> HandWalk:
    """Work out the walk, one degree at a time.

    Parameters
    ----------
    model : Model
        The mast on its site.
    lift_off_pull : float
        Pull of the tow line when the mast leaves its support; NaN if unknown. [N]
    """
    pole_angles = np.arange(0.0, math.pi / 2 + STEP / 2, STEP)
    # The pole stands where it would at this raising angle: g points back at −β + pole angle.
    path = tow_path(model, pole_angles - model.rig.gin_pole.angle)
    moment = _pole_moment(model, path, pole_angles)
    length = model.rig.gin_pole.length
    hands = np.array([grip_distance(float(a), length=length) for a in pole_angles])
    lever = moment_of(units_between(path.tips, far_end(path)), turning_rate(model, path.tips))
    pull = pull_for_moment(moment, lever=np.nan_to_num(lever, nan=-1.0))
    pull = np.where(np.isnan(lever), math.nan, pull)
    return HandWalk(
        pole_angles=pole_angles,
        tip_force=moment / length,
        hand_force=np.array(
            [hand_force(float(m), distance=float(d)) for m, d in zip(moment, hands, strict=True)]
        ),
        tow_pull=pull,
        tow_lever=lever,
        take_over=_take_over(pole_angles, pull, lever, length=length, most=lift_off_pull),
    )


def _pole_moment(model: Model, path: TowPath, pole_angles: Array) -> Array:
    """Return the moment of pole, lift wires and tow line about the hinge. [N m]"""
    weights = find_weights(model, with_head=False)
    # where the vehicle has no place the line lies slack; its weight then is that of its reach
    on_tip = np.nan_to_num(tow_line_at_tip(model, path), nan=_half_line(model))
    length = model.rig.gin_pole.length
    at_tip = weights.at_tip + on_tip
    return np.asarray(
        STANDARD_GRAVITY * (weights.pole.mass / 2 + at_tip) * length * np.cos(pole_angles)
    )


def _half_line(model: Model) -> float:
    kind = model.rig.line_type
    return kind.mass_per_metre * model.rig.tow.line_length / 2


def _take_over(
    pole_angles: Array, pull: Array, lever: Array, *, length: float, most: float
) -> float | None:
    """Return the first angle from which the line is good enough all the way up; None if never."""
    if math.isnan(most):
        return None
    good = (np.nan_to_num(lever) >= LEVER_SHARE * length) & (
        np.nan_to_num(pull, nan=math.inf) <= most
    )
    bad = np.flatnonzero(~good & (pole_angles <= TRADE_TAKE_OVER + math.radians(30.0)))
    if bad.size == 0:
        return float(pole_angles[0])
    following = int(bad[-1]) + 1
    return float(pole_angles[following]) if good[following] else None


def gin_tip_at(model: Model, pole_angle: float) -> Array:
    """Return the gin-pole tip at a pole angle above horizontal, leaning back. [m]"""
    return gin_tip(model, pole_angle - model.rig.gin_pole.angle)
