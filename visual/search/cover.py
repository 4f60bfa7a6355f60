"""Discs that cover in plan all that the raise sweeps over: the fast bound on what it comes near.

Every moving part stays above the area that the discs cover. So no part comes nearer to a thing
than the middle of a disc is in plan, less the radius of the disc. The bound forgets heights: it
can only be too strict.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from shapely import box, intersects
from shapely.geometry import MultiPoint

from visual.checks.lane import LAYDOWN_WIDTH
from visual.checks.tow_parts import VEHICLE_LENGTH, VEHICLE_RADIUS
from visual.model import Model
from visual.rig import HEAD_RADIUS
from visual.search.numbers import Numbers
from visual.search.tables import SPARE, Look, Samples

Array = NDArray[np.float64]
Integers = NDArray[np.int64]

AXIS_STEP = 1.5  # [m] between discs along mast and lane
WIRE_STEP = 2.0  # [m] side of the squares under side wires and side stays
WIRE_PLACES = 4  # parts of a wire between which a setback is measured

CLEARANCE, STRIPS, NEAREST_PART, ANCHORS = range(4)
"""The fields of distances: to what must be kept clear of, to what may not lie in a strip, and to
what setbacks are measured to from any part or from the anchors."""

FIELDS = 4

ALWAYS, TO_VEHICLE, DRIVEN = range(3)
"""When a disc counts: always, up to the end of the vehicle, or where the vehicle is."""


class Cover(NamedTuple):
    """The discs; b bearings, k discs.

    Parameters
    ----------
    field : ndarray, shape (k,)
        Which field a disc is held against.
    radius : ndarray, shape (k,)
        Its radius. [m]
    ahead : ndarray, shape (k,)
        How far in front of the base it is. [m]
    when : ndarray, shape (k,)
        When it counts.
    samples : Samples
        Where the fields are looked up.
    """

    field: Integers
    radius: Array
    ahead: Array
    when: Integers
    samples: Samples


def make_cover(model: Model, numbers: Numbers, look: Look, angles: Array) -> Cover:
    """Make the discs of a rig for front bearings [rad]."""
    parts = [_mast(model), _wires(numbers), _lane(model, numbers), _setbacks(model, numbers)]
    ahead, right, radius, field, when = (
        np.concatenate(column) for column in zip(*parts, strict=True)
    )
    sin, cos = np.sin(angles)[:, None], np.cos(angles)[:, None]
    samples = look(ahead * sin + right * cos, ahead * cos - right * sin)
    return Cover(field.astype(np.int64), radius, ahead, when.astype(np.int64), samples)


_Discs = tuple[Array, Array, Array, Array, Array]
"""Ahead, right, radius [m], field and when of some discs."""


def _discs(ahead: Array, right: Array | float, radius: float, field: int, when: int) -> _Discs:
    shape = np.shape(ahead)
    return (
        np.asarray(ahead, float),
        np.broadcast_to(np.asarray(right, float), shape),
        np.full(shape, radius),
        np.full(shape, field),
        np.full(shape, when),
    )


def _joined(*parts: _Discs) -> _Discs:
    a, b, c, d, e = (np.concatenate(column) for column in zip(*parts, strict=True))
    return a, b, c, d, e


def _mast(model: Model) -> _Discs:
    """Cover mast, head and rotor, and the strip they lie over."""
    mast = model.rig.mast
    head = mast.head
    widest = max(mast.radius, *((head.rotor_radius, HEAD_RADIUS) if head else (0.0,)))
    along = -np.arange(0.0, mast.reach + AXIS_STEP / 2, AXIS_STEP)
    strip = max(LAYDOWN_WIDTH, head.rotor_diameter if head else 0.0) / 2
    half = AXIS_STEP / 2
    return _joined(
        _discs(along, 0.0, math.hypot(widest, half), CLEARANCE, ALWAYS),
        _discs(along, 0.0, math.hypot(strip, half), STRIPS, ALWAYS),
    )


def _wires(numbers: Numbers) -> _Discs:
    """Cover wires and side stays: what lies between anchors, top collar and gin-pole tip."""
    turn = numbers.anchor_turn + np.arange(4) * math.pi / 2
    ahead = [*(numbers.anchor_radius * np.cos(turn)), -float(numbers.collars.max(initial=0.0))]
    right = [*(numbers.anchor_radius * np.sin(turn)), 0.0]
    plan = MultiPoint([*zip(ahead, right, strict=True), (numbers.gin, 0.0), (0.0, 0.0)]).convex_hull
    xmin, ymin, xmax, ymax = plan.bounds
    grid = np.meshgrid(
        np.arange(xmin + WIRE_STEP / 2, xmax + WIRE_STEP, WIRE_STEP),
        np.arange(ymin + WIRE_STEP / 2, ymax + WIRE_STEP, WIRE_STEP),
    )
    x, y = (part.ravel() for part in grid)
    half = WIRE_STEP / 2
    some = intersects(box(x - half, y - half, x + half, y + half), plan)
    return _discs(x[some], y[some], half * math.sqrt(2.0), CLEARANCE, ALWAYS)


def _lane(model: Model, numbers: Numbers) -> _Discs:
    """Cover tow line and vehicle, and the strip the vehicle drives on."""
    if not numbers.vehicle:
        along = np.arange(0.0, float(numbers.anchor_radius[0]) + AXIS_STEP / 2, AXIS_STEP)
        return _discs(along, 0.0, AXIS_STEP / 2, CLEARANCE, ALWAYS)
    end = numbers.gin + numbers.line_length + SPARE + VEHICLE_LENGTH
    along = np.arange(0.0, end + AXIS_STEP / 2, AXIS_STEP)
    half = AXIS_STEP / 2
    wide = model.site.limits.lane_width.value / 2
    return _joined(
        _discs(along, 0.0, math.hypot(VEHICLE_RADIUS, half), CLEARANCE, TO_VEHICLE),
        _discs(along, 0.0, math.hypot(wide, half), STRIPS, DRIVEN),
    )


def _setbacks(model: Model, numbers: Numbers) -> _Discs:
    """Cover base with rotor, wires and anchors, for setbacks from them."""
    head = model.rig.mast.head
    turn = numbers.anchor_turn + np.arange(4) * math.pi / 2
    radius = numbers.anchor_radius
    share = np.arange(1, WIRE_PLACES) / WIRE_PLACES
    inner = np.outer(radius, share)
    half = float(radius.max()) / (2 * WIRE_PLACES)
    direction = np.repeat(turn, len(share))
    return _joined(
        _discs(np.zeros(1), 0.0, head.rotor_radius if head else 0.0, NEAREST_PART, ALWAYS),
        _discs(
            inner.ravel() * np.cos(direction),
            inner.ravel() * np.sin(direction),
            half,
            NEAREST_PART,
            ALWAYS,
        ),
        _discs(radius * np.cos(turn), radius * np.sin(turn), 0.0, NEAREST_PART, ALWAYS),
        _discs(radius * np.cos(turn), radius * np.sin(turn), 0.0, ANCHORS, ALWAYS),
    )
