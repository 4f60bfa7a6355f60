"""What does not depend on the bearing: land, setbacks of the base, fall zone, wind."""

from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.checks.distance import to_triangles
from visual.search.around import Around, Kept, Points, Tall, Wire
from visual.search.causes import LEAST, Cause
from visual.search.job import Job

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(eq=False)
class Places:
    """Places of a tile with the least share found so far; shapes (rows, columns).

    Parameters
    ----------
    x, y : ndarray
        Where they are. [m]
    points : ndarray of points
        The same as points.
    hinge : ndarray
        Height of the hinge; NaN where the ground is unknown. [m]
    share : ndarray
        Least share; −inf outside the land.
    cause : ndarray
        What leaves it.
    """

    x: Array = field(repr=False)
    y: Array = field(repr=False)
    points: Points = field(repr=False)
    hinge: Array = field(repr=False)
    share: Array = field(repr=False)
    cause: NDArray[np.uint8] = field(repr=False)

    @property
    def alive(self) -> Flags:
        """Places that nothing stops yet."""
        return np.asarray(self.share >= 0.0)

    def lower(self, places: Flags, share: Array, cause: Cause) -> None:
        """Take over lower shares of some places; unknown ones are lowest."""
        share = np.where(np.isnan(share), -np.inf, share)
        less = share < self.share[places]
        self.share[places] = np.where(less, share, self.share[places])
        self.cause[places] = np.where(less, cause, self.cause[places])


def judge_places(job: Job, x: Array, y: Array, hinge: Array) -> Places:
    """Judge all places of a tile by what does not depend on the bearing.

    Parameters
    ----------
    job : Job
        The search.
    x, y, hinge : ndarray, shape (rows, columns)
        Where the places are, and their hinges. [m]
    """
    found = Places(
        x,
        y,
        shapely.points(x, y),
        hinge,
        share=np.ones(x.shape),
        cause=np.full(x.shape, Cause.NONE, dtype=np.uint8),
    )
    land = shapely.contains_xy(job.land, x, y)
    found.lower(~land, np.full(np.count_nonzero(~land), -np.inf), Cause.LAND)
    known = found.alive
    found.lower(known, np.where(np.isnan(hinge[known]), np.nan, 1.0), Cause.GROUND)
    around = job.around
    _hold(found, around.blocking, Cause.BASE_PLACE)
    for kept in around.base:
        _keep(found, kept, Cause.BASE_SETBACK)
    for road in around.roads:
        _keep(found, road, Cause.FALL_ROAD)
    for building in around.buildings:
        _keep_from_building(found, building, job.numbers.total_height)
    for line in around.lines:
        _keep_from_line(found, line, job.numbers.total_height)
    _keep_above(job, found, around)
    return found


def _hold(found: Places, shape: shapely.Geometry, cause: Cause) -> None:
    """Stop places that lie on something that no mast can lie over."""
    if shape.is_empty:
        return
    some = found.alive
    on = shapely.intersects_xy(shape, found.x[some], found.y[some])
    found.lower(some, np.where(on, -1.0, 1.0), cause)


def _keep(found: Places, kept: Kept, cause: Cause) -> None:
    some = found.alive
    away = kept.distance(found.points[some])
    found.lower(some, (away - kept.required) / max(kept.required, 0.5), cause)


def _keep_from_building(found: Places, building: Tall, height: float) -> None:
    """Hold the distance in space from the hinge to a prism against the total height."""
    some = found.alive
    away = shapely.distance(found.points[some], building.plan)
    z = found.hinge[some]
    beside = np.maximum(np.maximum(building.base - z, z - building.top), 0.0)
    distance = np.hypot(away, beside)
    # a building of unknown height is "not checked" by the checks: here its plan counts
    distance = np.where(np.isnan(distance), away, distance)
    found.lower(some, (distance - height) / height, Cause.FALL_ZONE)


def _keep_from_line(found: Places, line: Wire, height: float) -> None:
    """Hold what a mast that falls at a line leaves against the distance to keep."""
    scale = max(line.required, 0.5)
    enough = height + line.required + scale + line.radius
    some = found.alive
    away = shapely.distance(found.points[some], line.plan)
    near = some.copy()
    near[some] = away < enough
    if not near.any():
        return
    hinges = np.stack([found.x[near], found.y[near], found.hinge[near]], axis=1)
    poses = np.repeat(hinges[:, None, :], 2, axis=1)
    distance = to_triangles(poses, line.pieces).distance - line.radius
    found.lower(near, (distance - height - line.required) / scale, Cause.FALL_LINE)


def _keep_above(job: Job, found: Places, around: Around) -> None:
    """Hold the lowest point of the rotor against what stands near; it only cautions."""
    if np.isnan(job.rotor_low) or not around.tops:
        return
    some = found.alive
    points = found.points[some]
    highest = np.full(len(points), -np.inf)
    for plan, top in around.tops:
        near = shapely.distance(points, plan) <= job.rotor_within
        highest = np.where(near, np.maximum(highest, top), highest)
    left = (found.hinge[some] + job.rotor_low - highest - job.rotor_above) / job.rotor_above
    share = np.clip((1.0 + left) / 2.0, LEAST, 1.0)
    found.lower(some, share, Cause.ROTOR_HEIGHT)
