"""The kernel: one place and bearing looked at closely, cheap and deadly checks first.

All in double precision: what a look finds needs no second, more exact evaluation. Only the rings,
which merely say where a look is worth it, are single.
"""

import math

import numpy as np

from visual.search.causes import LEAST, SHARES, Cause
from visual.search.compiled import inner, outer
from visual.search.cover import DRIVEN, FIELDS, STRIPS, TO_VEHICLE
from visual.search.kernel_args import Rig, Room
from visual.search.kernel_raise import (
    balls_angle,
    change_shares,
    gin_margin,
    height,
    hitch_at,
    pull_margin,
    ray_heights,
    slope_share,
    tube_angle,
    wire_share,
)

_GROUND, _ANGLE = int(Cause.GROUND), int(Cause.WIRE_ANGLE)
_TIGHT, _SLACK = int(Cause.WIRE_TIGHT), int(Cause.WIRE_SLACK)
_LAYDOWN, _GIN = int(Cause.LAYDOWN), int(Cause.GIN_TIP)
_SLOPE, _LENGTH, _PULL = int(Cause.LANE_SLOPE), int(Cause.LANE_LENGTH), int(Cause.PULL)
_PLACE = int(Cause.ANCHOR_PLACE)
_OF_FIELD = (
    int(Cause.CLEARANCE),
    int(Cause.LAYDOWN_PLAN),
    int(Cause.SETBACK),
    int(Cause.SETBACK),
)
_LANE_PLAN = int(Cause.LANE_PLAN)
_HALF_STEP = 0.75  # [m] between discs
_VEHICLE = 5.0 + _HALF_STEP  # [m] how far the vehicle is in front of its hitch
_LOWEST = math.radians(-60.0)  # start angle
_HALVINGS = 12
_START, _INNER, _OUTER, _BARE = 0, 1, 2, 3


@inner
def lower(best, cause, share, new):
    """Keep the lower of two shares; NaN counts as lowest."""
    if share < best or math.isnan(share):
        return share, new
    return best, cause


@outer
def look_closely(ground, rig, at, b, hinge, steepness, free, floor, room):
    """Return what one bearing at one place leaves of its limits, and the cause.

    It stops as soon as that is no more than `floor`. Unknown ground is (NaN, "ground").

    Parameters
    ----------
    ground, rig, room : Ground, Rig, Room
        See `kernel_args`; what is left by cause, as far as it was looked at, is in `room.shares`.
    at, b : int
        The place's node, and the bearing.
    hinge : float
        Hinge of the place, in the heights' frame. [m]
    steepness : float
        Cosine of the steepest ground near.
    free : bool
        Whether all four anchors may stand there.
    floor : float
        Below this nobody wants to know more.
    """
    return look(ground, rig, at, b, hinge, steepness, free, floor, room)


@inner
def look(ground, rig, at, b, hinge, steepness, free, floor, room):
    """Do what `look_closely` says, within another kernel."""
    room.shares[:] = math.nan
    best, cause = _anchors(ground, rig, at, b, hinge, free, room)
    if best > floor:
        best, cause = _behind(ground, rig, at, b, hinge, room, best, cause)
    if best > floor:
        best, cause = _changes(rig, room, best, cause)
    if best > floor:
        best, cause = _ahead(ground, rig, at, b, hinge, steepness, floor, room, best, cause)
    if best > floor:
        best, cause = _with_head(ground, rig, at, b, hinge, room, best, cause)
    if best > floor:
        best, cause = _wires(rig, room, best, cause)
    if best > floor and rig.n.vehicle:
        best, cause = _lane(rig, b, room, best, cause)
    if best > floor:
        best, cause = _pull(rig, b, room, best, cause)
    if best > floor and ground.active.any():
        best, cause = _covered(ground, rig, at, b, floor, room, best, cause)
    return best, cause


