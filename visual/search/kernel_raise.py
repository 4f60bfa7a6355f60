"""The kernels of the raise: start angle, wires, lane, gin pole and pull at one place and bearing.

They say in plain numbers what `visual.raising` says of a model, on the same triangles. Importing
this module loads the compiler, so only what searches does. The kernels hold no lock.

A missing height is NaN. `min`, `max` and comparisons drop NaN without a word, so what looks up
heights asks at once whether they are known, and says NaN if one is not.
"""

import math
from typing import Any

from numba import njit

from visual.mechanics.pivot import STANDARD_GRAVITY

_ROUNDS = 8  # of finding the angle at which a point of the tube is just high enough
_PULLS = 7  # raising angles at which the pull is estimated
_LOWEST = math.radians(-60.0)  # as the start angle of the checks

compiled: Any = njit(cache=True, nogil=True, error_model="numpy")


@compiled
def height(heights, p, width, first, second):
    """Return the ground at one sample, from the four nodes of its cell."""
    a, b = heights[p], heights[p + 1]
    c, d = heights[p + width], heights[p + width + 1]
    along, across = abs(a - d), abs(b - c)
    # No branch: which way a cell is cut is as good as random, and a wrong guess costs more.
    cut = (along < across) | ((along == across) & (a + d > b + c))
    one = a * first[0] + b * first[1] + c * first[2] + d * first[3]
    two = a * second[0] + b * second[1] + c * second[2] + d * second[3]
    return one if cut else two


@compiled
def ray_heights(heights, width, at, b, ground, ray, count, z):
    """Fill in heights along a ray, above the hinge; tell whether all are known."""
    offset, first, second = ray.samples
    known = True
    for k in range(count):
        z[k] = height(heights, at + offset[b, k], width, first[b, k], second[b, k]) - ground
        known &= not math.isnan(z[k])
    return known


@compiled
def tube_angle(z, b, back, n):
    """Return how low the bare mast can lie on the ground along a ray."""
    count, distance = back.number[b], back.distance[b]
    steepest = -1e30
    for k in range(count):
        if distance[k] >= 0.9 * n.foot and distance[k] <= n.length:
            steepest = max(steepest, (z[k] + n.tube_radius) / distance[k])
    angle = max(math.atan(steepest), _LOWEST)
    room = n.trestle + n.tube_radius
    angle = max(angle, _point_angle(distance, z, count, n.length, room))
    for height in n.collars:
        room = n.collar_room + n.tube_radius
        angle = max(angle, _point_angle(distance, z, count, height, room))
    return angle


@compiled
def balls_angle(heights, width, at, b, ground, under, angle):
    """Return how low the mast can lie with head and rotor; NaN if the ground is unknown."""
    offset, first, second = under.samples
    reach, turned, x, y = -1.0, 0.0, 0.0, 0.0
    for k in range(under.back.size):
        h = height(heights, at + offset[b, k], width, first[b, k], second[b, k]) - ground
        if math.isnan(h):
            return math.nan
        if under.reach[k] != reach or under.turned[k] != turned:
            reach, turned = under.reach[k], under.turned[k]
            x, y = reach * math.cos(angle + turned), reach * math.sin(angle + turned)
        square = under.square[k]
        away = x - under.back[k]
        if y >= h and away * away + (y - h) * (y - h) >= square:
            continue
        needed = _ball_angle(under.back[k], h, reach, square) - turned
        if needed > angle:
            angle = needed
            x, y = reach * math.cos(angle + turned), reach * math.sin(angle + turned)
    return angle


@compiled
def _point_angle(distance, z, count, along, room):
    """Return the angle at which a point of the tube is just high enough."""
    angle = 0.0
    k = count - 1
    for _ in range(_ROUNDS):
        d = along * math.cos(angle)
        while k > 0 and distance[k - 1] >= d:
            k -= 1
        while k < count - 1 and distance[k] < d:
            k += 1
        if k == 0:
            ground = z[0]
        else:
            share = (d - distance[k - 1]) / (distance[k] - distance[k - 1])
            ground = z[k - 1] + min(max(share, 0.0), 1.0) * (z[k] - z[k - 1])
        angle = math.asin(min(max((ground + room) / along, -0.85), 1.0))
    return angle


