"""Tensions at which the upright mast stands still: on a slope not the same in all wires.

The mast is free to turn about its hinge, so the horizontal pulls of the four wires of a level must
cancel. A steep wire pulls less sideways than a flat one of the same tension; so where the anchors
lie at different heights, equal gauge readings pull the mast out of plumb.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from visual.mechanics.catenary import Catenary, solve_by_length, solve_by_tension
from visual.model import Model, Vector
from visual.rig import SIDES, Side
from visual.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class WireEnds:
    """One wire with its collar somewhere: its plan direction, span and rise.

    Parameters
    ----------
    outward : ndarray, shape (2,)
        Horizontal unit vector from collar to anchor, x and y.
    span, rise : float
        Horizontal distance and height from anchor eye to collar. [m]
    """

    outward: Vector
    span: float
    rise: float


def wire_ends(model: Model, side: Side, collar: Vector) -> WireEnds:
    """Return where a wire runs from a collar [m], shape (3,)."""
    away = model.anchors[side].eye - collar
    span = math.hypot(away[0], away[1])
    return WireEnds(outward=away[:2] / span, span=span, rise=-float(away[2]))


def hang_by_tension(model: Model, level: int, ends: WireEnds, tension: float) -> Catenary:
    """Return the wire of a level that has a tension [N] at its anchor."""
    kind = model.rig.wire_of_level(level)
    return solve_by_tension(
        span=ends.span,
        rise=ends.rise,
        tension_lower=tension,
        weight=kind.mass_per_metre * STANDARD_GRAVITY,
        stiffness=kind.stiffness,
    )


def hang_by_length(model: Model, level: int, ends: WireEnds, unstressed: float) -> Catenary:
    """Return the wire of a level that has an unstressed length [m]."""
    kind = model.rig.wire_of_level(level)
    return solve_by_length(
        span=ends.span,
        rise=ends.rise,
        unstressed_length=unstressed,
        weight=kind.mass_per_metre * STANDARD_GRAVITY,
        stiffness=kind.stiffness,
    )


def initial_tension(model: Model, level: int) -> float:
    """Return the initial tension of the wires of a level, at the anchor. [N]"""
    kind = model.rig.wire_of_level(level)
    return model.rig.tension_share * kind.breaking_load


def balanced_tensions(
    model: Model, level: int, *, collar: Vector | None = None, mean: float | None = None
) -> Mapping[Side, float]:
    """Return the tensions at the anchors that pull the collar to no side. [N]

    Of all such tensions with the wanted mean the ones nearest to it. The weight of the mast is
    left out: it pulls nowhere while the mast is upright.

    Parameters
    ----------
    model : Model
        The mast on its site.
    level : int
        Number of the collar from the lowest, 0 first.
    collar : ndarray, shape (3,), or None
        Where the collar is; upright if left out. [m]
    mean : float or None
        Mean of the four tensions; the initial tension if left out. [N]
    """
    place = model.rig.mast.collars[level].height * model.upward if collar is None else collar
    wanted = initial_tension(model, level) if mean is None else mean
    ends = [wire_ends(model, side, place) for side in SIDES]
    tensions = np.full(len(SIDES), wanted)
    for _ in range(4):
        pulls = [
            hang_by_tension(model, level, end, max(float(t), 0.05 * wanted)).horizontal
            for end, t in zip(ends, tensions, strict=True)
        ]
        tensions = _nearest_balanced(ends, tensions, np.array(pulls), wanted)
    return {side: float(t) for side, t in zip(SIDES, tensions, strict=True)}


def _nearest_balanced(
    ends: list[WireEnds], tensions: Vector, pulls: Vector, wanted: float
) -> Vector:
    """Return the tensions nearest to the wanted one whose pulls cancel, pulls taken as linear."""
    slopes = np.array([end.span / math.hypot(end.span, end.rise) for end in ends])
    directions = np.array([end.outward for end in ends]).T
    sideways = directions @ pulls - directions @ (slopes * tensions)
    matrix = np.vstack([directions * slopes, np.ones(len(ends))])
    target = np.array([*-sideways, len(ends) * wanted])
    step = np.linalg.lstsq(matrix, target - matrix @ np.full(len(ends), wanted), rcond=None)[0]
    return np.asarray(wanted + step)
