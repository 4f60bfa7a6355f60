"""Tow line and vehicle as moving parts."""

from collections.abc import Hashable

import numpy as np

from visual.checks.sweep import MovingPart, PointAt, Way, pair_of_ends
from visual.model import Model
from visual.raising import TowPath
from visual.raising.motion import Array, gin_tip
from visual.raising.tow import line_places

VEHICLE_LENGTH = 5.0  # [m] a pick-up or tractor; common practice, no source
VEHICLE_RADIUS = 1.25  # [m] half its height and width
HITCH_PLACES = 5  # places of the hitch per step of the raise; on a kink within 0.3 mm of the lane


HitchPath = tuple[PointAt, Way, tuple[Hashable, ...]]
"""Where the end of the tow line is, how far it has gone, and what both are made of."""


def tow_parts(model: Model, path: TowPath) -> list[MovingPart]:
    """Return tow line and vehicle."""
    hitch = _hitch_path(model, path)
    return [*_line(model, path, hitch), *_vehicle(model, hitch)]


def tow_line(model: Model, path: TowPath) -> MovingPart:
    """Return the tow line from the gin-pole tip on."""
    return _line(model, path, _hitch_path(model, path))[0]


def _line(model: Model, path: TowPath, hitch_path: HitchPath) -> list[MovingPart]:
    """Return the tow line: one part, or two if it runs through a block at the front anchor."""
    hitch, way, made_of = hitch_path
    tip_speed = model.rig.gin_pole.length
    radius = model.rig.line_type.diameter / 2
    block = path.block

    def from_tip(angles: Array) -> Array:
        return pair_of_ends(gin_tip(model, angles), hitch(angles) if block is None else block)

    def from_block(angles: Array) -> Array:
        return pair_of_ends(np.asarray(block), hitch(angles))

    outer = 0.0 if block is not None else way
    made_of += (b"" if block is None else block.tobytes(), model.rig.gin_pole)
    parts = [MovingPart("tow line", radius, (tip_speed, outer), from_tip, made_of)]
    if block is not None:
        parts.append(MovingPart("tow line to hitch", radius, (0.0, way), from_block, made_of))
    return parts


def _vehicle(model: Model, hitch_path: HitchPath) -> list[MovingPart]:
    """Return the vehicle, a rounded box from the hitch onwards; none with a winch."""
    if model.rig.tow.by != "vehicle":
        return []
    hitch, way, made_of = hitch_path
    lift = np.array([0.0, 0.0, max(VEHICLE_RADIUS - model.rig.tow.hitch_height, 0.0)])

    def ends(angles: Array) -> Array:
        rear = hitch(angles) + lift + VEHICLE_RADIUS * model.forward
        front = rear + (VEHICLE_LENGTH - 2 * VEHICLE_RADIUS) * model.forward
        return pair_of_ends(rear, front)

    made_of += (lift.tobytes(),)
    return [MovingPart("vehicle", VEHICLE_RADIUS, way, ends, made_of)]


def _hitch_path(model: Model, path: TowPath) -> HitchPath:
    """Return the path of the end of the tow line.

    It goes straight between places close together on the lane: so its way is known even where
    the ground has a step and the hitch jumps.
    """
    step = np.arange((path.angles.size - 1) * HITCH_PLACES + 1) / HITCH_PLACES
    angles = np.interp(step, np.arange(path.angles.size), path.angles)
    places = line_places(model, path.lane, angles)[1]
    known = np.isfinite(places).all(axis=1)
    angles, places = angles[known], places[known]
    gone = np.cumsum(np.linalg.norm(np.diff(places, axis=0, prepend=places[:1]), axis=1))

    def hitch(wanted: Array) -> Array:
        return np.stack([np.interp(wanted, angles, axis) for axis in places.T], axis=1)

    made_of = (model.rig.front, angles.tobytes(), places.tobytes())
    return hitch, lambda wanted: np.interp(wanted, angles, gone), made_of