@compiled
def _ball_angle(d, h, reach, square):
    """Return the angle at which a ball just clears one place of the ground.

    Parameters
    ----------
    d, h : float
        The place, behind the base and above the hinge. [m]
    reach : float
        Hinge to middle of the ball. [m]
    square : float
        Square of the least distance in the raising plane. [m²]
    """
    far = math.sqrt(d * d + h * h)
    cosine = (reach * reach + far * far - square) / (2.0 * reach * far)
    if cosine >= 1.0:
        return _LOWEST
    return math.atan2(h, d) + math.acos(max(cosine, -1.0))


@compiled
def wire_share(e, side, n, level):
    """Return what is left of the limits of the wire angles at one anchor."""
    share = 1.0
    for c in range(n.collars.size):
        angle = math.atan2(n.collars[c] - e, n.anchor_radius[side])
        share = min(share, (angle - n.wire_low) / level.angle_low[side, c])
        share = min(share, (n.wire_high - angle) / level.angle_high[side, c])
    return share


@compiled
def longest(k, height, ahead, e, start, slack):
    """Return the extreme length of a wire from the start angle on, less its length upright."""
    upright = math.sqrt(k - 2.0 * height * e)
    best = 0.0
    # The distance depends on e sin θ − ahead cos θ, which turns at most once.
    turn = math.atan2(-e, ahead) if ahead != 0.0 else start
    for angle in (start, turn, turn + math.pi):
        if start <= angle <= math.pi / 2:
            f = e * math.sin(angle) - ahead * math.cos(angle)
            change = math.sqrt(max(k - 2.0 * height * f, 0.0)) - upright
            best = min(best, change) if slack else max(best, change)
    return best


@compiled
def change_shares(e, side, start, n, level):
    """Return what is left of the limits of tight and slack, for the wires of one side."""
    turn = side * math.pi / 2 + n.anchor_turn[side]
    ahead, radius = n.anchor_radius[side] * math.cos(turn), n.anchor_radius[side]
    if abs(ahead) < 1e-9:
        ahead = 0.0
    tight, slack = 1.0, 1.0
    for c in range(n.collars.size):
        height = n.collars[c]
        k = radius * radius + height * height + e * e
        limit = n.tight_fixed
        if math.isnan(limit):
            limit = n.stretch[c] * math.sqrt(max(k - 2.0 * height * e, 0.0))
        change = longest(k, height, ahead, e, start, False)
        tight = min(tight, (limit - change) / level.tight[side, c])
        if side == 1 or side == 3:
            change = longest(k, height, ahead, e, start, True)
            slack = min(slack, (n.slack + change) / level.slack[side, c])
    return tight, slack


@compiled
def _leaves(distance, z, count, x, y, reach, hitch):
    """Return where the lane leaves a circle about (x, y); NaN if it never does."""
    for k in range(count - 1, 0, -1):
        x1, y1 = distance[k] - x, z[k] + hitch - y
        x0, y0 = distance[k - 1] - x, z[k - 1] + hitch - y
        if x0 * x0 + y0 * y0 <= reach * reach < x1 * x1 + y1 * y1:
            a = (x1 - x0) ** 2 + (y1 - y0) ** 2
            b = x0 * (x1 - x0) + y0 * (y1 - y0)
            c = x0 * x0 + y0 * y0 - reach * reach
            share = (math.sqrt(max(b * b - a * c, 0.0)) - b) / a
            return distance[k - 1] + share * (distance[k] - distance[k - 1])
    return math.nan


@compiled
def hitch_at(distance, z, count, angle, eye, n):
    """Return where the hitch is at a raising angle; NaN where it has no place."""
    pole = math.pi - angle - n.gin_angle
    x, y = n.gin * math.cos(pole), n.gin * math.sin(pole)
    if not n.through_anchor:
        return _leaves(distance, z, count, x, y, n.line_length, n.hitch_height)
    away = n.anchor_radius[0]
    line = n.line_length - math.hypot(away - x, eye - y)
    return _leaves(distance, z, count, away, eye, line, n.hitch_height) if line > 0 else math.nan