@inner
def _anchors(ground, rig, at, b, hinge, free, room):
    """Look at the places of the anchors, and where their eyes are."""
    room.shares[_PLACE] = 1.0 if free else -1.0
    best, cause = lower(1.0, 0, room.shares[_PLACE], _PLACE)
    tables, n = rig.tables, rig.n
    offset, first, second = tables.ring
    for side in range(4):
        r = tables.ring_of[side]
        c = (b + tables.shift_of[side]) % tables.bearings.size
        z = height(ground.exact, at + offset[r, c], ground.width, first[r, c], second[r, c])
        if math.isnan(z):
            return math.nan, _GROUND
        room.eyes[side] = z + n.eye[side] - hinge
    return best, cause


@inner
def _wires(rig, room, best, cause):
    """Look at the angles of the wires: late, as the rings have bounded them already."""
    share = 1.0
    for side in range(4):
        share = min(share, wire_share(room.eyes[side], side, rig.n, rig.level))
    room.shares[_ANGLE] = share
    return lower(best, cause, share, _ANGLE)


@inner
def _ahead(ground, rig, at, b, hinge, steepness, floor, room, best, cause):
    """Look at the gin pole, and at what of the lane is driven whatever the start angle."""
    ray, n = rig.tables.ahead, rig.n
    count = ray.number[b]
    if not ray_heights(ground.exact, ground.width, at, b, hinge, ray, count, room.front):
        return math.nan, _GROUND
    room.shares[_GIN] = min(gin_margin(room.front, ray, b, steepness, n) / rig.level.gin, 1.0)
    best, cause = lower(best, cause, room.shares[_GIN], _GIN)
    if best <= floor or not n.vehicle:
        return best, cause
    distance = ray.distance[b]
    inner = hitch_at(distance, room.front, count, n.steep_stop, room.eyes[0], n)
    outer = hitch_at(distance, room.front, count, math.pi / 2, room.eyes[0], n)
    room.found[_OUTER] = outer
    if not math.isnan(inner + outer):
        share = slope_share(distance, room.front, count, inner, outer, n)
        if share <= floor:
            room.shares[_SLOPE] = share
            return min(best, share), _SLOPE
    return best, cause


@inner
def _behind(ground, rig, at, b, hinge, room, best, cause):
    """Look at how low the bare mast can lie."""
    ray, n = rig.tables.back, rig.n
    if not ray_heights(ground.exact, ground.width, at, b, hinge, ray, ray.number[b], room.behind):
        return math.nan, _GROUND
    room.found[_BARE] = tube_angle(room.behind, b, ray, n)
    room.shares[_LAYDOWN] = _laydown_share(room.found[_BARE], n, rig.level)
    return lower(best, cause, room.shares[_LAYDOWN], _LAYDOWN)


@inner
def _with_head(ground, rig, at, b, hinge, room, best, cause):
    """Look at how low the mast can lie with head and rotor: never lower than without."""
    n, start = rig.n, room.found[_BARE]
    start = balls_angle(ground.exact, ground.width, at, b, hinge, rig.tables.under, start)
    if math.isnan(start):
        return math.nan, _GROUND
    room.found[_START] = start
    room.shares[_LAYDOWN] = _laydown_share(start, n, rig.level)
    return lower(best, cause, room.shares[_LAYDOWN], _LAYDOWN)


@inner
def _laydown_share(start, n, level):
    """Return what a start angle leaves of its limits."""
    caution = (n.steep_caution - start) / level.start_caution
    stop = (n.steep_stop - start) / level.start_stop
    return min(stop, max((1.0 + caution) / 2.0, LEAST), 1.0)


@outer
def fill_curve(eyes, side, beside, n, level, wire, change):
    """Fill in what wire angles leave, and tight, slack and laydown together, by eye height."""
    for k in range(eyes.size):
        wire[k] = wire_share(eyes[k], side, n, level)
        change[k] = _best_start(eyes[k], beside, n, level)


@inner
def _best_start(e, side, n, level):
    """Return at least what tight, slack and laydown leave at the best start angle for a side.

    A higher start leaves less of the laydown and more of tight and slack: halve between them.
    """
    low, high = _LOWEST, n.steep_stop
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if _change_share(e, side, middle, n, level) < _laydown_share(middle, n, level):
            low = middle
        else:
            high = middle
    return min(_laydown_share(low, n, level), _change_share(e, side, high, n, level))


