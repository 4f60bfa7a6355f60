"""Loads across the raising plane: a gust from the side, and a lane that is off line.

Assumed:

* a gust of 10 m/s square to the raising plane, on mast, gin pole and wires, and on the rotor with
  its blades taken for a tenth of the disc (both common practice, no source), force coefficients
  as in `visual.mechanics.wind`;
* the hinge lets the mast lean sideways freely, so that the top side wire on the windward side
  holds it alone, and the windward side stay holds the gin pole alone: more than either gets while
  the hinge lugs and the other wires help;
* both are straight and just snug; a slack wire lets the mast lean first;
* a lane that is off line by 5° in plan pulls the tip sideways with the sine of that.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from visual.mechanics.pivot import units_between
from visual.mechanics.wind import BLADE_FORCE, tube_load, velocity_pressure
from visual.model import Model, installed_wires
from visual.raising.analysis import SWUNG_SIDES
from visual.raising.forces_run import RaiseRun
from visual.raising.motion import Array, mast_direction
from visual.rig import Side

GUST = 10.0  # [m/s] a fresh breeze: raising is for less; common practice, no source
OFF_LINE = math.radians(5.0)  # what an eye along the lane easily misses; no source
BLADE_SHARE = 0.1  # of the disc; common practice, no source


@dataclass(frozen=True)
class AcrossLoads:
    """What loads from the side do at each step; arrays have shape (n,).

    Parameters
    ----------
    gust : float
        Wind speed. [m/s]
    off_line : float
        Angle of the lane off the front bearing. [rad]
    mast_wind : float
        Wind on mast, head and wires together. [N]
    wind_moment : float
        Its moment about the hinge. [N m]
    side_wire : ndarray
        Tension of the top side wire that holds the mast alone, the worse of left and right;
        infinite where it has no lever. [N]
    side_stay : ndarray
        Tension of the side stay that holds the gin-pole tip against gust and lane together. [N]
    stay_from_lane : ndarray
        The part of it that the lane makes. [N]
    hinge_sideways : ndarray
        Force on the hinge along its axis. [N]
    hinge_twist : ndarray
        Moment that the hinge must take if there is no wire and no stay at all. [N m]
    """

    gust: float
    off_line: float
    mast_wind: float
    wind_moment: float
    side_wire: Array = field(repr=False)
    side_stay: Array = field(repr=False)
    stay_from_lane: Array = field(repr=False)
    hinge_sideways: Array = field(repr=False)
    hinge_twist: Array = field(repr=False)


def loads_across(
    model: Model, run: RaiseRun, *, gust: float = GUST, off_line: float = OFF_LINE
) -> AcrossLoads:
    """Work out the loads across the raising plane.

    Parameters
    ----------
    model : Model
        The mast on its site.
    run : RaiseRun
        The forces in the plane.
    gust : float
        Wind across. [m/s]
    off_line : float
        Angle of the lane off line. [rad]
    """
    force, moment = _wind(model, gust=gust, with_head=run.with_head)
    height = model.rig.mast.collars[-1].height
    collars = height * mast_direction(model, run.angles)
    side_wire = _held_by_side(model, collars, np.full(run.angles.size, moment / height))
    pole = model.rig.gin_pole
    from_lane = run.tow_tension * math.sin(off_line)
    on_tip = tube_load(gust, diameter=pole.tube.outer_diameter) * pole.length / 2
    tips = run.tow.tips
    twist = np.hypot(moment, (from_lane + on_tip) * pole.length)
    return AcrossLoads(
        gust=gust,
        off_line=off_line,
        mast_wind=force,
        wind_moment=moment,
        side_wire=side_wire,
        side_stay=_held_by_side(model, tips, from_lane + on_tip),
        stay_from_lane=_held_by_side(model, tips, from_lane),
        hinge_sideways=np.full(run.angles.size, abs(force - moment / height) + on_tip),
        hinge_twist=twist,
    )


def _wind(model: Model, *, gust: float, with_head: bool) -> tuple[float, float]:
    """Return the wind across on mast, wires and rotor [N], and its moment about the hinge [N m]."""
    parts = []
    foot = 0.0
    for tube in model.rig.mast.sections:
        on_tube = tube_load(gust, diameter=tube.outer_diameter) * tube.length
        parts.append((on_tube, foot + tube.length / 2))
        foot += tube.length
    for wire in installed_wires(model):
        collar = model.rig.mast.collars[wire.level]
        diameter = model.rig.wire_types[collar.wire].diameter
        on_wire = tube_load(gust, diameter=diameter) * wire.straight_length / 2
        parts.append((on_wire, collar.height))
    head = model.rig.mast.head
    if with_head and head is not None:
        blades = BLADE_SHARE * math.pi * head.rotor_radius**2
        on_rotor = BLADE_FORCE * velocity_pressure(gust) * blades
        parts.append((on_rotor, model.rig.mast.hub_above_hinge))
    return sum(f for f, _ in parts), sum(f * arm for f, arm in parts)


def _held_by_side(model: Model, points: Array, across: Array) -> Array:
    """Return the tension to a side anchor that holds a force across, the worse of both sides."""
    worst = np.zeros(across.shape)
    for side in SWUNG_SIDES:
        worst = np.maximum(worst, _tension(model, side, points, across))
    return worst


def _tension(model: Model, side: Side, points: Array, across: Array) -> Array:
    eye = np.broadcast_to(model.anchors[side].eye, points.shape)
    share = np.abs(units_between(points, eye) @ model.rightward)
    none = np.full(across.shape, math.inf)
    return np.asarray(np.divide(across, share, out=none, where=share > 1e-6))
