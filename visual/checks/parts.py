"""The moving parts of a raise as segments with a radius and a bound on their speed."""

import math
from collections.abc import Callable

import numpy as np

from visual.checks.clearance import MovingPart
from visual.model import Model, Vector, wire_name
from visual.raising import Raise, gin_direction, mast_direction
from visual.raising.motion import Array, gin_tip, head_centre, rotor_centre
from visual.raising.tow import line_places
from visual.rig import HEAD_RADIUS, SIDES, Side

VEHICLE_LENGTH = 5.0  # [m] a pick-up or tractor; common practice, no source
VEHICLE_RADIUS = 1.25  # [m] half its height and width
PointAt = Callable[[Array], Array]
"""A point that moves: raising angles, shape (k,), to points, shape (k, 3). [m]"""

HITCH_PLACES = 5  # places of the hitch per step of the raise; on a kink within 0.3 mm of the lane


def moving_parts(model: Model, raised: Raise) -> tuple[MovingPart, ...]:
    """Return every part that moves: mast, head, rotor, gin pole, wires, tow line, vehicle."""
    parts = [_mast(model), _gin_pole(model), *_head_and_rotor(model), *_wires(model)]
    if not np.isnan(raised.tow.distance).any():
        parts += _tow(model, raised)
    return tuple(parts)


def standing_parts(model: Model) -> tuple[MovingPart, ...]:
    """Return what comes into being at 90° only: the front wires on their anchor."""
    if not model.anchors["front"].placed:
        return ()
    levels = range(len(model.rig.mast.collars))
    return tuple(_anchored_wire(model, "front", level) for level in levels)


def rigid_ground_parts(model: Model) -> tuple[MovingPart, ...]:
    """Return the parts that must stay off the ground for the whole raise: head and rotor."""
    return tuple(_head_and_rotor(model))


def _mast(model: Model) -> MovingPart:
    mast = model.rig.mast
    return _from_hinge(
        "mast", mast.radius, mast.length, lambda a: mast.length * mast_direction(model, a)
    )


def _gin_pole(model: Model) -> MovingPart:
    pole = model.rig.gin_pole
    return _from_hinge(
        "gin pole",
        pole.tube.outer_diameter / 2,
        pole.length,
        lambda a: pole.length * gin_direction(model, a),
    )


def _from_hinge(name: str, radius: float, speed: float, outer: PointAt) -> MovingPart:
    """Return a part that reaches from the hinge to a moving point."""
    return MovingPart(
        name=name, radius=radius, speed=(0.0, speed), ends=lambda a: _pair(np.zeros(3), outer(a))
    )


def _head_and_rotor(model: Model) -> list[MovingPart]:
    mast, head = model.rig.mast, model.rig.mast.head
    if head is None:
        return []
    off = math.hypot(mast.length + head.centre_above_top, head.centre_to_front)
    parts = [_ball("head", HEAD_RADIUS, off, lambda a: head_centre(model, a))]
    if head.rotor_radius > 0:
        centre = mast.hub_above_hinge
        parts.append(_ball("rotor", head.rotor_radius, centre, lambda a: rotor_centre(model, a)))
    return parts


def _ball(name: str, radius: float, speed: float, centre: PointAt) -> MovingPart:
    def ends(angles: Array) -> Array:
        point = centre(angles)
        return _pair(point, point)

    return MovingPart(name=name, radius=radius, speed=speed, ends=ends)


def _wires(model: Model) -> list[MovingPart]:
    sides = [side for side in SIDES if side != "front"]
    sides = [side for side in sides if model.anchors[side].placed]
    levels = range(len(model.rig.mast.collars))
    anchored = [_anchored_wire(model, side, level) for side in sides for level in levels]
    return anchored + [_lift_wire(model, level) for level in levels]


def _anchored_wire(model: Model, side: Side, level: int) -> MovingPart:
    """Return a wire between a collar and an anchor, taken as straight."""
    eye = model.anchors[side].eye
    height = model.rig.mast.collars[level].height
    return MovingPart(
        name=f"wire {wire_name(model, side, level)}",
        radius=_wire_radius(model, level),
        speed=(0.0, height),
        ends=lambda a: _pair(eye, height * mast_direction(model, a)),
    )


def _lift_wire(model: Model, level: int) -> MovingPart:
    """Return a front wire while it is on the gin pole: it turns rigidly with the mast."""
    height = model.rig.mast.collars[level].height
    return MovingPart(
        name=f"lift wire {level + 1}",
        radius=_wire_radius(model, level),
        speed=(height, model.rig.gin_pole.length),
        ends=lambda a: _pair(height * mast_direction(model, a), gin_tip(model, a)),
    )


def _wire_radius(model: Model, level: int) -> float:
    return model.rig.wire_types[model.rig.mast.collars[level].wire].diameter / 2


def _tow(model: Model, raised: Raise) -> list[MovingPart]:
    """Return tow line and vehicle; a winch has a line only."""
    tip_speed, (hitch, speed) = model.rig.gin_pole.length, _hitch_path(model, raised)
    radius = model.rig.wire_types[model.rig.tow.line].diameter / 2
    block = raised.tow.block

    def from_tip(angles: Array) -> Array:
        return _pair(gin_tip(model, angles), hitch(angles) if block is None else block)

    def from_block(angles: Array) -> Array:
        return _pair(np.asarray(block), hitch(angles))

    outer = 0.0 if block is not None else speed
    parts = [MovingPart("tow line", radius, (tip_speed, outer), from_tip)]
    if block is not None:
        parts.append(MovingPart("tow line to hitch", radius, (0.0, speed), from_block))
    if model.rig.tow.by == "vehicle":
        parts.append(_vehicle(model, hitch, speed))
    return parts


def _vehicle(model: Model, hitch: PointAt, speed: float) -> MovingPart:
    """Return the vehicle: a rounded box from the hitch onwards."""
    lift = np.array([0.0, 0.0, max(VEHICLE_RADIUS - model.rig.tow.hitch_height, 0.0)])

    def ends(angles: Array) -> Array:
        rear = hitch(angles) + lift + VEHICLE_RADIUS * model.forward
        front = rear + (VEHICLE_LENGTH - 2 * VEHICLE_RADIUS) * model.forward
        return _pair(rear, front)

    return MovingPart(name="vehicle", radius=VEHICLE_RADIUS, speed=speed, ends=ends)


def _hitch_path(model: Model, raised: Raise) -> tuple[PointAt, float]:
    """Return where the end of the tow line is, and a bound on its speed [m/rad].

    It goes straight between places close together on the lane: so it has a speed even where the
    ground has a step and the hitch jumps.
    """
    step = np.arange((raised.angles.size - 1) * HITCH_PLACES + 1) / HITCH_PLACES
    angles = np.interp(step, np.arange(raised.angles.size), raised.angles)
    places = line_places(model, raised.tow.lane, angles)[1]
    known = np.isfinite(places).all(axis=1)
    angles, places = angles[known], places[known]
    moved = np.linalg.norm(np.diff(places, axis=0), axis=1)

    def hitch(wanted: Array) -> Array:
        return np.stack([np.interp(wanted, angles, axis) for axis in places.T], axis=1)

    return hitch, float(np.max(moved / np.diff(angles)))


def _pair(first: Vector | Array, second: Array) -> Array:
    """Stack two ends, either may be one point for all angles, into shape (k, 2, 3)."""
    shape = np.broadcast_shapes(first.shape, second.shape)
    return np.stack([np.broadcast_to(first, shape), np.broadcast_to(second, shape)], axis=1)
