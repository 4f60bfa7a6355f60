"""The search once more in plain numpy: every place and bearing, nothing skipped.

The same definitions as the kernels, on open land, written the way one would without a compiler.
"""

import numpy as np

from visual.search.causes import LEAST
from visual.search.job import Job
from visual.search.tables import Ray, Samples
from visual.units import STANDARD_GRAVITY

Array = np.ndarray


def plain_search(job: Job, heights: Array, nodes: Array, steepness: Array) -> tuple[Array, Array]:
    """Return best share and number of the best bearing for places at nodes of a window."""
    tables, n = job.tables[0], job.numbers
    ground = _all(heights, nodes, tables.base, 0, 0, job.width) + n.hinge
    best = np.zeros(len(nodes))
    bearing = np.full(len(nodes), -1)
    for b in tables.order:
        share = _one_bearing(job, heights, nodes, ground, steepness, int(b))
        better = share > best
        best, bearing = np.where(better, share, best), np.where(better, b, bearing)
    return best, bearing


def _all(heights: Array, nodes: Array, samples: Samples, row: int, k: int, width: int) -> Array:
    p = nodes + samples.offset[row, k]
    a, b, c, d = heights[p], heights[p + 1], heights[p + width], heights[p + width + 1]
    along, across = np.abs(a - d), np.abs(b - c)
    cut = (along < across) | ((along == across) & (a + d > b + c))
    weights = np.where(cut[:, None], samples.first[row, k], samples.second[row, k])
    return (np.stack([a, b, c, d], axis=1) * weights).sum(axis=1)


def _profile(job: Job, heights: Array, nodes: Array, ground: Array, ray: Ray, b: int) -> Array:
    count = int(ray.number[b])
    columns = [_all(heights, nodes, ray.samples, b, k, job.width) for k in range(count)]
    return np.stack(columns, axis=1) - ground[:, None]


def _at(distance: Array, z: Array, d: Array) -> Array:
    """Return heights along profiles at one distance each."""
    k = np.clip(np.searchsorted(distance, d), 1, len(distance) - 1)
    rows = np.arange(len(z))
    share = np.clip((d - distance[k - 1]) / (distance[k] - distance[k - 1]), 0, 1)
    return z[rows, k - 1] + share * (z[rows, k] - z[rows, k - 1])


def _one_bearing(
    job: Job, heights: Array, nodes: Array, ground: Array, steepness: Array, b: int
) -> Array:
    n, level, tables = job.numbers, job.level, job.tables[0]
    eyes = []
    for side in range(4):
        ring, c = tables.ring_of[side], (b + tables.shift_of[side]) % tables.bearings.size
        eyes.append(_all(heights, nodes, tables.ring, ring, c, job.width) + n.eye[side] - ground)
    share = np.ones(len(nodes))
    for side in range(4):
        for c, height in enumerate(n.collars):
            angle = np.arctan2(height - eyes[side], n.anchor_radius[side])
            share = np.minimum(share, (angle - n.wire_low) / level.angle_low[side, c])
            share = np.minimum(share, (n.wire_high - angle) / level.angle_high[side, c])
    bare, start = _starts(job, heights, nodes, ground, b)
    stop = (n.steep_stop - start) / level.start_stop
    caution = np.maximum((1 + (n.steep_caution - start) / level.start_caution) / 2, LEAST)
    share = np.minimum(share, np.minimum(stop, caution))
    for side in range(1, 4):
        share = np.minimum(share, _changes(job, eyes[side], side, bare))
    front = _profile(job, heights, nodes, ground, tables.ahead, b)
    distance = tables.ahead.distance[b, : tables.ahead.number[b]]
    share = np.minimum(share, _gin(job, distance, front, steepness) / level.gin)
    inner = _hitch(job, distance, front, bare)
    outer = _hitch(job, distance, front, np.full(len(nodes), np.pi / 2))
    share = np.where(np.isnan(inner + outer), -1.0, share)
    slopes = np.abs(np.diff(front, axis=1) / np.diff(distance))
    low, high = np.fmin(inner, outer)[:, None], np.fmax(inner, outer)[:, None]
    driven = (distance[1:] > low) & (distance[:-1] < high)
    steep = np.where(driven, slopes, 0.0).max(axis=1)
    share = np.minimum(share, (n.lane_slope - np.arctan(steep)) / n.lane_slope)
    return np.minimum(share, _pull(job, distance, front, start) / level.pull)


def _starts(job: Job, heights: Array, nodes: Array, ground: Array, b: int) -> tuple[Array, Array]:
    n, tables = job.numbers, job.tables[0]
    z = _profile(job, heights, nodes, ground, tables.back, b)
    d = tables.back.distance[b, : tables.back.number[b]]
    tube = (d >= 0.9 * n.foot) & (d <= n.length)
    angle = np.arctan(((z[:, tube] + n.tube_radius) / d[tube]).max(axis=1))
    points = [(n.length, n.trestle + n.tube_radius)]
    points += [(float(height), n.collar_room + n.tube_radius) for height in n.collars]
    for along, room in points:
        found = np.zeros(len(nodes))
        for _ in range(8):
            height = _at(d, z, along * np.cos(found))
            found = np.arcsin(np.clip((height + room) / along, -0.85, 1.0))
        angle = np.maximum(angle, found)
    start, under = angle, tables.under
    for k in range(under.back.size):
        h = _all(heights, nodes, under.samples, b, k, job.width) - ground
        x = under.reach[k] * np.cos(start + under.turned[k])
        y = under.reach[k] * np.sin(start + under.turned[k])
        clear = (y >= h) & ((x - under.back[k]) ** 2 + (y - h) ** 2 >= under.square[k])
        far = np.hypot(under.back[k], h)
        cosine = (under.reach[k] ** 2 + far**2 - under.square[k]) / (2 * under.reach[k] * far)
        needed = np.arctan2(h, under.back[k]) + np.arccos(np.clip(cosine, -1, 1)) - under.turned[k]
        start = np.where(clear | (cosine >= 1), start, np.maximum(start, needed))
    return angle, start