@inner
def _change_share(e, side, start, n, level):
    """Return what tight and slack leave of their limits on one side."""
    tight, slack = change_shares(e, side, start, n, level)
    return min(tight, max((1.0 + slack) / 2.0, LEAST)) if side != 2 else tight


@inner
def _changes(rig, room, best, cause):
    """Look at side and back wires; the first raise, without the head, starts lowest."""
    n, shares = rig.n, room.shares
    tight, slack = 1.0, 1.0
    for side in range(1, 4):
        t, s = change_shares(room.eyes[side], side, room.found[_BARE], n, rig.level)
        tight, slack = min(tight, t), min(slack, s)
    shares[_TIGHT], shares[_SLACK] = tight, max((1.0 + slack) / 2.0, LEAST)
    best, cause = lower(best, cause, shares[_TIGHT], _TIGHT)
    return lower(best, cause, shares[_SLACK], _SLACK)


@inner
def _lane(rig, b, room, best, cause):
    """Look at all of the lane that is driven; the first raise, without the head, starts lowest."""
    n, shares, ray = rig.n, room.shares, rig.tables.ahead
    count, distance = ray.number[b], ray.distance[b]
    inner = hitch_at(distance, room.front, count, room.found[_BARE], room.eyes[0], n)
    outer = room.found[_OUTER]
    room.found[_INNER] = inner
    shares[_LENGTH] = -1.0 if math.isnan(inner + outer) else 1.0
    best, cause = lower(best, cause, shares[_LENGTH], _LENGTH)
    if math.isnan(inner + outer):
        return best, cause
    shares[_SLOPE] = slope_share(distance, room.front, count, inner, outer, n)
    return lower(best, cause, shares[_SLOPE], _SLOPE)


@inner
def _pull(rig, b, room, best, cause):
    """Look at the pull on the way up."""
    n, ray = rig.n, rig.tables.ahead
    if n.vehicle and math.isnan(room.found[_INNER] + room.found[_OUTER]):
        return best, cause
    count, distance = ray.number[b], ray.distance[b]
    spare = pull_margin(distance, room.front, count, room.found[_START], n, room.eyes[0])
    room.shares[_PULL] = max(min(spare / rig.level.pull, 1.0), -9.0)
    return lower(best, cause, room.shares[_PULL], _PULL)


@inner
def _covered(ground, rig, at, b, floor, room, best, cause):
    """Hold every disc against its field."""
    cover, shares = rig.cover, room.shares
    inner, outer = room.found[_INNER], room.found[_OUTER]
    low, high = min(inner, outer) - _HALF_STEP, max(inner, outer) + _VEHICLE
    offset, first, second = cover.samples
    for f in range(FIELDS):
        if ground.active[f]:
            shares[_OF_FIELD[f]] = 1.0
    if ground.active[STRIPS]:
        shares[_LANE_PLAN] = 1.0
    for k in range(cover.field.size):
        f, when = cover.field[k], cover.when[k]
        if not ground.active[f] or (when == TO_VEHICLE and cover.ahead[k] > high):
            continue
        if when == DRIVEN and not low <= cover.ahead[k] <= high:
            continue
        left = height(
            ground.fields[f], at + offset[b, k], ground.width, first[b, k], second[b, k]
        ) - cover.radius[k]  # fmt: skip
        share = min(left / rig.level.field[f], 1.0)
        if f == STRIPS:
            share = 1.0 if left > 0.0 else -1.0
        of = _LANE_PLAN if when == DRIVEN else _OF_FIELD[f]
        shares[of] = min(shares[of], share)
        best, cause = lower(best, cause, share, of)
        if best <= floor:
            break
    return best, cause


def make_room(rig: Rig) -> Room:
    """Return room for the looks of one thread."""
    tables = rig.tables
    return Room(
        behind=np.empty(tables.back.distance.shape[1]),
        front=np.empty(tables.ahead.distance.shape[1]),
        eyes=np.empty(4),
        found=np.zeros(4),
        shares=np.empty(SHARES),
    )
