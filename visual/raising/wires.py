"""How the straight distances between collars, tip and anchors change through the raise."""

from dataclasses import dataclass, field

import numpy as np

from visual.model import Model, Vector, wire_name
from visual.raising.motion import Array, gin_tip, mast_direction
from visual.rig import Side


@dataclass(frozen=True)
class LengthChange:
    """How much too short or too long a wire or stay is, against the angle where it fits.

    Parameters
    ----------
    name : str
        Name of the wire, e.g. ``"left 2"``, or of the stay, e.g. ``"left side stay"``.
    side : {"front", "right", "back", "left"}
        Anchor it goes to.
    collar : int or None
        Number of its collar from the lowest, 0 first; None for a stay.
    angles : ndarray, shape (n,)
        Raising angles. [rad]
    change : ndarray, shape (n,)
        Distance between its ends minus the distance at the angle where it fits. Positive: too
        short there (tight), negative: slack. [m]
    fitted_length : float
        Straight distance at the angle where it fits. [m]
    """

    name: str
    side: Side
    collar: int | None
    angles: Array = field(repr=False)
    change: Array = field(repr=False)
    fitted_length: float

    @property
    def tightest(self) -> tuple[float, float]:
        """Angle [rad] and change [m] where it is tightest."""
        index = int(np.argmax(self.change))
        return float(self.angles[index]), float(self.change[index])

    @property
    def slackest(self) -> tuple[float, float]:
        """Angle [rad] and change [m] where it is slackest."""
        index = int(np.argmin(self.change))
        return float(self.angles[index]), float(self.change[index])


@dataclass(frozen=True)
class ChangeOver:
    """One front wire, on the gin-pole tip and on its anchor, mast upright.

    Parameters
    ----------
    name : str
        Name of the wire.
    collar : int
        Number of its collar from the lowest, 0 first.
    at_tip, at_anchor : float
        Straight distance from the collar. [m]
    """

    name: str
    collar: int
    at_tip: float
    at_anchor: float

    @property
    def difference(self) -> float:
        """Anchor length minus tip length: positive means wire to add. [m]"""
        return self.at_anchor - self.at_tip


def wire_change(model: Model, side: Side, collar: int, angles: Array) -> LengthChange:
    """Return D(θ) − D(90°) of the wire from a collar to an anchor.

    Zero all the way only when the anchor's eye lies on the hinge axis.
    """
    eye = model.anchors[side].eye
    height = model.rig.mast.collars[collar].height
    distance = _distance(height * mast_direction(model, angles), eye)
    fitted = float(np.linalg.norm(height * model.upward - eye))
    return LengthChange(
        name=wire_name(model, side, collar),
        side=side,
        collar=collar,
        angles=angles,
        change=distance - fitted,
        fitted_length=fitted,
    )


def stay_change(model: Model, side: Side, angles: Array) -> LengthChange:
    """Return the change of a gin-pole side stay against the first angle, where it is tied."""
    distance = _distance(gin_tip(model, angles), model.anchors[side].eye)
    return LengthChange(
        name=f"{side} side stay",
        side=side,
        collar=None,
        angles=angles,
        change=distance - distance[0],
        fitted_length=float(distance[0]),
    )


def change_over(model: Model, collar: int) -> ChangeOver:
    """Return the two lengths of one front wire, mast upright."""
    point = model.rig.mast.collars[collar].height * model.upward
    return ChangeOver(
        name=wire_name(model, "front", collar),
        collar=collar,
        at_tip=float(np.linalg.norm(point - gin_tip(model, np.pi / 2))),
        at_anchor=float(np.linalg.norm(point - model.anchors["front"].eye)),
    )


def _distance(points: Array, eye: Vector) -> Array:
    return np.asarray(np.linalg.norm(points - eye, axis=-1))
