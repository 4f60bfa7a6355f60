"""The kernel over many places: all bearings of each, the best one kept.

First comes what is cheap: the anchors on their rings, once for each place. It gives for each
bearing a share that the whole look can only lower. Only bearings that could still be better than
the best so far are looked at closely. They are tried far apart first, so that a good one comes
soon.
"""

import math
from typing import NamedTuple

import numpy as np

from visual.search.causes import SHARES, Cause
from visual.search.kernel import look_closely
from visual.search.kernel_args import Room
from visual.search.kernel_raise import compiled
from visual.search.rings import (
    base,
    bounds,
    ring_angles,
    ring_changes,
    ring_heights,
    rings_stop,
    tip_rooms,
    usual,
)

SEGMENT = 128
"""Places done together."""

_GROUND = int(Cause.GROUND)


class Bench(NamedTuple):
    """Room for a segment of places; shapes end in (SEGMENT,).

    Parameters
    ----------
    hinge, eyes, partial, best : ndarray of float32
        Hinges, eyes at one bearing [m]; what a bearing can leave at most, and the best so far.
    wire, change, lower, tip : ndarray of float32
        What rings and tip leave at each bearing.
    bearing, causes : ndarray
        The best bearing so far, and how many bearings each cause stops.
    room : Room
        For close looks.
    """

    hinge: np.ndarray
    eyes: np.ndarray
    partial: np.ndarray
    best: np.ndarray
    wire: np.ndarray
    change: np.ndarray
    lower: np.ndarray
    tip: np.ndarray
    bearing: np.ndarray
    causes: np.ndarray
    room: Room


@compiled
def scan(ground, rig, at, stride, alive, free, steepness, hinges, share, cause, bearing):
    """Find the best bearing of every place of a tile.

    Parameters
    ----------
    ground, rig : Ground, Rig
        See `kernel_args`.
    at : int
        Node of the tile's first place.
    stride : int
        Nodes from place to place, along rows and columns.
    alive : ndarray of bool, shape (rows, columns)
        Places to look at.
    free : ndarray of bool, shape (rows, columns, bearings) or (0, 0, 0)
        Where all anchors may stand; everywhere if empty.
    steepness : ndarray, shape (rows, columns)
        Cosine of the steepest ground near each place.
    hinges : ndarray, shape (rows, columns)
        Hinges of the places. [m]
    share, cause, bearing : ndarray, shape (rows, columns)
        Filled in: what the best bearing leaves, −1 where none works; what leaves so little, or
        stops most bearings; and its number.

    Returns
    -------
    int
        How many pairs of place and bearing were looked at closely.
    """
    bench = _make_bench(rig)
    rows, columns = alive.shape
    looks = 0
    for r in range(rows):
        for left in range(0, columns, SEGMENT):
            size = min(SEGMENT, columns - left)
            if not alive[r, left : left + size].any():
                continue
            p = at + (r * ground.width + left) * stride
            _ring_pass(ground, rig, p, stride, size, bench)
            looks += _try_bearings(
                ground, rig, p, stride, size, alive[r, left:], free[r:, left:], steepness[r, left:],
                hinges[r, left:], cause[r, left:], bench,
            )  # fmt: skip
            for i in range(size):
                if not alive[r, left + i]:
                    continue
                if bench.bearing[i] >= 0:
                    share[r, left + i], bearing[r, left + i] = bench.best[i], bench.bearing[i]
                else:
                    share[r, left + i] = np.float32(-1.0)
                    more = rings_stop(bench.wire, bench.change, bench.tip, i, bench.tip.shape[0])
                    cause[r, left + i] = usual(bench.causes[i], more)
    return looks


@compiled
def _make_bench(rig):
    """Return room for segments."""
    tables = rig.tables
    count, rings = tables.bearings.size, tables.ring.offset.shape[0]
    wire = np.empty((rings, count, SEGMENT), np.float32)
    room = Room(
        np.empty(tables.back.distance.shape[1]), np.empty(tables.ahead.distance.shape[1]),
        np.empty(4), np.zeros(4), np.empty(SHARES),
    )  # fmt: skip
    line = np.empty((4, SEGMENT), np.float32)
    return Bench(
        line[0], line[1], line[2], line[3], wire, np.empty_like(wire), np.empty_like(wire),
        np.empty((count, SEGMENT), np.float32), np.empty(SEGMENT, np.int16),
        np.zeros((SEGMENT, SHARES), np.int32), room,
    )  # fmt: skip


@compiled
def _ring_pass(ground, rig, p, stride, size, bench):
    """Fill in what anchors and tip leave at all bearings, for places next to each other."""
    tables, n, level = rig.tables, rig.n, rig.level
    heights, width = ground.heights, ground.width
    base(heights, p, stride, size, width, tables.base, np.float32(n.hinge), bench.hinge)
    offset, first, second = tables.ring
    rings, count = offset.shape
    for ring in range(rings):
        for b in range(count):
            ring_heights(
                heights, p, stride, size, width, offset[ring, b], first[ring, b], second[ring, b],
                np.float32(n.eye[ring]), bench.hinge, bench.eyes,
            )  # fmt: skip
            ring_angles(bench.eyes, size, ring, n, level, bench.wire[ring, b])
            if rings == 1 or ring == 1 or ring == 3:
                side = 1 if rings == 1 else ring
                change, lower = bench.change[ring, b], bench.lower[ring, b]
                ring_changes(bench.eyes, size, side, n.steep_stop, n, level, change)
                ring_changes(bench.eyes, size, side, n.steep_caution, n, level, lower)
    for b in range(count):
        tip_rooms(
            heights, p, stride, size, width, tables.tip, b, n, level, bench.hinge, bench.tip[b]
        )


@compiled
def _try_bearings(ground, rig, p, stride, size, alive, free, steepness, hinges, cause, bench):
    """Try the bearings of places next to each other; return how many close looks it took."""
    best, bearing, looks = bench.best, bench.bearing, 0
    best[:], bearing[:], bench.causes[:] = np.float32(0.0), -1, 0
    for step in range(rig.tables.order.size):
        b = rig.tables.order[step]
        if not bounds(rig.tables, b, size, bench):
            continue
        for i in range(size):
            # NaN is never above the best, so unknown ground is never looked at closely.
            if not (bench.partial[i] > best[i] and alive[i]):
                continue
            looks += 1
            may = free.size == 0 or free[0, i, b]
            found, why = look_closely(
                ground, rig, p + i * stride, b, hinges[i], steepness[i], may, float(best[i]),
                bench.room,
            )  # fmt: skip
            if found > best[i]:
                best[i], bearing[i], cause[i] = found, b, why
            elif bearing[i] < 0:
                bench.causes[i, _GROUND if math.isnan(found) else why] += 1
    return looks
