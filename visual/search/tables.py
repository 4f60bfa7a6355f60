"""Where the ground is sampled for each bearing: constant steps on the lattice, with weights.

All places searched lie on the lattice of the ground with one constant shift, so a sample at a
given distance and bearing always falls at the same spot of a cell. Its height is then a constant
blend of the cell's four nodes, one blend for either way of cutting the cell in two triangles:
the same triangles as in `visual.ground`.

Along a ray there is a sample wherever it crosses a side of a cell or one of the two diagonals.
Between those the ground is straight, so what holds at the samples holds between them.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from visual.ground import Lattice
from visual.search.numbers import Ball, Numbers

Array = NDArray[np.float64]
Integers = NDArray[np.int64]

MERGED = 0.02  # [m] samples of a ray closer than this are one
SPARE = 6.0  # [m] beyond the farthest hitch, as the lane of the checks
BEYOND_TIP = 0.5  # [m] ground beyond the tip that can still be its nearest
BALL_STEP = 0.6  # [m] between samples under a head or rotor


class Samples(NamedTuple):
    """Samples of every bearing; b bearings, k samples.

    Parameters
    ----------
    offset : ndarray, shape (b, k)
        From a place's node to the first node of the sample's cell, in nodes.
    first, second : ndarray, shape (b, k, 4)
        Weights of the nodes (0, 0), (0, 1), (1, 0), (1, 1) if the cell is cut from (0, 0) to
        (1, 1), and if it is cut the other way.
    """

    offset: Integers
    first: NDArray[np.float32]
    second: NDArray[np.float32]


class Ray(NamedTuple):
    """Samples along a ray from the base.

    Parameters
    ----------
    distance : ndarray, shape (b, k)
        From the base; padded with infinity. [m]
    number : ndarray, shape (b,)
        Samples of each bearing.
    samples : Samples
        Where the ground is looked up.
    """

    distance: Array
    number: Integers
    samples: Samples


class Under(NamedTuple):
    """Samples under head and rotor.

    Parameters
    ----------
    back : ndarray, shape (k,)
        Behind the base. [m]
    reach, turned : ndarray, shape (k,)
        Polar place of the ball's middle against the mast. [m, rad]
    square : ndarray, shape (k,)
        Square of the least distance in the raising plane: of the radius with all room and what the
        spacing of the samples may hide, less how far the sample is aside. [m²]
    samples : Samples
        Where the ground is looked up.
    """

    back: Array
    reach: Array
    turned: Array
    square: Array
    samples: Samples


class Tables(NamedTuple):
    """All samples of a search.

    Parameters
    ----------
    bearings : ndarray, shape (b,)
        Front bearings. [rad]
    order : ndarray, shape (b,)
        In which order they are tried: far apart first.
    base : Samples
        The base itself, one sample, the same for all bearings.
    ring : Samples
        Anchors, a row for each different radius and turn, shape (rings, b).
    tip : Samples
        Below the gin-pole tip of the upright mast, shape (1, b).
    ring_of, shift_of : ndarray, shape (4,)
        Which ring an anchor is on, and how many bearings farther round, clockwise from the front.
    back, ahead : Ray
        Ground behind and in front.
    under : Under
        Ground under head and rotor.
    """

    bearings: Array
    order: Integers
    base: Samples
    ring: Samples
    tip: Samples
    ring_of: Integers
    shift_of: Integers
    back: Ray
    ahead: Ray
    under: Under


def make_tables(
    lattice: Lattice,
    numbers: Numbers,
    balls: tuple[Ball, ...],
    *,
    bearings: int,
    shift: tuple[float, float],
    width: int,
) -> Tables:
    """Make the samples of a search.

    Parameters
    ----------
    lattice : Lattice
        The ground.
    numbers : Numbers
        The rig.
    balls : tuple of Ball
        Head and rotor.
    bearings : int
        How many front bearings, evenly spread from north; a multiple of 4.
    shift : tuple of float
        Where the places lie in their cell: share of a row and of a column, 0 to 1.
    width : int
        Columns of the windows that heights are looked up in.
    """
    angles = 2 * math.pi * np.arange(bearings) / bearings
    look = looker(lattice, shift, width)
    rings, ring_of, shift_of = _rings(numbers, bearings)
    places = [
        [radius * np.sin(angles + turn), radius * np.cos(angles + turn)] for radius, turn in rings
    ]
    ring = look(np.array([p[0] for p in places]), np.array([p[1] for p in places]))
    end = numbers.gin * math.sin(numbers.gin_angle)
    tip = look(end * np.sin(angles)[None, :], end * np.cos(angles)[None, :])
    far = numbers.length + max((b.along - numbers.length + b.radius for b in balls), default=0.0)
    far = far + numbers.head_clearance + 1.0
    lane = numbers.gin + (numbers.line_length + SPARE if numbers.vehicle else BEYOND_TIP)
    return Tables(
        bearings=angles,
        order=golden_order(bearings),
        base=look(np.zeros((1, 1)), np.zeros((1, 1))),
        ring=ring,
        tip=tip,
        ring_of=ring_of,
        shift_of=shift_of,
        back=_ray(lattice, shift, look, angles + math.pi, far, extra=(0.94 * numbers.foot,)),
        ahead=_ray(lattice, shift, look, angles, lane, extra=(numbers.gin_foot, numbers.gin)),
        under=_under(look, angles, numbers, balls),
    )


def reach_of(numbers: Numbers, balls: tuple[Ball, ...]) -> float:
    """Return how far from a place the ground is looked at. [m]"""
    lane = numbers.gin + numbers.line_length + SPARE if numbers.vehicle else numbers.gin
    back = max((b.along + b.radius for b in balls), default=numbers.length)
    reach = max(lane, back + numbers.head_clearance + 1.0, float(numbers.anchor_radius.max()))
    return reach + BALL_STEP


def golden_order(count: int) -> Integers:
    """Return 0 … count − 1 so that any first few of them lie spread evenly around."""
    share = np.arange(count) * ((math.sqrt(5) - 1) / 2) % 1.0
    return np.argsort(np.argsort(share, kind="stable"), kind="stable").astype(np.int64)


def _rings(numbers: Numbers, bearings: int) -> tuple[list[tuple[float, float]], Integers, Integers]:
    """Return the different rings of anchors, and ring and shift of each side."""
    quarter = bearings // 4
    plans = list(zip(numbers.anchor_radius, numbers.anchor_turn, numbers.eye, strict=True))
    if all(plan == plans[0] for plan in plans) and plans[0][1] == 0.0:
        one = [(float(plans[0][0]), 0.0)]
        return one, np.zeros(4, np.int64), quarter * np.arange(4)
    rings = [
        (float(radius), float(turn) + side * math.pi / 2)
        for side, (radius, turn, _) in enumerate(plans)
    ]
    return rings, np.arange(4), np.zeros(4, np.int64)


Look = Callable[[Array, Array], Samples]
"""From x and y of points about a place, both of shape (b, k) [m], to their samples."""


def looker(lattice: Lattice, shift: tuple[float, float], width: int) -> Look:
    """Return what turns points about a place into samples; see `make_tables` for the arguments."""
    steps = np.linalg.inv(np.column_stack([lattice.down, lattice.right]))

    def look(x: Array, y: Array) -> Samples:
        row = steps[0, 0] * x + steps[0, 1] * y + shift[0]
        column = steps[1, 0] * x + steps[1, 1] * y + shift[1]
        i, j = np.floor(row + 1e-9), np.floor(column + 1e-9)
        v, u = np.clip(row - i, 0.0, 1.0), np.clip(column - j, 0.0, 1.0)
        return Samples(
            offset=(i * width + j).astype(np.int64),
            first=_along_first(u, v).astype(np.float32),
            second=_along_second(u, v).astype(np.float32),
        )

    return look


def _along_first(u: Array, v: Array) -> Array:
    """Weights where a cell is cut from node (0, 0) to (1, 1)."""
    low, high = np.minimum(u, v), np.maximum(u, v)
    return np.stack([1 - high, np.where(u > v, u - v, 0), np.where(v > u, v - u, 0), low], axis=-1)


def _along_second(u: Array, v: Array) -> Array:
    """Weights where a cell is cut from node (0, 1) to (1, 0)."""
    near = u + v <= 1
    return np.stack(
        [
            np.where(near, 1 - u - v, 0),
            np.where(near, u, 1 - v),
            np.where(near, v, 1 - u),
            np.where(near, 0, u + v - 1),
        ],
        axis=-1,
    )


def _ray(
    lattice: Lattice,
    shift: tuple[float, float],
    look: Look,
    angles: Array,
    far: float,
    *,
    extra: tuple[float, ...],
) -> Ray:
    crossings = [_crossings(lattice, shift, angle, far, extra) for angle in angles]
    count = np.array([len(one) for one in crossings], dtype=np.int64)
    distance = np.full((len(angles), int(count.max())), np.inf)
    for row, one in zip(distance, crossings, strict=True):
        row[: len(one)] = one
    # A hair farther on: on a side of a cell both cells give the same height.
    known = np.where(np.isfinite(distance), distance, 0.0)
    samples = look(known * np.sin(angles)[:, None], known * np.cos(angles)[:, None])
    return Ray(distance, count, samples)


def _crossings(
    lattice: Lattice,
    shift: tuple[float, float],
    angle: float,
    far: float,
    extra: tuple[float, ...],
) -> Array:
    """Return where a ray meets sides and diagonals of cells, none closer than `MERGED`. [m]"""
    steps = np.linalg.inv(np.column_stack([lattice.down, lattice.right]))
    along = steps @ np.array([math.sin(angle), math.cos(angle)])
    found = [np.array([0.0, far, *extra])]
    pairs = ((1, 0), (0, 1), (1, -1), (1, 1))
    for a, b in pairs:
        start, speed = a * shift[0] + b * shift[1], a * along[0] + b * along[1]
        if abs(speed) * far > 1e-6:
            first, last = sorted((start, start + speed * far))
            whole = np.arange(math.ceil(first), math.floor(last) + 1)
            found.append((whole - start) / speed)
    s = np.sort(np.concatenate(found))
    s = s[(s >= 0.0) & (s <= far)]
    keep = np.diff(s, prepend=-np.inf) > MERGED
    return np.asarray(s[keep])


def _under(look: Look, angles: Array, numbers: Numbers, balls: tuple[Ball, ...]) -> Under:
    parts = [_patch(ball, numbers.head_clearance) for ball in balls]
    back, aside, reach, turned, radius = (
        np.concatenate([part[i] for part in parts]) if parts else np.empty(0) for i in range(5)
    )
    sin, cos = np.sin(angles)[:, None], np.cos(angles)[:, None]
    samples = look(-back * sin + aside * cos, -back * cos - aside * sin)
    return Under(back, reach, turned, radius**2 - aside**2, samples)


def _patch(ball: Ball, room: float) -> tuple[Array, Array, Array, Array, Array]:
    """Return the samples under one ball as it lies at any angle that does not stop."""
    radius = ball.radius + room
    reach, turned = math.hypot(ball.along, ball.across), math.atan2(ball.across, ball.along)
    count = max(2, math.ceil(2 * radius / BALL_STEP) + 1)
    aside = np.linspace(-radius, radius, count)
    first = reach * math.cos(math.radians(25.0)) - radius
    back = np.linspace(
        first, reach + radius, max(2, math.ceil((reach + radius - first) / BALL_STEP))
    )
    hidden = math.hypot(aside[1] - aside[0], back[1] - back[0]) / 2
    grown = math.hypot(radius, hidden)
    b, a = (part.ravel() for part in np.meshgrid(back, aside))
    inside = np.abs(a) <= radius
    size = np.full(b.shape, grown)
    return (
        b[inside],
        a[inside],
        np.full(b.shape, reach)[inside],
        np.full(b.shape, turned)[inside],
        size[inside],
    )
