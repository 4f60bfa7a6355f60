"""The anchors on their rings, and the gin-pole tip: what is worked out for many places at once.

Places next to each other have samples next to each other, at any one bearing. So these loops run
over places, without a branch, and the compiler makes vector instructions of them.
"""

import math

import numpy as np

from visual.search.causes import Cause
from visual.search.compiled import inner
from visual.search.curves import STEP

HAIR = np.float32(1e-3)
"""More than the single precision of the rings is off: so they are never too strict."""

_GROUND, _ANGLE = int(Cause.GROUND), int(Cause.WIRE_ANGLE)
_TIGHT, _GIN = int(Cause.WIRE_TIGHT), int(Cause.GIN_TIP)


@inner
def ring_heights(heights, at, stride, count, width, offset, first, second, lift, ground, e):
    """Fill in the eye heights above the hinge at one bearing, for places next to each other."""
    f0, f1, f2, f3 = first[0], first[1], first[2], first[3]
    s0, s1, s2, s3 = second[0], second[1], second[2], second[3]
    p = at + offset
    for i in range(count):
        q = p + i * stride
        a, b = heights[q], heights[q + 1]
        c, d = heights[q + width], heights[q + width + 1]
        along, across = abs(a - d), abs(b - c)
        one = a * f0 + b * f1 + c * f2 + d * f3
        two = a * s0 + b * s1 + c * s2 + d * s3
        cut = (along < across) | ((along == across) & (a + d > b + c))
        e[i] = (one if cut else two) + lift - ground[i]


@inner
def ring_shares(e, count, first, of_wire, of_sides, wire, sides):
    """Look up what one anchor leaves at most, alone and as a side anchor; NaN stays NaN."""
    zero, scale, top = np.float32(0.0), np.float32(1.0 / STEP), np.float32(of_wire.size - 1)
    for i in range(count):
        x = (e[i] - first) * scale
        x = x if x > zero else zero  # and NaN is 0 for now
        k = np.int32(x if x < top else top)
        unknown = zero * e[i]
        wire[i], sides[i] = of_wire[k] + unknown, of_sides[k] + unknown


@inner
def base(heights, at, stride, count, width, base, hinge, ground):
    """Fill in the hinges of places next to each other."""
    ground[:count] = np.float32(0.0)
    ring_heights(
        heights, at, stride, count, width, base.offset[0, 0], base.first[0, 0], base.second[0, 0],
        hinge, ground, ground,
    )  # fmt: skip


@inner
def tip_rooms(heights, at, stride, count, width, samples, b, n, level, ground, tip):
    """Fill in what the gin-pole tip leaves at most, the mast upright, at one bearing."""
    ring_heights(
        heights, at, stride, count, width, samples.offset[0, b], samples.first[0, b],
        samples.second[0, b], np.float32(0.0), ground, tip,
    )  # fmt: skip
    high = np.float32(n.gin * math.cos(n.gin_angle) - n.gin_radius - n.gin_room)
    scale = np.float32(1.0 / level.gin)
    for i in range(count):
        tip[i] = (high - tip[i]) * scale


@inner
def bounds(tables, b, size, bench):
    """Fill in what a bearing can leave at most; NaN where an anchor's ground is unknown."""
    ring, shift, count = tables.ring_of, tables.shift_of, tables.bearings.size
    front = bench.wire[ring[0], (b + shift[0]) % count]
    right = bench.sides[ring[1], (b + shift[1]) % count]
    back = bench.wire[ring[2], (b + shift[2]) % count]
    left = bench.sides[ring[3], (b + shift[3]) % count]
    ahead, partial, most = bench.tip[b], bench.partial[b], bench.most
    one, zero, hair = np.float32(1.0), np.float32(0.0), HAIR
    for i in range(size):
        v = front[i]
        v = v if v < right[i] else right[i]
        v = v if v < back[i] else back[i]
        v = v if v < left[i] else left[i]
        v = v if v < ahead[i] else ahead[i]
        v = v + hair
        v = v if v < one else one
        # one unknown anchor makes all of it unknown
        v = v + zero * (front[i] + right[i] + back[i] + left[i])
        partial[i] = v
        most[i] = v if v > most[i] else most[i]


@inner
def count_stops(wire, sides, tip, size, stops):
    """Count for each place by cause how many bearings the rings alone stop, the deadlier double."""
    ground, gin, angle, tight = stops[_GROUND], stops[_GIN], stops[_ANGLE], stops[_TIGHT]
    zero, hair, one_ring = np.float32(0.0), HAIR, sides.shape[0] == 1
    stops[:] = 0
    for b in range(tip.shape[0]):
        front, ahead, side = wire[0, b], tip[b], sides[0, b]
        for i in range(size):
            known = ~np.isnan(front[i] + ahead[i])
            free = known & (ahead[i] + hair > zero)
            steep = free & (front[i] + hair <= zero)
            taut = free & ~steep & one_ring & (side[i] + hair <= zero)
            ground[i] += np.int32(~known)
            gin[i] += np.int32(known & ~free)
            angle[i] += np.int32(4) * np.int32(steep)
            tight[i] += np.int32(2) * np.int32(taut)


@inner
def usual(looked, stops, i):
    """Return the cause that stops most bearings of a place, looked at or not."""
    best, most = _GROUND, 0
    for cause in range(looked.size):
        count = looked[cause] + stops[cause, i]
        if count > most:
            best, most = cause, count
    return best
