"""The anchors on their rings, and the gin-pole tip: what is worked out for many places at once.

Places next to each other have samples next to each other, at any one bearing. So these loops run
over places, without a branch, and the compiler makes vector instructions of them.
"""

import math

import numpy as np

from visual.search.causes import LEAST, SHARES, Cause
from visual.search.kernel_raise import compiled

HAIR = np.float32(1e-3)
"""More than the single precision of the rings is off: so they are never too strict."""

_GROUND, _ANGLE = int(Cause.GROUND), int(Cause.WIRE_ANGLE)
_TIGHT, _GIN = int(Cause.WIRE_TIGHT), int(Cause.GIN_TIP)


@compiled
def _arctangent(x):
    """Return the arctangent for |x| ≤ 1, within 1e-5 (Abramowitz and Stegun 1964, 4.4.49)."""
    s = x * x
    return x * (
        np.float32(0.9998660)
        + s
        * (
            np.float32(-0.3302995)
            + s * (np.float32(0.1801410) + s * (np.float32(-0.0851330) + s * np.float32(0.0208351)))
        )
    )


@compiled
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


@compiled
def ring_angles(e, count, side, n, level, wire):
    """Fill in what is left of the limits of the wire angles at one anchor; NaN stays NaN."""
    radius = np.float32(n.anchor_radius[side])
    low, high = np.float32(math.tan(n.wire_low)), np.float32(math.tan(n.wire_high))
    one = np.float32(1.0)
    for i in range(count):
        wire[i] = one + np.float32(0.0) * e[i]
    for c in range(n.collars.size):
        height = np.float32(n.collars[c])
        by_low = np.float32(1.0 / level.angle_low[side, c])
        by_high = np.float32(1.0 / level.angle_high[side, c])
        for i in range(count):
            u = (height - e[i]) / radius
            over = (u - low) / (one + u * low)
            under = (high - u) / (one + u * high)
            over = min(max(over, -one), one)
            under = min(max(under, -one), one)
            share = min(_arctangent(over) * by_low, _arctangent(under) * by_high)
            wire[i] = share if share < wire[i] else wire[i]


@compiled
def ring_changes(e, count, side, steep, n, level, change):
    """Fill in what tight and slack leave at most if the mast lies no higher than an angle."""
    one, half = np.float32(1.0), np.float32(0.5)
    zero, least = np.float32(0.0), np.float32(LEAST)
    turn = side * math.pi / 2 + n.anchor_turn[side]
    ahead = np.float32(n.anchor_radius[side] * math.cos(turn) * math.cos(steep))
    sine = np.float32(math.sin(steep))
    square = np.float32(n.anchor_radius[side] ** 2)
    stated = not math.isnan(n.tight_fixed)
    for i in range(count):
        change[i] = one + zero * e[i]
    for c in range(n.collars.size):
        height = np.float32(n.collars[c])
        twice = np.float32(2.0) * height
        by_tight = np.float32(1.0 / level.tight[side, c])
        by_slack = np.float32(1.0 / level.slack[side, c])
        fixed = np.float32(n.tight_fixed if stated else 0.0)
        stretch = np.float32(0.0 if stated else n.stretch[c])
        slack = np.float32(n.slack)
        for i in range(count):
            k = square + height * height + e[i] * e[i]
            upright = math.sqrt(max(k - twice * e[i], zero))
            longer = math.sqrt(max(k - twice * (e[i] * sine - ahead), zero)) - upright
            tight = (fixed + stretch * upright - max(longer, zero)) * by_tight
            loose = ((slack + min(longer, zero)) * by_slack + one) * half
            share = min(tight, max(loose, least))
            change[i] = share if share < change[i] else change[i]


@compiled
def base(heights, at, stride, count, width, base, hinge, ground):
    """Fill in the hinges of places next to each other."""
    ring_heights(
        heights, at, stride, count, width, base.offset[0, 0], base.first[0, 0], base.second[0, 0],
        hinge, np.zeros(count, np.float32), ground,
    )  # fmt: skip


@compiled
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


@compiled
def bounds(tables, b, size, bench):
    """Fill in what a bearing can leave at most; tell whether that can be a new best anywhere."""
    ring, shift, count = tables.ring_of, tables.shift_of, tables.bearings.size
    wire, change, lower, best = bench.wire, bench.change, bench.lower, bench.best
    partial = bench.partial
    f, r = (b + shift[0]) % count, (b + shift[1]) % count
    k, m = (b + shift[2]) % count, (b + shift[3]) % count
    front, right = wire[ring[0], f], wire[ring[1], r]
    back, left = wire[ring[2], k], wire[ring[3], m]
    right_change, left_change = change[ring[1], r], change[ring[3], m]
    right_lower, left_lower = lower[ring[1], r], lower[ring[3], m]
    ahead = bench.tip[b]
    one, half, zero = np.float32(1.0), np.float32(0.5), np.float32(0.0)
    some = False
    for i in range(size):
        v = front[i]
        v = v if v < right[i] else right[i]
        v = v if v < back[i] else back[i]
        v = v if v < left[i] else left[i]
        v = v if v < ahead[i] else ahead[i]
        v = v if v < right_change[i] else right_change[i]
        v = v if v < left_change[i] else left_change[i]
        # To beat a best above a half the mast must lie lower than what cautions.
        low = right_lower[i] if right_lower[i] < left_lower[i] else left_lower[i]
        v = low if (best[i] > half) & (low < v) else v
        v = v + HAIR
        v = v if v < one else one
        # one unknown anchor makes all of it unknown
        v = v + zero * (front[i] + right[i] + back[i] + left[i])
        partial[i] = v
        some |= v > best[i]
    return some


@compiled
def rings_stop(wire, change, tip, i, count):
    """Count by cause how many bearings the rings alone stop, for one place."""
    found = np.zeros(SHARES, np.int32)
    for b in range(count):
        v = wire[0, b, i] + tip[b, i]
        if math.isnan(v):
            found[_GROUND] += 1
        elif tip[b, i] + HAIR <= 0.0:
            found[_GIN] += 1
        elif wire[0, b, i] + HAIR <= 0.0:
            found[_ANGLE] += 4
        elif change.shape[0] == 1 and change[0, b, i] + HAIR <= 0.0:
            found[_TIGHT] += 2
    return found


@compiled
def usual(first, second):
    """Return the cause that stops most bearings."""
    best, most = _GROUND, 0
    for cause in range(first.size):
        if first[cause] + second[cause] > most:
            best, most = cause, first[cause] + second[cause]
    return best
