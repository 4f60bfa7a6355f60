"""The forces of one raise, step by step: everything stands still at every step.

From virtual work: at each angle the pull of the tow line times what the line gives way per angle
is the moment of the weights against raising.  Jerks, wind, and the mass that must be set in motion
are not in it; the design factors are for these.

Beyond the balance angle the weights pull the mast over by themselves.  The tow line is slack then,
and something on the back must hold: it is given here as the tension of the top back wire.
"""

import math
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from visual.mechanics.pivot import units_between
from visual.model import Model
from visual.raising.forces_balance import far_end, imbalance
from visual.raising.forces_beam import MastForces, MastStructure, build_structure, held_by
from visual.raising.forces_pole import gin_elevation, gin_pole_stress
from visual.raising.forces_pulls import Pulls, at_hitch, find_pulls, runs_ahead
from visual.raising.motion import (
    Array,
    mast_direction,
    mast_normal,
)
from visual.raising.tow import TowPath
from visual.raising.weights import Weights, find_weights
from visual.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class Peak:
    """The largest of something over a raise.

    Parameters
    ----------
    value : float
        The largest value, in the unit of what it is of; NaN if it is unknown.
    angle : float
        Raising angle where it occurs. [rad]
    index : int
        Its step.
    """

    value: float
    angle: float
    index: int


@dataclass(frozen=True)
class RaiseRun:
    """One raise, with the head or without, from its start angle to upright.

    All arrays run over the steps; NaN where a force is not known: no place for the vehicle, or a
    tow line without a lever.

    Parameters
    ----------
    with_head : bool
        True if the head is on.
    tow : TowPath
        Tow line and vehicle at each step, and the raising angles.
    weights : Weights
        What is lifted.
    weight_moment : ndarray, shape (n,)
        Moment of all weights about the hinge, positive against raising. [N m]
    lever : ndarray, shape (n,)
        Lever of the tow line about the hinge, positive where a pull raises. [m]
    tow_tension : ndarray, shape (n,)
        Pull of the tow line on the gin-pole tip, all parts of line together. [N]
    hauling, letting_out : ndarray, shape (n,)
        Tension at the hitch, or on the winch's part of line, going up and going down. [N]
    hold_back : ndarray, shape (n,)
        Tension of the top back wire that keeps the mast from going over; 0 before the
        balance. [N]
    lift_wires : ndarray, shape (n, levels)
        Tension of each lift wire, from the lowest collar up. [N]
    gin_compression : ndarray, shape (n,)
        Largest thrust along the gin pole, its own weight included. [N]
    gin_stress : ndarray, shape (n,)
        Largest stress of the gin pole: thrust, own weight across, bow. [Pa]
    hinge : ndarray, shape (n, 3)
        Force of the base on mast and gin pole: to the front, up, to the right. [N]
    front_anchor : ndarray, shape (n, 3)
        Pull on the front anchor, in the local frame; 0 where the line does not use it. [N]
    mast : tuple of MastForces or None
        Forces along the mast; None where they are not known.
    unstable : tuple of int
        Steps at which mast or lift wires cannot hold it, or it buckles.
    runs_ahead : float or None
        Raising angle from which the mast runs ahead of the line as it stretches; None if it never
        does before its balance. [rad]
    imbalance : ndarray, shape (n,)
        What is left over when all forces on mast, tip and pole are added up, over the weight. [1]
    """

    with_head: bool
    tow: TowPath = field(repr=False)
    weights: Weights = field(repr=False)
    weight_moment: Array = field(repr=False)
    lever: Array = field(repr=False)
    tow_tension: Array = field(repr=False)
    hauling: Array = field(repr=False)
    letting_out: Array = field(repr=False)
    hold_back: Array = field(repr=False)
    lift_wires: Array = field(repr=False)
    gin_compression: Array = field(repr=False)
    gin_stress: Array = field(repr=False)
    hinge: Array = field(repr=False)
    front_anchor: Array = field(repr=False)
    mast: tuple[MastForces | None, ...] = field(repr=False)
    unstable: tuple[int, ...]
    runs_ahead: float | None
    imbalance: Array = field(repr=False)

    @property
    def angles(self) -> Array:
        """Raising angles of the steps. [rad]"""
        return self.tow.angles

    @property
    def balance_angle(self) -> float | None:
        """Raising angle from which the mast would go over by itself; None if it never does. [rad]

        Straight between two steps, half a degree apart.
        """
        over = np.flatnonzero(self.weight_moment <= 0.0)
        if over.size == 0:
            return None
        i = int(over[0])
        if i == 0:
            return float(self.angles[0])
        before, after = self.weight_moment[i - 1], self.weight_moment[i]
        share = before / (before - after)
        return float(self.angles[i - 1] + share * (self.angles[i] - self.angles[i - 1]))

    @property
    def hold_from(self) -> float | None:
        """Raising angle from which something on the back must hold; None if never. [rad]"""
        angles = [angle for angle in (self.runs_ahead, self.balance_angle) if angle is not None]
        return min(angles, default=None)

    @property
    def over_centre(self) -> int | None:
        """First step at which the tow line has no lever to raise with; None if there is none."""
        stuck = np.flatnonzero((self.weight_moment > 0.0) & (self.lever <= 0.0))
        return int(stuck[0]) if stuck.size else None

    @cached_property
    def mast_moment(self) -> Array:
        """Largest bending moment of the mast at each step, without sign. [N m]"""
        return self._most("moment")

    @cached_property
    def mast_stress(self) -> Array:
        """Largest stress of the mast at each step. [Pa]"""
        return self._most("stress")

    @cached_property
    def mast_buckling(self) -> Array:
        """Smallest factor on the thrust at which the mast buckles, at each step. [1]"""
        return np.array([math.nan if m is None else m.buckling for m in self.mast])

    @cached_property
    def hinge_force(self) -> Array:
        """Size of the force at the hinge at each step. [N]"""
        return np.asarray(np.linalg.norm(self.hinge, axis=1))

    def peak(self, values: Array) -> Peak:
        """Return the largest of one value a step; NaN if any step is unknown."""
        if np.isnan(values).any():
            first = int(np.flatnonzero(np.isnan(values))[0])
            return Peak(math.nan, float(self.angles[first]), first)
        index = int(np.argmax(values))
        return Peak(float(values[index]), float(self.angles[index]), index)

    def _most(self, name: str) -> Array:
        return np.array(
            [math.nan if m is None else float(np.abs(getattr(m, name)).max()) for m in self.mast]
        )


