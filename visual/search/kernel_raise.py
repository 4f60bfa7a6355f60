"""The kernels of the raise: start angle, wires, lane, gin pole and pull at one place and bearing.

They say in plain numbers what `visual.raising` says of a model, on the same triangles. Importing
this module loads the compiler, so only what searches does. The kernels hold no lock.

A missing height is NaN. `min`, `max` and comparisons drop NaN without a word, so what looks up
heights asks at once whether they are known, and says NaN if one is not.
"""

import math

import numpy as np

from visual.search.compiled import inner, outer
from visual.units import STANDARD_GRAVITY

_ROUNDS = 8  # of finding the angle at which a point of the tube is just high enough
_PULLS = 7  # raising angles at which the pull is estimated
_LOWEST = math.radians(-60.0)  # as the start angle of the checks
_LOWEST_SINE = math.sin(_LOWEST)
_NEXT = np.uint64(1)
_SAME = 1e-12  # sines closer than this are one


@inner
def height(heights, p, width, first, second):
    """Return the ground at one sample, from the four nodes of its cell."""
    # Unsigned: negative numbers would have to be looked out for, as they count from the end.
    q, r = np.uint64(p), np.uint64(p + width)
    a, b = heights[q], heights[q + _NEXT]
    c, d = heights[r], heights[r + _NEXT]
    along, across = abs(a - d), abs(b - c)
    # No branch: which way a cell is cut is as good as random, and a wrong guess costs more.
    cut = (along < across) | ((along == across) & (a + d > b + c))
    w0, w1 = first[0] if cut else second[0], first[1] if cut else second[1]
    w2, w3 = first[2] if cut else second[2], first[3] if cut else second[3]
    return a * w0 + b * w1 + c * w2 + d * w3


@outer
def ray_heights(heights, width, at, b, ground, ray, count, z):
    """Fill in heights along a ray, above the hinge; tell whether all are known."""
    offset, first, second = ray.samples
    known = True
    of, one, two = offset[b], first[b], second[b]
    for k in range(np.uint64(count)):
        z[k] = height(heights, at + of[k], width, one[k], two[k]) - ground
        known &= not math.isnan(z[k])
    return known


@outer
def tube_angle(z, b, back, n):
    """Return how low the bare mast can lie on the ground along a ray."""
    count, distance = back.number[b], back.distance[b]
    steepest, first = -1e30, 0.9 * n.foot
    for k in range(np.uint64(count)):
        d = distance[k]
        if d > n.length:
            break
        steep = (z[k] + n.tube_radius) / d if d >= first else steepest
        steepest = steep if steep > steepest else steepest
    # Sines of angles between ±90° are in the order of the angles, so one arcsine at the end does.
    sine = max(steepest / math.sqrt(1.0 + steepest * steepest), _LOWEST_SINE)
    room = n.trestle + n.tube_radius
    sine = _point_sine(distance, z, count, n.length, room, sine)
    for height in n.collars:
        sine = _point_sine(distance, z, count, height, n.collar_room + n.tube_radius, sine)
    return math.asin(sine)


@outer
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


@inner
def _point_sine(distance, z, count, along, room, least):
    """Return the sine of the angle at which a point of the tube is high enough; not below least.

    Between two samples the ground is straight, and the angle follows in one step: with m its slope
    and c its height at the hinge, both in terms of `along`, sin θ = c + m cos θ.
    """
    sine = least
    before = 0
    for _ in range(_ROUNDS):
        d = along * math.sqrt(1.0 - sine * sine)
        k = reached(distance, count, d)
        m = (z[k] - z[k - 1]) / (distance[k] - distance[k - 1])
        c = z[k - 1] - m * distance[k - 1] + room
        if before == 0 and along * least >= c + m * d:
            break
        if k == before:
            break
        c /= along
        square = 1.0 + m * m
        sine = (c + m * math.sqrt(max(square - c * c, 0.0))) / square
        sine = min(max(sine, -0.85), 1.0)
        before = k
    return max(sine, least)


@inner
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


