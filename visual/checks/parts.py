"""The moving parts of a raise as segments with a radius and a bound on their speed."""

import math
from collections.abc import Hashable

import numpy as np

from visual.checks.sweep import MovingPart, PointAt, pair_of_ends
from visual.checks.tow_parts import tow_parts
from visual.model import Model, wire_name
from visual.raising import SWUNG_SIDES, FirstRaise, Raise, TowPath, gin_direction, mast_direction
from visual.raising.motion import Array, gin_tip, head_centre, rotor_centre
from visual.raising.start import foot_length
from visual.raising.strike import INNER_SHARE
from visual.rig import HEAD_RADIUS, SIDES, Side

STAY_RADIUS = 0.006  # [m] half of a 12 mm rope; common practice, no source


def moving_parts(model: Model, raised: Raise) -> tuple[MovingPart, ...]:
    """Return every part that moves: mast, head, gin pole, wires, side stays, tow line, vehicle."""
    head = head_and_rotor(model)
    return (_mast(model), _gin_pole(model), *head, *_lines_and_vehicle(model, raised.tow))


def first_raise_parts(model: Model, first: FirstRaise) -> tuple[MovingPart, ...]:
    """Return every part that moves on the first raise, below the start angle with the head."""
    return (_mast(model), _gin_pole(model), *_lines_and_vehicle(model, first.tow))


def _lines_and_vehicle(model: Model, path: TowPath) -> list[MovingPart]:
    parts = [*_wires(model), *_side_stays(model)]
    if not np.isnan(path.distance).any():
        parts += tow_parts(model, path)
    return parts


def standing_parts(model: Model) -> tuple[MovingPart, ...]:
    """Return what comes into being at 90° only: the front wires on their anchor."""
    if not model.anchors["front"].placed:
        return ()
    levels = range(len(model.rig.mast.collars))
    return tuple(_anchored_wire(model, "front", level) for level in levels)


def outer_mast(model: Model) -> MovingPart:
    """Return the mast without its foot, which is over the levelled base pad."""
    mast = model.rig.mast
    foot = foot_length(mast.length)
    return MovingPart(
        name="mast",
        radius=mast.radius,
        speed=(foot, mast.length),
        ends=lambda a: pair_of_ends(
            foot * mast_direction(model, a), mast.length * mast_direction(model, a)
        ),
        made_of=("outer mast", model.rig.front, mast.length),
    )


def outer_gin_pole(model: Model) -> MovingPart:
    """Return the gin pole without its foot, which is over the levelled base pad."""
    pole = model.rig.gin_pole
    foot = INNER_SHARE * pole.length
    return MovingPart(
        name="gin pole",
        radius=pole.tube.outer_diameter / 2,
        speed=(foot, pole.length),
        ends=lambda a: pair_of_ends(
            foot * gin_direction(model, a), pole.length * gin_direction(model, a)
        ),
        made_of=("outer gin pole", model.rig.front, pole.length, pole.angle),
    )


def _mast(model: Model) -> MovingPart:
    mast = model.rig.mast
    return _from_hinge(
        "mast",
        mast.radius,
        mast.length,
        lambda a: mast.length * mast_direction(model, a),
        made_of=("mast", model.rig.front, mast.length),
    )


def _gin_pole(model: Model) -> MovingPart:
    pole = model.rig.gin_pole
    return _from_hinge(
        "gin pole",
        pole.tube.outer_diameter / 2,
        pole.length,
        lambda a: gin_tip(model, a),
        made_of=("gin pole", model.rig.front, pole.length, pole.angle),
    )


def _from_hinge(
    name: str, radius: float, speed: float, outer: PointAt, *, made_of: tuple[Hashable, ...]
) -> MovingPart:
    """Return a part that reaches from the hinge to a moving point."""
    return MovingPart(
        name=name,
        radius=radius,
        speed=(0.0, speed),
        ends=lambda a: pair_of_ends(np.zeros(3), outer(a)),
        made_of=made_of,
    )


def head_and_rotor(model: Model) -> list[MovingPart]:
    """Return head and rotor, each as a ball: both may be turned any way."""
    mast, head = model.rig.mast, model.rig.mast.head
    if head is None:
        return []
    off = math.hypot(mast.length + head.centre_above_top, head.centre_to_front)
    made_of: tuple[Hashable, ...] = ("ball", model.rig.front, mast.length, mast.hub_above_hinge)
    made_of += (head.centre_above_top, head.centre_to_front)
    parts = [_ball("head", HEAD_RADIUS, off, lambda a: head_centre(model, a), made_of)]
    if head.rotor_radius > 0:
        centre = mast.hub_above_hinge
        parts.append(
            _ball("rotor", head.rotor_radius, centre, lambda a: rotor_centre(model, a), made_of)
        )
    return parts


def _ball(
    name: str, radius: float, speed: float, centre: PointAt, made_of: tuple[Hashable, ...]
) -> MovingPart:
    def ends(angles: Array) -> Array:
        point = centre(angles)
        return pair_of_ends(point, point)

    return MovingPart(name=name, radius=radius, speed=speed, ends=ends, made_of=made_of)


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
        ends=lambda a: pair_of_ends(eye, height * mast_direction(model, a)),
        made_of=("anchored wire", model.rig.front, eye.tobytes(), height),
    )


def _lift_wire(model: Model, level: int) -> MovingPart:
    """Return a front wire while it is on the gin pole: it turns rigidly with the mast."""
    height, pole = model.rig.mast.collars[level].height, model.rig.gin_pole
    return MovingPart(
        name=f"lift wire {level + 1}",
        radius=_wire_radius(model, level),
        speed=(height, pole.length),
        ends=lambda a: pair_of_ends(height * mast_direction(model, a), gin_tip(model, a)),
        made_of=("lift wire", model.rig.front, height, pole.length, pole.angle),
    )


def _wire_radius(model: Model, level: int) -> float:
    return model.rig.wire_of_level(level).diameter / 2


def _side_stays(model: Model) -> list[MovingPart]:
    """Return the ropes that keep the gin pole from falling sideways."""
    return [_side_stay(model, side) for side in SWUNG_SIDES if model.anchors[side].placed]


def _side_stay(model: Model, side: Side) -> MovingPart:
    """Return a rope between the gin-pole tip and an anchor, taken as straight."""
    eye, pole = model.anchors[side].eye, model.rig.gin_pole
    return MovingPart(
        name=f"{side} side stay",
        radius=STAY_RADIUS,
        speed=(0.0, pole.length),
        ends=lambda a: pair_of_ends(eye, gin_tip(model, a)),
        made_of=("side stay", model.rig.front, eye.tobytes(), pole.length, pole.angle),
    )
