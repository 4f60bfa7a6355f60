"""Mast, gin pole and lift wires as one structure: who carries how much, and how the mast bends.

In the frame of the mast nothing moves but gravity and the tow line, so the structure is built
once.  Assumed:

* the mast is straight and pinned at the hinge, the gin pole is pinned at the hinge and at its tip;
* all lift wires are just snug, none slack and none tight, with the mast straight: a lift wire that
  is longer than the others carries less than its share here, and the others more;
* joints between sections are as stiff and as strong as the tube;
* side wires and back wire pull nothing until the mast passes its balance, then the top back wire
  holds it;
* what holds the mast does not stretch.  It changes no force; its stretch would let mast and pole
  turn together, which is no buckling: see `visual.raising.forces_pulls.runs_ahead`.

The mast bends under its weights first (first order); the thrust of the lift wires bends it further
(second order, with the thrust of the first).  Stress uses the larger moment of both.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from visual.mechanics.beam_body import Beam, Member, direction, within
from visual.mechanics.beam_cases import BeamCases, buckling_factors, solve_cases
from visual.model import Model
from visual.raising.motion import Array
from visual.raising.weights import Weights
from visual.rig import Tube
from visual.units import STANDARD_GRAVITY

HOLDING_STIFFNESS = 1e8  # [N/m] of the line that holds all, as stiff as the mast along its axis
LONGEST_ELEMENT = 2.5  # [m] four or more to a span keep the second order good to 1 %
SHARES = np.linspace(0.0, 1.0, 6)  # where inside an element the moment is looked at


@dataclass(frozen=True)
class MastForces:
    """Forces in the mast along its length at one step.

    Parameters
    ----------
    lift_wires : ndarray, shape (levels,)
        Tension, from the lowest collar up. [N]
    pole_thrust : float
        Thrust of the gin pole at its middle, compression positive. [N]
    holding : float
        Tension of the tow line (before the balance) or of the top back wire (after it), as the
        structure needs it. [N]
    places : ndarray, shape (k,)
        Places along the mast from the hinge. [m]
    moment, shear, thrust, stress : ndarray, shape (k,)
        Bending moment, positive where the front side is pulled [N m]; shear [N]; compression [N];
        largest stress of the section [Pa].
    buckling : float
        Factor on the thrust at which the mast buckles; infinite if nothing presses. [1]
    """

    lift_wires: Array
    pole_thrust: float
    holding: float
    places: Array = field(repr=False)
    moment: Array = field(repr=False)
    shear: Array = field(repr=False)
    thrust: Array = field(repr=False)
    stress: Array = field(repr=False)
    buckling: float


@dataclass(frozen=True)
class MastStructure:
    """Mast, pole and lift wires, built once for all angles.

    Parameters
    ----------
    model : Model
        The mast on its site.
    weights : Weights
        What it carries.
    beam : Beam
        The mast as a beam, the gin-pole tip as its free joint.
    tubes : tuple of Tube
        The tube of each element.
    members : tuple of Member
        Lift wires from the lowest up, then the gin pole.
    """

    model: Model = field(repr=False)
    weights: Weights = field(repr=False)
    beam: Beam = field(repr=False)
    tubes: tuple[Tube, ...] = field(repr=False)
    members: tuple[Member, ...] = field(repr=False)

    def forces(
        self, angles: Array, *, held: Member, tow_mass: Array
    ) -> tuple[MastForces | None, ...]:
        """Return the forces at several raising angles.

        Parameters
        ----------
        angles : ndarray, shape (n,)
            Raising angles. [rad]
        held : Member
            Tow line or back wire that keeps it from turning, one direction per angle.
        tow_mass : ndarray, shape (n,)
            Half of the tow line, on the tip. [kg]

        Returns
        -------
        tuple of MastForces or None
            None where the mast buckles, or the lift wires cannot hold it.
        """
        members = (*self.members, held)
        point, spread = self._loads(angles, tow_mass)
        first = solve_cases(self.beam, members, point_loads=point, spread_loads=spread)
        thrust = -first.axial.mean(axis=2)
        stands = first.holds & first.settled
        second = solve_cases(
            self.beam,
            (*self.members, picked(held, stands)),
            point_loads=point[stands],
            spread_loads=spread[stands],
            thrust=thrust[stands],
        )
        stands[stands] = second.holds & second.settled
        factor = buckling_factors(
            self.beam,
            (*self.members, picked(held, stands)),
            first.forces[stands] != 0.0,
            thrust=thrust[stands],
        )
        more = np.zeros_like(first.moment)
        more[first.holds & first.settled] = second.moment
        along = self._along(first, more - first.moment, spread)
        found: list[MastForces | None] = [None] * len(angles)
        for i, buckling in zip(np.flatnonzero(stands), factor, strict=True):
            found[i] = self._at(first, along, int(i), float(buckling))
        return tuple(found)

    def held_at_tip(self, unit: Array) -> Array:
        """Return the stretch of the tow line, pulling the tip along unit vectors.

        Parameters
        ----------
        unit : ndarray, shape (n, 2)
            From the tip along the line, in the frame of the mast; shorter than 1 where the line
            leaves the raising plane.
        """
        return direction(self.beam, self.beam.joint(0), -unit)

    def held_at_top_collar(self, unit: Array) -> Array:
        """Return the stretch of the top back wire at its collar, as in `held_at_tip`."""
        node = self.beam.node(self.model.rig.mast.collars[-1].height)
        return direction(self.beam, 3 * node, -unit)

    def _loads(self, angles: Array, tow_mass: Array) -> tuple[Array, Array]:
        """Return point loads and spread loads of gravity at raising angles, angle first."""
        g = STANDARD_GRAVITY * np.stack([-np.sin(angles), -np.cos(angles)], axis=1)
        spread = np.array([tube.density * tube.area for tube in self.tubes])[:, np.newaxis]
        point = np.zeros((len(angles), self.beam.size))
        for weight in self.weights.on_mast:
            node = self.beam.node(weight.along)
            off = weight.along - float(self.beam.places[node])
            point[:, 3 * node : 3 * node + 2] += weight.mass * g
            point[:, 3 * node + 2] += weight.mass * (off * g[:, 1] - weight.across * g[:, 0])
        tip = self.beam.joint(0)
        mass = self.weights.pole.mass / 2 + self.weights.at_tip + tow_mass
        point[:, tip : tip + 2] += mass[:, np.newaxis] * g
        return point, spread * g[:, np.newaxis, :]

    def _along(self, first: BeamCases, more: Array, spread: Array) -> Mapping[str, Array]:
        """Return the section forces at places along the mast, the larger of both orders.

        Parameters
        ----------
        first : BeamCases
            First order.
        more : ndarray, shape (n, elements, 2)
            What the second order adds to the moment at both ends of each element. [N m]
        spread : ndarray, shape (n, elements, 2)
            Load per length. [N/m]
        """
        moment, shear, axial = (one[..., 0] for one in (first.moment, first.shear, first.axial))
        along, across, none = spread[..., 0], spread[..., 1], np.zeros_like(axial)
        bent = within(self.beam, moment, shear, across, shares=SHARES)
        further = bent + more[..., :1] * (1 - SHARES) + more[..., 1:] * SHARES
        bent = np.where(np.abs(further) > np.abs(bent), further, bent)
        thrust = -within(self.beam, axial, -along, none, shares=SHARES)
        area = np.array([[tube.area] for tube in self.tubes])
        section = np.array([[2 * t.second_moment / t.outer_diameter] for t in self.tubes])
        return {
            "moment": bent,
            "shear": within(self.beam, shear, across, none, shares=SHARES),
            "thrust": thrust,
            "stress": np.abs(thrust) / area + np.abs(bent) / section,
        }

    def _at(
        self, first: BeamCases, along: Mapping[str, Array], index: int, buckling: float
    ) -> MastForces:
        """Return the forces of one step."""
        lifts = len(self.members) - 1
        return MastForces(
            lift_wires=first.forces[index, :lifts],
            pole_thrust=-float(first.forces[index, lifts]),
            holding=float(first.forces[index, -1]),
            places=self._places,
            buckling=buckling,
            **{name: values[index].ravel() for name, values in along.items()},
        )

    @cached_property
    def _places(self) -> Array:
        beam = self.beam
        return (beam.places[:-1, np.newaxis] + SHARES * beam.lengths[:, np.newaxis]).ravel()


def held_by(stretch: Array) -> Member:
    """Return what holds mast and pole, from its stretch at each angle, shape (n, size)."""
    return Member(stretch, HOLDING_STIFFNESS, pulls_only=False)


def picked(held: Member, which: NDArray[np.bool_]) -> Member:
    """Return what holds at some of the angles only."""
    return replace(held, stretch=held.stretch[which])


def build_structure(model: Model, weights: Weights) -> MastStructure:
    """Build mast, gin pole and lift wires as one structure."""
    places, tubes = _elements(model, weights)
    beam = Beam(
        places=places,
        axial=np.array([tube.modulus * tube.area for tube in tubes]),
        flexural=np.array([tube.modulus * tube.second_moment for tube in tubes]),
        joints=1,
    )
    tip = np.array(weights.tip)
    pole = model.rig.gin_pole
    strut = Member(
        direction(beam, beam.joint(0), tip / pole.length),
        pole.tube.modulus * pole.tube.area / pole.length,
        pulls_only=False,
    )
    lifts = [_lift_wire(model, beam, tip, c) for c in range(len(model.rig.mast.collars))]
    return MastStructure(model, weights, beam, tubes, (*lifts, strut))


def _lift_wire(model: Model, beam: Beam, tip: Array, number: int) -> Member:
    collar = model.rig.mast.collars[number]
    step = tip - np.array([collar.height, 0.0])
    length = float(np.linalg.norm(step))
    unit = step / length
    stretch = direction(beam, beam.joint(0), unit)
    stretch += direction(beam, 3 * beam.node(collar.height), -unit)
    return Member(stretch, model.rig.wire_types[collar.wire].stiffness / length)


def _elements(model: Model, weights: Weights) -> tuple[Array, tuple[Tube, ...]]:
    """Return nodes at joints and collars, no two too far apart, and the tube of each element."""
    mast = model.rig.mast
    joints = [foot for foot, _ in weights.sections] + [mast.length]
    breaks = np.array(sorted({*np.round(joints + [collar.height for collar in mast.collars], 9)}))
    places = [float(breaks[0])]
    for stop in breaks[1:]:
        pieces = max(1, math.ceil((stop - places[-1]) / LONGEST_ELEMENT))
        places += list(np.linspace(places[-1], stop, pieces + 1)[1:])
    middles = (np.array(places[1:]) + np.array(places[:-1])) / 2
    feet = np.array([foot for foot, _ in weights.sections])
    tubes = tuple(weights.sections[int(np.sum(feet <= m)) - 1][1] for m in middles)
    return np.array(places), tubes
