"""The kernel over many places: all bearings of each, the best one kept.

First comes what is cheap: the anchors on their rings, once for each place. It gives for each
bearing a share that the whole look can only lower. Only bearings that could still be better than
the best so far are looked at closely, the most promising one first; of equals, those far apart.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from visual.search.causes import SHARES, Cause
from visual.search.compiled import apart, inner, outer
from visual.search.kernel import look, make_room
from visual.search.kernel_args import Ground, Rig, Room
from visual.search.rings import (
    base,
    bounds,
    count_stops,
    ring_heights,
    ring_shares,
    tip_rooms,
    usual,
)

Array = NDArray[np.float64]

SEGMENT = 128
"""Places done together."""

_GROUND = int(Cause.GROUND)


class Bench(NamedTuple):
    """Room for a segment of places; shapes end in (SEGMENT,).

    Parameters
    ----------
    hinge, eyes, most : ndarray of float32
        Hinges, eyes at one bearing [m]; what any bearing can leave at most.
    wire, sides, tip, partial : ndarray of float32
        What rings and tip leave at most at each bearing, and all of them together.
    left : ndarray of float32, shape (bearings,)
        What the bearings of one place, in the order they are tried, can leave at most.
    tried : ndarray of int, shape (bearings,)
        Which bearings these are.
    causes : ndarray, shape (SHARES,)
        How many bearings of one place each cause stops.
    stops : ndarray of int32, shape (SHARES,)
        How much the rings alone count for each cause.
    room : Room
        For close looks.
    """

    hinge: np.ndarray
    eyes: np.ndarray
    most: np.ndarray
    wire: np.ndarray
    sides: np.ndarray
    tip: np.ndarray
    partial: np.ndarray
    left: np.ndarray
    tried: np.ndarray
    causes: np.ndarray
    stops: np.ndarray
    room: Room


def scan(
    ground: Ground,
    rig: Rig,
    at: int,
    stride: int,
    alive: NDArray[np.bool_],
    free: NDArray[np.bool_],
    steepness: Array,
    hinges: Array,
    share: NDArray[np.float32],
    cause: NDArray[np.uint8],
    bearing: NDArray[np.int16],
) -> int:
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
    free : ndarray of bool, shape (rows, columns, bearings) or (rows, 0, 0)
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
    return int(
        _scan(
            ground, rig, at, stride, alive, free, steepness, hinges, share, cause, bearing,
            _make_bench(rig), np.ones(1, dtype=np.bool_),
        )
    )  # fmt: skip


@outer
def _scan(
    ground, rig, at, stride, alive, free, steepness, hinges, share, cause, bearing, bench, anywhere
):
    """Do what `scan` says."""
    rows, columns = alive.shape
    looks = 0
    for r in range(rows):
        for left in range(0, columns, SEGMENT):
            size = min(SEGMENT, columns - left)
            if not alive[r, left : left + size].any():
                continue
            p = at + (r * ground.width + left) * stride
            _ring_pass(ground, rig, p, stride, size, bench)
            count_stops(bench.wire, bench.sides, bench.tip, size, bench.stops)
            here = slice(left, left + size)
            looks += _segment(
                ground, rig, p, stride, alive[r, here], free[r, here], steepness[r, here],
                hinges[r, here], share[r, here], cause[r, here], bearing[r, here], bench, anywhere,
            )  # fmt: skip
    return looks


@apart
def _segment(
    ground, rig, p, stride, alive, free, steepness, hinges, share, cause, bearing, bench, anywhere
):
    """Find the best bearing of places next to each other; return how many looks that took."""
    looks = 0
    for i in range(alive.size):
        if alive[i]:
            may = free[i] if free.size else anywhere
            tried, share[i], cause[i], bearing[i] = _try_bearings(
                ground, rig, p + i * stride, may, steepness[i], hinges[i], i, bench
            )
            looks += tried
    return looks


def _make_bench(rig: Rig) -> Bench:
    """Return room for segments."""
    tables = rig.tables
    count, rings = tables.bearings.size, tables.ring.offset.shape[0]
    wire = np.empty((rings, count, SEGMENT), np.float32)
    line, tip = np.empty((3, SEGMENT), np.float32), np.empty((count, SEGMENT), np.float32)
    return Bench(
        line[0], line[1], line[2], wire, np.empty_like(wire), tip, np.empty_like(tip),
        np.empty(count, np.float32), np.empty(count, np.int64), np.zeros(SHARES, np.int32),
        np.zeros((SHARES, SEGMENT), np.int32), make_room(rig),
    )  # fmt: skip


@inner
def _ring_pass(ground, rig, p, stride, size, bench):
    """Fill in what anchors and tip leave at all bearings, for places next to each other."""
    tables, n, level, curves = rig.tables, rig.n, rig.level, rig.curves
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
            ring_shares(
                bench.eyes, size, curves.first[ring], curves.wire[ring], curves.sides[ring],
                bench.wire[ring, b], bench.sides[ring, b],
            )  # fmt: skip
    for b in range(count):
        tip_rooms(
            heights, p, stride, size, width, tables.tip, b, n, level, bench.hinge, bench.tip[b]
        )
    bench.most[:] = np.float32(0.0)
    for b in range(count):
        bounds(tables, b, size, bench)


@inner
def _try_bearings(ground, rig, p, free, steepness, hinge, i, bench):
    """Try the bearings of one place; return how many looks it took, share, cause, bearing."""
    left, tried, causes = bench.left, bench.tried, bench.causes
    best, bearing, cause, looks = 0.0, -1, _GROUND, 0
    causes[:] = 0
    count = _worth_a_look(rig.tables.order, bench, i) if bench.most[i] > 0.0 else 0
    while True:
        k = _most_promising(left, count, best)
        if k < 0:
            break
        b, left[k], looks = tried[k], np.float32(-1.0), looks + 1
        may = free.size == 1 or free[b]
        found, why = look(ground, rig, p, b, hinge, steepness, may, best, bench.room)
        if found > best:
            best, bearing, cause = found, b, why
        elif bearing < 0:
            causes[_GROUND if math.isnan(found) else why] += 1
    if bearing >= 0:
        return looks, best, cause, bearing
    return looks, -1.0, usual(causes, bench.stops, i), -1


@inner
def _worth_a_look(order, bench, i):
    """List the bearings of one place that can leave anything; return how many there are."""
    # NaN is never above 0, so unknown ground is never looked at closely.
    count = 0
    for step in range(order.size):
        most = bench.partial[order[step], i]
        bench.left[count], bench.tried[count] = most, order[step]
        count += most > 0.0
    return count


@inner
def _most_promising(left, count, best):
    """Return which of those listed can leave most; -1 if none can leave more than best."""
    found = -1
    for k in range(count):
        if left[k] > best:
            found, best = k, left[k]
    return found