def _changes(job: Job, e: Array, side: int, start: Array) -> Array:
    n, level = job.numbers, job.level
    turn = side * np.pi / 2 + n.anchor_turn[side]
    ahead = n.anchor_radius[side] * np.cos(turn)
    ahead = 0.0 if abs(ahead) < 1e-9 else ahead
    share = np.ones(len(e))
    for c, height in enumerate(n.collars):
        k = n.anchor_radius[side] ** 2 + height**2 + e**2
        upright = np.sqrt(k - 2 * height * e)
        longest, shortest = np.zeros(len(e)), np.zeros(len(e))
        bend = np.arctan2(-e, ahead) if ahead != 0.0 else start
        for angle in (start, bend, bend + np.pi):
            f = e * np.sin(angle) - ahead * np.cos(angle)
            change = np.sqrt(np.maximum(k - 2 * height * f, 0)) - upright
            change = np.where((angle >= start) & (angle <= np.pi / 2), change, 0.0)
            longest, shortest = np.maximum(longest, change), np.minimum(shortest, change)
        limit = n.stretch[c] * upright if np.isnan(n.tight_fixed) else n.tight_fixed
        share = np.minimum(share, (limit - longest) / level.tight[side, c])
        if side != 2:
            loose = (1 + (n.slack + shortest) / level.slack[side, c]) / 2
            share = np.minimum(share, np.maximum(loose, LEAST))
    return share


def _gin(job: Job, distance: Array, z: Array, steepness: Array) -> Array:
    n = job.numbers
    lift = np.pi / 2 - n.gin_angle
    rise, away = np.tan(lift), np.cos(lift)
    under = (distance >= n.gin_foot * away - 0.02) & (distance <= n.gin * away + 0.5)
    room = np.minimum(distance[under], n.gin * away) * rise - n.gin_radius - z[:, under]
    least = room.min(axis=1)
    return np.where(least > 0, least * steepness, least) - n.gin_room


def _hitch(job: Job, distance: Array, z: Array, angle: Array) -> Array:
    n = job.numbers
    pole = np.pi - angle - n.gin_angle
    x = distance - (n.gin * np.cos(pole))[:, None]
    y = z + n.hitch_height - (n.gin * np.sin(pole))[:, None]
    square = x**2 + y**2
    leaves = (square[:, :-1] <= n.line_length**2) & (square[:, 1:] > n.line_length**2)
    last = leaves.shape[1] - 1 - np.argmax(leaves[:, ::-1], axis=1)
    rows = np.arange(len(z))
    x0, y0, x1, y1 = x[rows, last], y[rows, last], x[rows, last + 1], y[rows, last + 1]
    a = (x1 - x0) ** 2 + (y1 - y0) ** 2
    half, c = x0 * (x1 - x0) + y0 * (y1 - y0), x0**2 + y0**2 - n.line_length**2
    share = (np.sqrt(np.maximum(half**2 - a * c, 0)) - half) / a
    found = distance[last] + share * (distance[last + 1] - distance[last])
    return np.where(leaves.any(axis=1), found, np.nan)


def _pull(job: Job, distance: Array, z: Array, start: Array) -> Array:
    n = job.numbers
    last = min(np.arctan2(n.weight_along, n.weight_across), np.pi / 2)
    least = np.full(len(z), np.inf)
    for k in range(7):
        angle = start + (last - start) * k / 6
        moment = n.weight_along * np.cos(angle) - n.weight_across * np.sin(angle)
        moment = STANDARD_GRAVITY * np.maximum(moment, 0)
        pole = np.pi - angle - n.gin_angle
        tip_x, tip_y = n.gin * np.cos(pole), n.gin * np.sin(pole)
        hitch = np.nan_to_num(_hitch(job, distance, z, angle))
        hitch_y = _at(distance, z, hitch) + n.hitch_height
        ux, uy = hitch - tip_x, hitch_y - tip_y
        lever = (tip_y * ux - tip_x * uy) / np.hypot(ux, uy)
        slope = np.arctan((_at(distance, z, hitch + 4) - _at(distance, z, hitch + 1)) / 3)
        above = np.arctan2(tip_y - hitch_y, np.abs(tip_x - hitch)) + slope
        cost = np.cos(above) + n.net_grip * np.sin(above)
        spare = n.vehicle_weight * (n.net_grip * np.cos(slope) - np.sin(slope))
        pull = moment / np.where(lever > 0, lever, np.nan) * n.hitch_share
        found = np.where(cost > 0, np.maximum(spare / cost, 0) - pull, np.inf)
        least = np.minimum(least, np.where(lever > 0, found, -np.inf))
    return least
