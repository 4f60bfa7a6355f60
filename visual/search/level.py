"""What the rig has left on level, open ground: the measure that all margins are told in."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from visual.checks.setback import required_distance
from visual.model import Model
from visual.search.numbers import Numbers
from visual.search.tables import Tables

Array = NDArray[np.float64]


class Level(NamedTuple):
    """What is left on level ground, by check; all positive.

    Parameters
    ----------
    angle_low, angle_high : ndarray, shape (4, levels)
        Of the limits of the wire angles. [rad]
    tight, slack : ndarray, shape (4, levels)
        Of the limits of tight and slack wires. [m]
    start_caution, start_stop : float
        Of the start angles. [rad]
    gin : float
        Of the room of the gin pole. [m]
    pull : float
        Of the pull. [N]
    field : ndarray, shape (FIELDS,)
        What a distance in plan is told in. [m]
    """

    angle_low: Array
    angle_high: Array
    tight: Array
    slack: Array
    start_caution: float
    start_stop: float
    gin: float
    pull: float
    field: Array


def units_of(model: Model, n: Numbers) -> Level:
    """Return limits themselves: what is told in a limit's own size where level ground has none."""
    shape = (4, n.collars.size)
    half = (n.wire_high - n.wire_low) / 2
    tight = np.broadcast_to(np.where(np.isnan(n.tight_fixed), 0.02, n.tight_fixed), shape)
    return Level(
        angle_low=np.full(shape, half),
        angle_high=np.full(shape, half),
        tight=np.maximum(tight, 1e-3),
        slack=np.full(shape, max(n.slack, 1e-3)),
        start_caution=n.steep_caution,
        start_stop=n.steep_stop,
        gin=max(n.gin_room, 0.05),
        pull=max(n.vehicle_weight * max(n.net_grip, 0.0), 1.0),
        field=_distances(model),
    )


def _distances(model: Model) -> Array:
    """Return the largest distance asked for of each field, for `cover.FIELDS`. [m]"""
    limits = model.site.limits
    kept = [limits.building_clearance.value, limits.tree_clearance.value]
    kept += [
        limits.overhead_line.required(line.voltage_kv).distance or 0.0
        for line in model.surroundings.lines
    ]
    by_part, by_anchor = (
        [required_distance(model, r) for r in limits.setbacks if r.measured_from == origin]
        for origin in ("nearest_part", "anchors")
    )
    return np.array([max(*kept, 0.5), 1.0, max([*by_part, 0.5]), max([*by_anchor, 0.5])])


def level_of(model: Model, n: Numbers, tables: Tables, *, width: int) -> Level:
    """Return what level ground leaves, looked at with the very samples of a search.

    Parameters
    ----------
    model : Model
        Whose rig it is.
    n : Numbers
        The same as numbers.
    tables : Tables
        The samples.
    width : int
        Columns of the windows they belong to.
    """
    return _told_in(model, n, _raw_level(n, tables, width=width))


def _raw_level(n: Numbers, tables: Tables, *, width: int) -> "RawLevel":
    from visual.search import kernel_raise as kernel

    flat = np.zeros(width * width)
    middle = (width // 2) * width + width // 2
    z = np.empty(max(tables.back.distance.shape[1], tables.ahead.distance.shape[1]))
    kernel.ray_heights(flat, width, middle, 0, n.hinge, tables.back, int(tables.back.number[0]), z)
    bare = kernel.tube_angle(z, 0, tables.back, n)
    start = kernel.balls_angle(flat, width, middle, 0, n.hinge, tables.under, bare)
    e = n.eye - n.hinge
    angles = np.arctan2(n.collars[None, :] - e[:, None], n.anchor_radius[:, None])
    tight, slack = np.empty(angles.shape), np.empty(angles.shape)
    for side in range(4):
        for level in range(n.collars.size):
            tight[side, level], slack[side, level] = _changes(n, side, level, bare)
    z[:] = -n.hinge
    count = int(tables.ahead.number[0])
    distance = tables.ahead.distance[0]
    return RawLevel(
        angles=angles,
        tight=tight,
        slack=slack,
        start=float(start),
        gin=float(kernel.gin_margin(z, tables.ahead, 0, 1.0, n)),
        pull=float(kernel.pull_margin(distance, z, count, start, n, float(e[0]))),
    )


def _changes(n: Numbers, side: int, level: int, start: float) -> tuple[float, float]:
    """Return the margins of tight and slack of one wire on level ground. [m]"""
    from visual.search import kernel_raise as kernel

    radius, height = float(n.anchor_radius[side]), float(n.collars[level])
    ahead, sine, cosine = float(n.anchor_ahead[side]), math.sin(start), math.cos(start)
    e = float(n.eye[side] - n.hinge)
    k = radius**2 + height**2 + e**2
    limit = n.tight_fixed
    if math.isnan(limit):
        limit = float(n.stretch[level]) * math.sqrt(k - 2 * height * e)
    tight = limit - kernel.longest(k, height, ahead, e, sine, cosine, False)
    return tight, n.slack + kernel.longest(k, height, ahead, e, sine, cosine, True)


def _told_in(model: Model, n: Numbers, raw: "RawLevel") -> Level:
    """Return what level ground leaves; what fails even there is told in its limit instead."""
    units = units_of(model, n)

    def kept(value: float, unit: float) -> float:
        return value if value > 0.0 else unit

    def all_kept(values: Array, unit: Array) -> Array:
        return np.where(values > 0.0, values, unit)

    return Level(
        angle_low=all_kept(raw.angles - n.wire_low, units.angle_low),
        angle_high=all_kept(n.wire_high - raw.angles, units.angle_high),
        tight=all_kept(raw.tight, units.tight),
        slack=all_kept(raw.slack, units.slack),
        start_caution=kept(n.steep_caution - raw.start, units.start_caution),
        start_stop=kept(n.steep_stop - raw.start, units.start_stop),
        gin=kept(raw.gin, units.gin),
        pull=kept(raw.pull, units.pull) if math.isfinite(raw.pull) else units.pull,
        field=units.field,
    )


class RawLevel(NamedTuple):
    """Margins on level ground as they come out, negative ones too.

    Parameters
    ----------
    angles : ndarray, shape (4, levels)
        Wire angles. [rad]
    tight, slack : ndarray, shape (4, levels)
        Margins of tight and slack wires. [m]
    start : float
        Start angle. [rad]
    gin, pull : float
        Margins of gin pole [m] and pull [N].
    """

    angles: Array
    tight: Array
    slack: Array
    start: float
    gin: float
    pull: float
