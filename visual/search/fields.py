"""Distances in plan at the nodes of a window, and where anchors may stand."""

import math
from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from visual.search.around import Around, Kept
from visual.search.cover import ANCHORS, CLEARANCE, FIELDS, NEAREST_PART, STRIPS
from visual.search.job import Job
from visual.search.tables import Tables

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

FAR = 1e4
"""So far away that nothing comes of it. [m]"""

DISC = 4.0
"""More than the radius of any disc that is held against a field. [m]"""


def make_fields(job: Job, x: Array, y: Array) -> tuple[NDArray[np.float32], Flags]:
    """Return what is left of each distance at the nodes of a window, and which fields count.

    Between nodes distances are blended. Where the nearest thing is a corner that is up to
    c²/4d too much, with the cell c and the distance d; so much is taken off.

    Parameters
    ----------
    job : Job
        The search.
    x, y : ndarray, shape (nodes,)
        Where the nodes are. [m]

    Returns
    -------
    fields : ndarray, shape (FIELDS, nodes)
        Distances less what is asked for. [m]
    active : ndarray of bool, shape (FIELDS,)
        False where nothing is in reach.
    """
    around = job.around
    groups: dict[int, Iterable[Kept]] = {
        CLEARANCE: around.clear,
        STRIPS: _alone(around.blocking),
        NEAREST_PART: around.nearest_part,
        ANCHORS: around.anchors,
    }
    window = shapely.box(x.min(), y.min(), x.max(), y.max())
    fields = np.full((FIELDS, x.size), np.float32(FAR))
    active = np.zeros(FIELDS, dtype=bool)
    unit, spare = job.level.field, DISC + 2 * _longest_side(job)
    for number, group in groups.items():
        near = [one for one in group if _in_reach(one, window, float(unit[number]) + spare)]
        active[number] = bool(near)
        for one in near:
            some = _close_by(one, x, y, one.required + unit[number] + spare)
            away = _blunted(one.distance(shapely.points(x[some], y[some])), job.lattice.cell)
            left = (away - one.required).astype(np.float32)
            fields[number, some] = np.minimum(fields[number, some], left)
    return fields, active


def _alone(shape: BaseGeometry) -> tuple[Kept, ...]:
    return () if shape.is_empty else (Kept("", shape, 0.0),)


def _in_reach(kept: Kept, window: BaseGeometry, unit: float) -> bool:
    if kept.inside is not None and not shapely.contains(kept.inside, window):
        return True
    return bool(shapely.distance(kept.shape, window) <= kept.required + unit)


def _close_by(kept: Kept, x: Array, y: Array, reach: float) -> Flags:
    """Tell which nodes lie so near that their distance can matter; beyond, it only has to be far.

    A boundary matters everywhere outside.
    """
    if kept.inside is not None:
        return np.ones(x.shape, dtype=bool)
    xmin, ymin, xmax, ymax = kept.shape.bounds
    near = (x >= xmin - reach) & (x <= xmax + reach) & (y >= ymin - reach) & (y <= ymax + reach)
    return np.asarray(near)


def _longest_side(job: Job) -> float:
    return float(max(np.hypot(*job.lattice.down), np.hypot(*job.lattice.right)))


def _blunted(distance: Array, cell: float) -> Array:
    return distance - cell**2 / (4 * np.maximum(np.abs(distance), cell))


def free_bearings(job: Job, tables: Tables, x: Array, y: Array, alive: Flags) -> Flags:
    """Tell at which bearings all four anchors stand on the land and on nothing forbidden.

    Parameters
    ----------
    job : Job
        The search.
    tables : Tables
        Its samples.
    x, y : ndarray, shape (rows, columns)
        The places. [m]
    alive : ndarray of bool, shape (rows, columns)
        Which of them matter.

    Returns
    -------
    ndarray of bool, shape (rows, columns, bearings) or (rows, 0, 0)
        Empty where all are free.
    """
    n, around = job.numbers, job.around
    reach = float(n.anchor_radius.max()) + 1e-3
    near = alive.copy()
    near[alive] = _near_trouble(around, x[alive], y[alive], reach)
    if not near.any():
        return np.empty((len(x), 0, 0), dtype=bool)
    count = tables.bearings.size
    free = np.ones((*x.shape, count), dtype=bool)
    good = np.ones((np.count_nonzero(near), count), dtype=bool)
    for side in range(4):
        turn = tables.bearings + side * math.pi / 2 + n.anchor_turn[side]
        east = x[near][:, None] + n.anchor_radius[side] * np.sin(turn)
        north = y[near][:, None] + n.anchor_radius[side] * np.cos(turn)
        if around.land is not None:
            good &= shapely.contains_xy(around.land, east, north)
        if not around.forbidden.is_empty:
            good &= ~shapely.intersects_xy(around.forbidden, east, north)
    free[near] = good
    return free


def _near_trouble(around: Around, x: Array, y: Array, reach: float) -> Flags:
    points = shapely.points(x, y)
    near = np.zeros(len(points), dtype=bool)
    if around.land is not None:
        near |= shapely.distance(points, around.land.boundary) <= reach
        near |= ~shapely.contains_xy(around.land, x, y)
    if not around.forbidden.is_empty:
        near |= shapely.distance(points, around.forbidden) <= reach
    return near
