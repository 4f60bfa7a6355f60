"""Stress of the gin pole: thrust, its own weight across, and the bow that the mill allows.

The pole is taken as pinned at both ends, which the lift wires and the tow line hold in the raising
plane and the side stays across it.
"""

import math

import numpy as np

from visual.mechanics.column import Strut, bow_moment, edge_stress, uniform_load_moment
from visual.model import Model
from visual.raising.motion import Array, in_raising_plane
from visual.units import STANDARD_GRAVITY


def gin_pole_stress(model: Model, thrust: Array, angles: Array, *, factor: float = 1.0) -> Array:
    """Return the largest stress of the gin pole with thrust and weight multiplied. [Pa]

    Its own weight across bends it, the thrust bends it further, and it has a bow from the mill.
    It is pinned at both ends; lines that pull beside its axis are not counted.

    Parameters
    ----------
    model : Model
        The mast on its site.
    thrust : ndarray, shape (n,)
        Thrust. [N]
    angles : ndarray, shape (n,)
        Raising angles. [rad]
    factor : float
        On all loads. [1]
    """
    tube = model.rig.gin_pole.tube
    strut = pole_strut(model)
    level = np.abs(in_raising_plane(model, gin_elevation(model, angles)) @ model.forward)
    weight = tube.mass / tube.length * STANDARD_GRAVITY * level
    modulus = 2 * tube.second_moment / tube.outer_diameter

    def one(push: float, across: float) -> float:
        bend = uniform_load_moment(strut, load=across, thrust=push) + bow_moment(strut, thrust=push)
        return edge_stress(thrust=push, moment=bend, area=tube.area, modulus=modulus)

    pairs = zip(factor * thrust, factor * weight, strict=True)
    return np.array([math.nan if math.isnan(p) else one(float(p), float(w)) for p, w in pairs])


def gin_elevation(model: Model, angles: Array) -> Array:
    """Return the plane angle of the gin pole, from the front upwards. [rad]"""
    return math.pi - np.asarray(angles) - model.rig.gin_pole.angle


def pole_strut(model: Model) -> Strut:
    """Return the gin pole as a strut."""
    tube = model.rig.gin_pole.tube
    return Strut(length=tube.length, flexural=tube.modulus * tube.second_moment)