@compiled
def _profile(distance, z, count, d):
    """Return the ground at a distance along a ray; NaN beyond its end."""
    low, high = 0, count - 1
    if not d <= distance[high]:
        return math.nan
    while high - low > 1:
        middle = (low + high) // 2
        if distance[middle] >= d:
            high = middle
        else:
            low = middle
    share = (d - distance[low]) / (distance[high] - distance[low])
    return z[low] + share * (z[high] - z[low])


@compiled
def gin_margin(z, ahead, b, steepness, n):
    """Return the room of the gin pole over the ground, upright, less what it must have."""
    lift = math.pi / 2 - n.gin_angle
    rise, away = math.tan(lift), math.cos(lift)
    least = 1e30
    for k in range(ahead.number[b]):
        d = ahead.distance[b, k]
        if d > n.gin * away + 0.5:
            break
        if d >= n.gin_foot * away - 0.02:
            least = min(least, min(d, n.gin * away) * rise - n.gin_radius - z[k])
    return least * steepness - n.gin_room if least > 0.0 else least - n.gin_room


@compiled
def pull_margin(distance, z, count, start, n, eye):
    """Return the least spare pull on the way up; −inf where the line has no lever.

    An estimate: the weights of the rig as they are where the site file puts it.
    """
    least = math.inf
    # Up to the balance: there no pull is needed any more, but the line must still have its lever.
    last = min(math.atan2(n.weight_along, n.weight_across), math.pi / 2)
    for k in range(_PULLS):
        angle = start + (last - start) * k / (_PULLS - 1)
        moment = n.weight_along * math.cos(angle) - n.weight_across * math.sin(angle)
        moment = STANDARD_GRAVITY * max(moment, 0.0)
        least = min(least, _spare_pull(distance, z, count, angle, moment, n, eye))
    return least


@compiled
def _spare_pull(distance, z, count, angle, moment, n, eye):
    """Return the spare pull at one raising angle."""
    pole = math.pi - angle - n.gin_angle
    tip_x, tip_y = n.gin * math.cos(pole), n.gin * math.sin(pole)
    far_x, far_y = tip_x, tip_y
    hitch, hitch_y = n.anchor_radius[0], eye
    if n.vehicle:
        hitch = hitch_at(distance, z, count, angle, eye, n)
        hitch_y = _profile(distance, z, count, hitch) + n.hitch_height
    end_x, end_y = hitch, hitch_y
    if n.through_anchor:
        end_x, end_y = n.anchor_radius[0], eye
        far_x, far_y = end_x, end_y
    ux, uy = end_x - tip_x, end_y - tip_y
    lever = (tip_y * ux - tip_x * uy) / math.sqrt(ux * ux + uy * uy)
    if not lever > 0.0:
        return -math.inf
    pull = moment / lever * n.hitch_share
    if not n.vehicle:
        return math.inf if math.isnan(n.winch) else n.winch - pull
    rear = _profile(distance, z, count, hitch + 1.0)
    slope = math.atan((_profile(distance, z, count, hitch + 4.0) - rear) / 3.0)
    above = math.atan2(far_y - hitch_y, abs(far_x - hitch)) + slope
    cost = math.cos(above) + n.net_grip * math.sin(above)
    spare = n.vehicle_weight * (n.net_grip * math.cos(slope) - math.sin(slope))
    return max(spare / cost, 0.0) - pull if cost > 0.0 else math.inf


@compiled
def slope_share(distance, z, count, inner, outer, n):
    """Return what the steepest piece of the lane that is driven leaves of its limit."""
    low, high = min(inner, outer), max(inner, outer)
    steep = 0.0
    for k in range(1, count):
        if distance[k] > low and distance[k - 1] < high:
            steep = max(steep, abs(z[k] - z[k - 1]) / (distance[k] - distance[k - 1]))
    return min((n.lane_slope - math.atan(steep)) / n.lane_slope, 1.0)