@inner
def wire_share(e, side, n, level):
    """Return what is left of the limits of the wire angles at one anchor."""
    share = 1.0
    for c in range(n.collars.size):
        angle = math.atan2(n.collars[c] - e, n.anchor_radius[side])
        share = min(share, (angle - n.wire_low) / level.angle_low[side, c])
        share = min(share, (n.wire_high - angle) / level.angle_high[side, c])
    return share


@outer
def longest(k, height, ahead, e, sine, cosine, slack):
    """Return the extreme length of a wire from the start angle on, less its length upright.

    The distance depends on e sin θ − ahead cos θ, which turns at most once on the way, where it is
    plus or minus its amplitude.
    """
    upright = math.sqrt(k - 2.0 * height * e)
    extreme = e * sine - ahead * cosine
    rises = e * cosine + ahead * sine
    if rises * ahead < 0.0 and (rises > 0.0) == slack:
        extreme = math.copysign(math.sqrt(e * e + ahead * ahead), rises)
    change = math.sqrt(max(k - 2.0 * height * extreme, 0.0)) - upright
    return min(change, 0.0) if slack else max(change, 0.0)


@inner
def change_shares(e, side, start, n, level):
    """Return what is left of the limits of tight and slack, for the wires of one side."""
    ahead, radius = n.anchor_ahead[side], n.anchor_radius[side]
    sine = math.sin(start)
    cosine = math.sqrt(1.0 - sine * sine)
    tight, slack = 1.0, 1.0
    for c in range(n.collars.size):
        height = n.collars[c]
        k = radius * radius + height * height + e * e
        limit = n.tight_fixed
        if math.isnan(limit):
            limit = n.stretch[c] * math.sqrt(max(k - 2.0 * height * e, 0.0))
        change = longest(k, height, ahead, e, sine, cosine, False)
        tight = min(tight, (limit - change) / level.tight[side, c])
        if side == 1 or side == 3:
            change = longest(k, height, ahead, e, sine, cosine, True)
            slack = min(slack, (n.slack + change) / level.slack[side, c])
    return tight, slack


@inner
def reached(distance, count, d):
    """Return the first sample, but not the one at the base, that is at least so far; or the last.

    Samples are spread almost evenly, so a guess is near, and a few steps from it cost less than
    halving.
    """
    k = min(max(int(d / distance[count - 1] * count), 1), count - 1)
    while k > 1 and distance[k - 1] >= d:
        k -= 1
    while k < count - 1 and distance[k] < d:
        k += 1
    return k


@inner
def _leaves(distance, z, count, x, y, reach, hitch):
    """Return where the lane leaves a circle about (x, y); NaN if it never does."""
    # What is farther from x in plan is outside, whatever its height.
    last = min(reached(distance, count, x + reach) + 1, count - 1)
    square = reach * reach
    x1, y1 = distance[last] - x, z[last] + hitch - y
    for k in range(last, 0, -1):
        x0, y0 = distance[k - 1] - x, z[k - 1] + hitch - y
        if x0 * x0 + y0 * y0 <= square < x1 * x1 + y1 * y1:
            a = (x1 - x0) ** 2 + (y1 - y0) ** 2
            b = x0 * (x1 - x0) + y0 * (y1 - y0)
            c = x0 * x0 + y0 * y0 - square
            share = (math.sqrt(max(b * b - a * c, 0.0)) - b) / a
            return distance[k - 1] + share * (distance[k] - distance[k - 1])
        x1, y1 = x0, y0
    return math.nan


@inner
def hitch_at(distance, z, count, angle, eye, n):
    """Return where the hitch is at a raising angle; NaN where it has no place."""
    pole = math.pi - angle - n.gin_angle
    return _hitch(distance, z, count, n.gin * math.cos(pole), n.gin * math.sin(pole), eye, n)


@inner
def _hitch(distance, z, count, x, y, eye, n):
    """Return where the hitch is with the gin-pole tip at (x, y)."""
    if not n.through_anchor:
        return _leaves(distance, z, count, x, y, n.line_length, n.hitch_height)
    away = n.anchor_radius[0]
    line = n.line_length - math.hypot(away - x, eye - y)
    return _leaves(distance, z, count, away, eye, line, n.hitch_height) if line > 0 else math.nan


