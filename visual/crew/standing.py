"""The mast standing on its wires: which way it leans for given lengths of the wires.

The mast is one straight rigid piece, free to lean any way about its hinge. It stands where the
moments of all wires and of its own weight about the hinge cancel.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from visual.crew.balance import (
    hang_by_length,
    hang_by_tension,
    initial_tension,
    wire_ends,
)
from visual.model import Model, Vector
from visual.rig import SIDES, Side
from visual.units import STANDARD_GRAVITY

MOST_STEPS = 60
LONGEST_STEP = 0.005  # [1] of the lean
RATE_STEP = 1e-6  # [1] of the lean, for rates of change

Key = tuple[Side, int]
"""A wire: its side, and its level from the lowest, 0 first."""


@dataclass(frozen=True)
class Standing:
    """The mast at rest.

    Parameters
    ----------
    lean : ndarray, shape (2,)
        Lean in x and y over the height. [1]
    tensions : mapping of (side, level) to float
        Tension of each wire at its anchor. [N]
    """

    lean: Vector = field(repr=False)
    tensions: Mapping[Key, float]


def wire_keys(model: Model) -> tuple[Key, ...]:
    """Return every wire, side by side from the lowest level up."""
    return tuple((side, level) for side in SIDES for level in range(len(model.rig.mast.collars)))


def leaning(lean: Vector) -> Vector:
    """Return the direction of a leaning mast, a unit vector, shape (3,)."""
    along = np.array([lean[0], lean[1], 1.0])
    return np.asarray(along / np.linalg.norm(along))


def collar_at(model: Model, level: int, lean: Vector) -> Vector:
    """Return a collar of the leaning mast, shape (3,). [m]"""
    return model.rig.mast.collars[level].height * leaning(lean)


def stand(model: Model, lengths: Mapping[Key, float], *, near: Vector) -> Standing:
    """Return how the mast stands on wires of given unstressed lengths.

    Parameters
    ----------
    model : Model
        The mast on its site.
    lengths : mapping of (side, level) to float
        Unstressed length of each wire, turnbuckle included. [m]
    near : ndarray, shape (2,)
        Lean at which the search begins. [1]

    Raises
    ------
    ValueError
        If it finds no place where the mast stands.
    """
    scale = _moment_scale(model)
    lean = np.array(near, dtype=float)
    moment = _moments(model, lengths, lean) / scale
    for _ in range(MOST_STEPS):
        if np.abs(moment).max() < 1e-11:
            break
        step = -np.linalg.solve(_stiffness(model, lengths, lean) / scale, moment)
        # a long step could pass the place where a wire goes slack
        step *= min(1.0, LONGEST_STEP / max(float(np.abs(step).max()), 1e-300))
        for _ in range(12):
            tried = _moments(model, lengths, lean + step) / scale
            if np.abs(tried).max() < np.abs(moment).max():
                break
            step = step / 2
        if np.abs(step).max() < 1e-12:
            break
        lean, moment = lean + step, tried
    if np.abs(moment).max() > 1e-6:
        message = "the mast stands nowhere on wires of these lengths"
        raise ValueError(message)
    return Standing(lean, {key: _tension(model, key, lengths[key], lean) for key in lengths})


def _stiffness(model: Model, lengths: Mapping[Key, float], lean: Vector) -> Vector:
    """Return the rates of change of both moments with the lean, shape (2, 2). [N m]"""
    columns = []
    for axis in np.eye(2) * RATE_STEP:
        ahead = _moments(model, lengths, lean + axis)
        behind = _moments(model, lengths, lean - axis)
        columns.append((ahead - behind) / (2 * RATE_STEP))
    return np.column_stack(columns)


def settled_tensions(model: Model, tensions: Mapping[Key, float], lean: Vector) -> dict[Key, float]:
    """Return the tensions nearest to given ones on which the mast stands at a lean. [N]

    Gauges are not exact, and what they read does not quite hold the mast where it is seen to
    stand; the smallest changes, as shares of the initial tension, make it so.
    """
    keys = list(tensions)
    initial = np.array([initial_tension(model, level) for _, level in keys])
    current = np.array([tensions[key] for key in keys])
    for _ in range(3):
        moment, rates = _weight_moment(model, lean), np.zeros((2, len(keys)))
        for column, (side, level) in enumerate(keys):
            collar = collar_at(model, level, lean)
            ends = wire_ends(model, side, collar)
            wire = hang_by_tension(model, level, ends, float(current[column]))
            pull = np.array([*(wire.horizontal * ends.outward), -wire.vertical_upper])
            turning = np.cross(collar, pull)[:2]
            moment = moment + turning
            rates[:, column] = turning / current[column] * initial[column]
        change = np.linalg.lstsq(rates, -moment, rcond=None)[0]
        current = np.maximum(current + change * initial, least_tensions(model, keys, lean))
    return {key: float(tension) for key, tension in zip(keys, current, strict=True)}


def least_tensions(model: Model, keys: Sequence[Key], lean: Vector) -> Vector:
    """Return the tension that each wire keeps by its own weight, however slack. [N]"""
    least = []
    for side, level in keys:
        ends = wire_ends(model, side, collar_at(model, level, lean))
        kind = model.rig.wire_of_level(level)
        least.append(kind.mass_per_metre * STANDARD_GRAVITY * np.hypot(ends.span, ends.rise))
    return np.array(least)


def _tension(model: Model, key: Key, length: float, lean: Vector) -> float:
    side, level = key
    ends = wire_ends(model, side, collar_at(model, level, lean))
    return hang_by_length(model, level, ends, length).tension_lower


def _moments(model: Model, lengths: Mapping[Key, float], lean: Vector) -> Vector:
    """Return the moments about the two horizontal axes through the hinge, shape (2,). [N m]"""
    moment = _weight_moment(model, lean)
    for (side, level), length in lengths.items():
        collar = collar_at(model, level, lean)
        ends = wire_ends(model, side, collar)
        wire = hang_by_length(model, level, ends, length)
        pull = np.array([*(wire.horizontal * ends.outward), -wire.vertical_upper])
        moment = moment + np.cross(collar, pull)[:2]
    return np.asarray(moment)


def _weight_moment(model: Model, lean: Vector) -> Vector:
    """Return the moment of mast and head about the hinge, shape (2,). [N m]"""
    along, moment, foot = leaning(lean), np.zeros(3), 0.0
    mast = model.rig.mast
    for section in mast.sections:
        middle = (foot + section.length / 2) * along
        moment += np.cross(middle, [0.0, 0.0, -section.mass * STANDARD_GRAVITY])
        foot += section.length
    if mast.head is not None:
        centre = (mast.length + mast.head.centre_above_top) * along
        centre = centre + mast.head.centre_to_front * model.forward
        moment += np.cross(centre, [0.0, 0.0, -mast.head.mass * STANDARD_GRAVITY])
    return moment[:2]


def _moment_scale(model: Model) -> float:
    top = model.rig.mast.collars[-1]
    kind = model.rig.wire_types[top.wire]
    return model.rig.tension_share * kind.breaking_load * top.height
