"""What plan alone leaves at each bearing of a place: strips and setbacks as exact polygons.

The bound of the search lays discs over all this. Here the polygons of the checks themselves are
held against what stands around, for all bearings of one place at once, without a model: it says
which bearings are worth one.
"""

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.checks.lane import LAYDOWN_WIDTH
from visual.checks.tow_parts import VEHICLE_LENGTH
from visual.model import Model
from visual.search.around import Kept, Points
from visual.search.causes import Cause
from visual.search.cover import ANCHORS, NEAREST_PART
from visual.search.job import Job

Array = NDArray[np.float64]

OF_PLAN = (Cause.LAYDOWN_PLAN, Cause.LANE_PLAN, Cause.SETBACK)


def plan_shares(model: Model, job: Job, spot: Array, hitch: Array) -> Array:
    """Return what strips and setbacks leave at every bearing of a place.

    Parameters
    ----------
    model : Model
        The site.
    job : Job
        The search.
    spot : ndarray, shape (2,)
        The place. [m]
    hitch : ndarray, shape (b, 2)
        Where the hitch begins and ends at each bearing; NaN where the lane is not looked at. [m]

    Returns
    -------
    ndarray, shape (3, b)
        For the causes `OF_PLAN`; 1 where nothing is near.
    """
    bearings = job.tables[0].bearings
    head = model.rig.mast.head
    wide = max(LAYDOWN_WIDTH, head.rotor_diameter if head else 0.0)
    zero = np.zeros(len(bearings))
    laid = _strips(spot, bearings, zero, zero - model.rig.mast.reach, wide)
    ends = np.sort(np.nan_to_num(hitch), axis=1)
    lane = _strips(
        spot, bearings, ends[:, 0], ends[:, 1] + VEHICLE_LENGTH, model.site.limits.lane_width.value
    )
    driven = np.isfinite(hitch).all(axis=1) & job.numbers.vehicle
    return np.stack(
        [
            _free(job, laid),
            np.where(driven, _free(job, lane), 1.0),
            _setbacks(model, job, spot, bearings),
        ]
    )


def _strips(spot: Array, bearings: Array, inner: Array, outer: Array, wide: float) -> Points:
    """Return strips along front bearings between two distances from a place."""
    ahead = np.stack([np.sin(bearings), np.cos(bearings)], axis=-1)
    aside = np.stack([ahead[:, 1], -ahead[:, 0]], axis=-1) * wide / 2
    ends = [spot + inner[:, None] * ahead, spot + outer[:, None] * ahead]
    corners = [ends[0] - aside, ends[0] + aside, ends[1] + aside, ends[1] - aside]
    return np.asarray(shapely.polygons(np.stack(corners, axis=1)))


def _free(job: Job, strips: Points) -> Array:
    return np.where(shapely.intersects(job.around.blocking, strips), -1.0, 1.0)


def _setbacks(model: Model, job: Job, spot: Array, bearings: Array) -> Array:
    """Return what the setbacks of parts and anchors leave at every bearing."""
    n, around, unit = job.numbers, job.around, job.level.field
    turn = bearings[:, None] + n.anchor_turn + np.arange(4) * math.pi / 2
    eyes = spot + n.anchor_radius[:, None] * np.stack([np.sin(turn), np.cos(turn)], axis=-1)
    wires = shapely.linestrings(np.stack([np.broadcast_to(spot, eyes.shape), eyes], axis=-2))
    head = model.rig.mast.head
    rotor = head.rotor_radius if head else 0.0
    least = np.ones(len(bearings))
    for kept in around.nearest_part:
        away = np.minimum(
            _away(kept, wires).min(axis=1), float(_away(kept, shapely.points(spot))) - rotor
        )
        least = np.minimum(least, (away - kept.required) / unit[NEAREST_PART])
    for kept in around.anchors:
        away = _away(kept, shapely.points(eyes)).min(axis=1)
        least = np.minimum(least, (away - kept.required) / unit[ANCHORS])
    return least


def _away(kept: Kept, shapes: Points) -> Array:
    """Return distances in plan; no more than 0 where a shape leaves a boundary."""
    away = np.asarray(shapely.distance(kept.shape, shapes), dtype=float)
    if kept.inside is None:
        return away
    return np.where(shapely.contains(kept.inside, shapes), away, -away)