@inner
def _profile(distance, z, count, d):
    """Return the ground at a distance along a ray; NaN beyond its end."""
    if not d <= distance[count - 1]:
        return math.nan
    k = reached(distance, count, d)
    share = max((d - distance[k - 1]) / (distance[k] - distance[k - 1]), 0.0)
    return z[k - 1] + share * (z[k] - z[k - 1])


@outer
def gin_margin(z, ahead, b, steepness, n):
    """Return the room of the gin pole over the ground, upright, less what it must have.

    Where ground is steep, that beyond the tip may be its nearest: the bound looks there too. With a
    cosine of 1, on level ground or without the bound, only the ground under the pole counts, so
    that there can be no more room than is said.
    """
    beyond = 0.5 if steepness < 1.0 else 0.0
    lift = math.pi / 2 - n.gin_angle
    rise, away = math.tan(lift), math.cos(lift)
    least = 1e30
    for k in range(ahead.number[b]):
        d = ahead.distance[b, k]
        if d > n.gin * away + beyond:
            break
        if d >= n.gin_foot * away - 0.02:
            least = min(least, min(d, n.gin * away) * rise - n.gin_radius - z[k])
    return least * steepness - n.gin_room if least > 0.0 else least - n.gin_room


@outer
def pull_margin(distance, z, count, start, n, eye):
    """Return the least spare pull on the way up; −inf where the line has no lever.

    An estimate: the weights of the rig as they are where the site file puts it.
    """
    least = math.inf
    # Up to the balance: there no pull is needed any more, but the line must still have its lever.
    last = min(math.atan2(n.weight_along, n.weight_across), math.pi / 2)
    step = (last - start) / (_PULLS - 1)
    turn_cos, turn_sin = math.cos(step), math.sin(step)
    cos, sin = math.cos(start), math.sin(start)
    gin_cos, gin_sin = n.gin * math.cos(n.gin_angle), n.gin * math.sin(n.gin_angle)
    for _ in range(_PULLS):
        moment = STANDARD_GRAVITY * max(n.weight_along * cos - n.weight_across * sin, 0.0)
        x, y = gin_sin * sin - gin_cos * cos, gin_cos * sin + gin_sin * cos
        least = min(least, _spare_pull(distance, z, count, x, y, moment, n, eye))
        cos, sin = cos * turn_cos - sin * turn_sin, sin * turn_cos + cos * turn_sin
    return least


@inner
def _spare_pull(distance, z, count, tip_x, tip_y, moment, n, eye):
    """Return the spare pull with the gin-pole tip at one place; directions as unit vectors."""
    far_x, far_y = tip_x, tip_y
    hitch, hitch_y = n.anchor_radius[0], eye
    if n.vehicle:
        hitch = _hitch(distance, z, count, tip_x, tip_y, eye, n)
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
    slope = (_profile(distance, z, count, hitch + 4.0) - rear) / 3.0
    flat = 1.0 / math.sqrt(1.0 + slope * slope)
    steep = slope * flat
    level, up = abs(far_x - hitch), far_y - hitch_y
    line = math.sqrt(level * level + up * up)
    # cosine and sine of the angle between line and lane: of the two angles together
    along, above = (level * flat - up * steep) / line, (up * flat + level * steep) / line
    cost = along + n.net_grip * above
    spare = n.vehicle_weight * (n.net_grip * flat - steep)
    return max(spare / cost, 0.0) - pull if cost > 0.0 else math.inf


@inner
def slope_share(distance, z, count, inner, outer, n):
    """Return what the steepest piece of the lane that is driven leaves of its limit."""
    low, high = min(inner, outer), max(inner, outer)
    steep = 0.0
    for k in range(reached(distance, count, low), count):
        if distance[k - 1] >= high:
            break
        if distance[k] > low:
            steep = max(steep, abs(z[k] - z[k - 1]) / (distance[k] - distance[k - 1]))
    return min((n.lane_slope - math.atan(steep)) / n.lane_slope, 1.0)