def run_raise(model: Model, path: TowPath, *, with_head: bool) -> RaiseRun:
    """Work out the forces at every step of a raise.

    Parameters
    ----------
    model : Model
        The mast on its site.
    path : TowPath
        Tow line and vehicle at each step.
    with_head : bool
        Whether the head is on.
    """
    angles = path.angles
    weights = find_weights(model, with_head=with_head)
    pulls = find_pulls(model, path, weights)
    structure = build_structure(model, weights)
    states, unstable = _states(structure, path, pulls)
    gin = _gin_thrust(model, states, angles)
    return RaiseRun(
        with_head=with_head,
        tow=path,
        weights=weights,
        weight_moment=pulls.moment,
        lever=pulls.lever,
        tow_tension=pulls.tow,
        hauling=at_hitch(model, pulls.tow, hauling=True),
        letting_out=at_hitch(model, pulls.tow, hauling=False),
        hold_back=pulls.hold,
        lift_wires=np.array([_lifts(model, state) for state in states]),
        gin_compression=gin,
        gin_stress=gin_pole_stress(model, gin, angles),
        hinge=_hinge(model, weights, pulls),
        front_anchor=_front_anchor(model, path, pulls.tow),
        mast=states,
        unstable=unstable,
        runs_ahead=runs_ahead(model, path, pulls),
        imbalance=imbalance(
            structure, states, path, pull=pulls.tow, hold=pulls.hold, on_tip=pulls.on_tip
        ),
    )


def _states(
    structure: MastStructure, path: TowPath, pulls: Pulls
) -> tuple[tuple[MastForces | None, ...], tuple[int, ...]]:
    """Return the forces in the structure at each step, and the steps at which it does not hold."""
    needed = np.where(pulls.moment > 0.0, pulls.tow, pulls.hold)
    known = np.flatnonzero(~np.isnan(needed))
    found = structure.forces(
        path.angles[known],
        held=held_by(_held(structure, path, over=pulls.moment <= 0.0)[known]),
        tow_mass=pulls.on_tip[known],
    )
    states: list[MastForces | None] = [None] * needed.size
    for i, state in zip(known, found, strict=True):
        states[i] = state
    unstable = tuple(int(i) for i in known if states[i] is None)
    return tuple(states), unstable


def _held(structure: MastStructure, path: TowPath, *, over: NDArray[np.bool_]) -> Array:
    """Return the stretch at each step of the tow line, or past the balance of the back wire."""
    model, angles = structure.model, path.angles
    collar = model.rig.mast.collars[-1].height * mast_direction(model, angles)
    back = units_between(collar, model.anchors["back"].eye)
    line = units_between(path.tips, far_end(path))
    axes = np.stack([mast_direction(model, angles), mast_normal(model, angles)], axis=1)
    flat_back, flat_line = ((axes @ unit[..., np.newaxis])[..., 0] for unit in (back, line))
    at_collar, at_tip = structure.held_at_top_collar(flat_back), structure.held_at_tip(flat_line)
    return np.where(over[:, np.newaxis], at_collar, at_tip)


def _lifts(model: Model, state: MastForces | None) -> Array:
    if state is None:
        return np.full(len(model.rig.mast.collars), math.nan)
    return state.lift_wires


def _gin_thrust(model: Model, states: tuple[MastForces | None, ...], angles: Array) -> Array:
    """Return the largest thrust along the pole: at its middle, and half its weight along it. [N]"""
    middle = np.array([math.nan if state is None else state.pole_thrust for state in states])
    rise = np.abs(np.sin(gin_elevation(model, angles)))
    return middle + model.rig.gin_pole.tube.mass * STANDARD_GRAVITY / 2 * rise


def _hinge(model: Model, weights: Weights, pulls: Pulls) -> Array:
    """Return the force of the base: it holds the weights and answers the pulls. [N]"""
    up = STANDARD_GRAVITY * (weights.mass + pulls.on_tip)
    pulled = pulls.tow[:, np.newaxis] * pulls.line + pulls.hold[:, np.newaxis] * pulls.back
    reaction = up[:, np.newaxis] * model.upward - pulled
    axes = np.stack([model.forward, model.upward, model.rightward], axis=1)
    return np.asarray(reaction @ axes)


def _front_anchor(model: Model, path: TowPath, pull: Array) -> Array:
    """Return the pull on the front anchor: of the block, or of the winch. [N]"""
    tow = model.rig.tow
    if tow.by == "winch":
        return np.asarray(pull[:, np.newaxis] * units_between(path.ends, path.tips))
    if path.block is None:
        return np.zeros(path.tips.shape)
    block = np.broadcast_to(path.block, path.tips.shape)
    hitch = at_hitch(model, pull, hauling=True)
    to_tip = pull[:, np.newaxis] * units_between(block, path.tips)
    return np.asarray(to_tip + hitch[:, np.newaxis] * units_between(block, path.ends))
