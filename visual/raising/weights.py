"""What is lifted: every weight of the raise as a point or a tube, in the frame of the mast.

*Along* is from the hinge up the mast, *across* square to it, to the front when upright.  Assumed:

* half the weight of each wire that hangs between two points is at either end, as for a straight
  wire; a wire that lies on the ground weighs less, and a slack one also pulls sideways a little;
* side and back wires hang from their collars, front wires hang between collar and gin-pole tip;
* half the tow line between tip and hitch (or block) hangs on the tip;
* collars, shackles, flanges, cable and ladder are not in the site file and so weigh nothing here:
  a mast with heavy flanges must get them through the density of its sections.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from visual.model import Model, straight_length
from visual.raising.motion import Array
from visual.raising.tow import TowPath
from visual.raising.wires import change_over
from visual.rig import SIDES, Tube
from visual.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class Weight:
    """One mass, in the frame of the mast.

    Parameters
    ----------
    name : str
        What it is.
    along, across : float
        Where it is. [m]
    mass : float
        Its mass. [kg]
    """

    name: str
    along: float
    across: float
    mass: float


@dataclass(frozen=True)
class Weights:
    """Everything that turns with the mast.

    Parameters
    ----------
    sections : tuple of (float, Tube)
        Foot of each section along the mast [m], and the section.
    on_mast : tuple of Weight
        Collars' wires and the head.
    pole : Weight
        The gin pole, at its middle.
    at_tip : float
        Half of the lift wires, on the gin-pole tip. [kg]
    tip : tuple of float
        Gin-pole tip, along and across. [m]
    """

    sections: tuple[tuple[float, Tube], ...] = field(repr=False)
    on_mast: tuple[Weight, ...]
    pole: Weight
    at_tip: float
    tip: tuple[float, float]

    @property
    def points(self) -> tuple[Weight, ...]:
        """Every weight as a point; the tow line, which changes, is left out."""
        tubes = (
            Weight("section", foot + tube.length / 2, 0.0, tube.mass)
            for foot, tube in self.sections
        )
        tip = Weight("lift wires at the tip", *self.tip, self.at_tip)
        return (*tubes, *self.on_mast, self.pole, tip)

    @property
    def mass(self) -> float:
        """All of it. [kg]"""
        return sum(weight.mass for weight in self.points)

    def moment(self, angles: Array) -> Array:
        """Return the moment of the weights against raising, at raising angles [rad]. [N m]"""
        along = sum(w.mass * w.along for w in self.points)
        across = sum(w.mass * w.across for w in self.points)
        return STANDARD_GRAVITY * (along * np.cos(angles) - across * np.sin(angles))

    def energy(self, angles: Array) -> Array:
        """Return the potential energy above the hinge, at raising angles [rad]. [J]"""
        along = sum(w.mass * w.along for w in self.points)
        across = sum(w.mass * w.across for w in self.points)
        return STANDARD_GRAVITY * (along * np.sin(angles) + across * np.cos(angles))


def find_weights(model: Model, *, with_head: bool) -> Weights:
    """Return the weights of a mast, with its head or bare."""
    pole = model.rig.gin_pole
    tip = (pole.length * math.cos(pole.angle), pole.length * math.sin(pole.angle))
    on_mast = _collar_weights(model)
    head = model.rig.mast.head
    if with_head and head is not None:
        along = model.rig.mast.length + head.centre_above_top
        on_mast += (Weight("head", along, head.centre_to_front, head.mass),)
    return Weights(
        sections=_feet(model.rig.mast.sections),
        on_mast=on_mast,
        pole=Weight("gin pole", tip[0] / 2, tip[1] / 2, pole.tube.mass),
        at_tip=sum(_lift_wire_mass(model, c) for c in range(len(model.rig.mast.collars))) / 2,
        tip=tip,
    )


def tow_line_at_tip(model: Model, path: TowPath) -> Array:
    """Return the mass of tow line that hangs on the tip at each step. [kg]"""
    kind = model.rig.line_type
    far = path.ends if path.block is None else np.broadcast_to(path.block, path.tips.shape)
    length = np.linalg.norm(path.tips - far, axis=1)
    return np.asarray(kind.mass_per_metre * model.rig.tow.parts * length / 2)


def _feet(sections: tuple[Tube, ...]) -> tuple[tuple[float, Tube], ...]:
    feet = np.concatenate([[0.0], np.cumsum([tube.length for tube in sections])[:-1]])
    return tuple((float(foot), tube) for foot, tube in zip(feet, sections, strict=True))


def _lift_wire_mass(model: Model, collar: int) -> float:
    kind = model.rig.wire_of_level(collar)
    return kind.mass_per_metre * change_over(model, collar).at_tip


def _collar_weights(model: Model) -> tuple[Weight, ...]:
    """Return half of the side and back wires, and half of the lift wire, of each collar."""
    hanging_sides = [side for side in SIDES if side != "front"]
    weights = []
    for number, collar in enumerate(model.rig.mast.collars):
        kind = model.rig.wire_types[collar.wire]
        hanging = sum(straight_length(model, side, number) for side in hanging_sides)
        mass = (hanging * kind.mass_per_metre + _lift_wire_mass(model, number)) / 2
        weights.append(Weight(f"wires at {collar.height:g} m", collar.height, 0.0, mass))
    return tuple(weights)
