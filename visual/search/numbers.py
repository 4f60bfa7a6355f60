"""The rig and its limits as plain numbers, for the kernels.

Margins of different checks are made comparable by what the same rig has left on level, open
ground: a margin of 1 is as much as there, 0 is the limit, below 0 stops. A check that only
cautions counts half: at its limit it leaves 0.5.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from visual.checks.on_the_way import STEEP_START
from visual.model import Model
from visual.raising.forces_pulls import at_hitch
from visual.raising.start import COLLAR_ROOM, foot_length
from visual.raising.strike import INNER_SHARE
from visual.raising.weights import find_weights
from visual.rig import HEAD_RADIUS, SIDES
from visual.units import STANDARD_GRAVITY

Array = NDArray[np.float64]

STEEPEST = math.radians(2 * STEEP_START)
"""A start angle above this stops. [rad]"""


class Numbers(NamedTuple):
    """Plain numbers of rig and limits, lengths in metres, angles in radians, forces in newtons.

    Parameters
    ----------
    hinge, length, tube_radius, foot : float
        Hinge above ground; hinge to top; radius of the tube; how much of it is over the pad.
    collars : ndarray, shape (levels,)
        Heights of the collars.
    anchor_radius, anchor_turn, eye : ndarray, shape (4,)
        Of the planned anchors, clockwise from the front.
    anchor_ahead : ndarray, shape (4,)
        How far in front of the hinge they are; exactly 0 for what is square to the front.
    wire_low, wire_high : float
        Limits of the wire angles.
    tight_fixed : float
        Stated limit of a wire that goes tight; NaN for the stretch of the wire.
    stretch : ndarray, shape (levels,)
        Stretch from initial tension to working load, per length.
    slack : float
        Limit of a slack side wire.
    trestle, collar_room : float
        Room under the top and under the collars.
    steep_caution, steep_stop : float
        Start angles that caution and stop.
    gin, gin_radius, gin_angle, gin_foot : float
        The gin pole: length, radius, angle to the mast, how much of it is over the pad.
    gin_room : float
        Room it must have.
    lane_slope, line_length, hitch_height : float
        Of lane and tow line.
    vehicle, through_anchor : bool
        What pulls, and whether through a block at the front anchor.
    weight_along, weight_across : float
        Sums of mass times place of what is lifted. [kg m]
    hitch_share : float
        Pull at the hitch over pull at the tip.
    vehicle_weight, net_grip, winch : float
        Weight of the vehicle, grip less rolling; pull of a winch, NaN if not stated.
    head_clearance : float
        Room under head and rotor.
    total_height : float
        Ground to the highest point.
    """

    hinge: float
    length: float
    tube_radius: float
    foot: float
    collars: Array
    anchor_radius: Array
    anchor_turn: Array
    eye: Array
    anchor_ahead: Array
    wire_low: float
    wire_high: float
    tight_fixed: float
    stretch: Array
    slack: float
    trestle: float
    collar_room: float
    steep_caution: float
    steep_stop: float
    gin: float
    gin_radius: float
    gin_angle: float
    gin_foot: float
    gin_room: float
    lane_slope: float
    line_length: float
    hitch_height: float
    vehicle: bool
    through_anchor: bool
    weight_along: float
    weight_across: float
    hitch_share: float
    vehicle_weight: float
    net_grip: float
    winch: float
    head_clearance: float
    total_height: float


class Ball(NamedTuple):
    """A head or a rotor: it may be turned any way.

    Parameters
    ----------
    along, across : float
        Its middle, along the mast and square to it to the front. [m]
    radius : float
        Its own radius. [m]
    """

    along: float
    across: float
    radius: float


def balls_of(model: Model) -> tuple[Ball, ...]:
    """Return head and rotor; a head that lies within the ball of the rotor is left out."""
    mast = model.rig.mast
    head = mast.head
    if head is None:
        return ()
    body = Ball(mast.length + head.centre_above_top, head.centre_to_front, HEAD_RADIUS)
    if head.rotor_radius == 0:
        return (body,)
    rotor = Ball(mast.hub_above_hinge, 0.0, head.rotor_radius)
    apart = math.hypot(body.along - rotor.along, body.across)
    return (rotor,) if apart + body.radius <= rotor.radius else (rotor, body)


def numbers_of(model: Model) -> Numbers:
    """Return the numbers of a model's rig and limits."""
    rig, limits, tow = model.rig, model.site.limits, model.rig.tow
    mast, pole = rig.mast, rig.gin_pole
    kinds = [rig.wire_types[collar.wire] for collar in mast.collars]
    working = 1.0 / limits.design_factor.value
    spare = max(working - rig.tension_share, 0.0)
    plans = [rig.anchors[side] for side in SIDES]
    along, across = _weight_sums(model)
    fixed = limits.side_wire_tight.value
    return Numbers(
        hinge=mast.hinge_height,
        length=mast.length,
        tube_radius=mast.radius,
        foot=foot_length(mast.length),
        collars=np.array([collar.height for collar in mast.collars]),
        anchor_radius=np.array([plan.radius for plan in plans]),
        anchor_turn=np.array([plan.turn for plan in plans]),
        eye=np.array([plan.eye_height for plan in plans]),
        anchor_ahead=_ahead([plan.radius for plan in plans], [plan.turn for plan in plans]),
        wire_low=limits.wire_angle.value[0],
        wire_high=limits.wire_angle.value[1],
        tight_fixed=math.nan if fixed is None else fixed,
        stretch=np.array([spare * kind.breaking_load / kind.stiffness for kind in kinds]),
        slack=limits.side_wire_slack.value,
        trestle=limits.trestle.value,
        collar_room=COLLAR_ROOM,
        steep_caution=math.radians(STEEP_START),
        steep_stop=STEEPEST,
        gin=pole.length,
        gin_radius=pole.tube.outer_diameter / 2,
        gin_angle=pole.angle,
        gin_foot=INNER_SHARE * pole.length,
        gin_room=limits.ground_clearance.value,
        lane_slope=limits.lane_slope.value,
        line_length=tow.line_length,
        hitch_height=tow.hitch_height,
        vehicle=tow.by == "vehicle",
        through_anchor=tow.through_front_anchor,
        weight_along=along,
        weight_across=across,
        hitch_share=float(at_hitch(model, np.ones(1), hauling=True)[0]),
        vehicle_weight=tow.vehicle_mass * STANDARD_GRAVITY,
        net_grip=tow.grip * tow.driven_share - tow.rolling,
        winch=math.nan if tow.winch_pull is None else tow.winch_pull,
        head_clearance=limits.head_clearance.value,
        total_height=mast.total_height,
    )


def _ahead(radius: list[float], turn: list[float]) -> Array:
    """Return how far in front of the hinge anchors are; a hair beside it is none. [m]"""
    ahead = np.array(radius) * np.cos(np.array(turn) + np.arange(4) * math.pi / 2)
    return np.where(np.abs(ahead) < 1e-9, 0.0, ahead)


def _weight_sums(model: Model) -> tuple[float, float]:
    """Return the sums of mass times place along and across the mast, half the tow line too."""
    weights = find_weights(model, with_head=model.rig.mast.head is not None)
    tow = model.rig.tow
    line = model.rig.wire_types[tow.line].mass_per_metre * tow.parts * tow.line_length / 2
    known = [w for w in weights.points if math.isfinite(w.mass)]
    along = sum(w.mass * w.along for w in known) + line * weights.tip[0]
    across = sum(w.mass * w.across for w in known) + line * weights.tip[1]
    return along, across
