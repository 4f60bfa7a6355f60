"""The mast of a search put up at one of its places: a model for the checks, made without a file.

The ground is that of the search: the nodes of its lattice around the place. What stands around is
where the search found it, moved to the frame of the place; what is out of reach is left out.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate

from visual.checks.in_front import judge_gin_pole
from visual.checks.lane import judge_strips
from visual.checks.moving import find_clearances, find_obstacles
from visual.checks.setback import find_setbacks
from visual.ground import DemPatch, Surface
from visual.model import Model, Surroundings, build_model
from visual.raising import analyse_raise
from visual.search.causes import Cause
from visual.search.cover import ANCHORS, CLEARANCE, NEAREST_PART
from visual.search.job import Job

Array = NDArray[np.float64]

SPARE_NODES = 2
"""Nodes beyond what the raise reaches."""


@dataclass(frozen=True, eq=False)
class Stand:
    """A place with its ground and what stands near, for any front.

    Parameters
    ----------
    site : Model
        The site that is searched.
    ground : Surface
        The ground around, in the frame of the place.
    around : Surroundings
        What stands near, in the frame of the place.
    """

    site: Model
    ground: Surface
    around: Surroundings

    def facing(self, front: float) -> Model:
        """Return the model of the mast there with a front bearing [rad]."""
        rig = replace(self.site.rig, front=front)
        mast = self.site.site.mast.model_copy(update={"front": front})
        site = self.site.site.model_copy(update={"mast": mast})
        return build_model(self.ground, site, rig, frame=self.site.frame, surroundings=self.around)


def stand_at(model: Model, job: Job, spot: Array) -> Stand | None:
    """Put the mast up at a place; None where the ground is unknown.

    Parameters
    ----------
    model : Model
        The site.
    job : Job
        The search.
    spot : ndarray, shape (2,)
        The place. [m]
    """
    heights = _nodes(job, spot)
    surface = Surface(dem=heights, survey=None, accuracy=model.ground.accuracy)
    ground = float(surface.height(0.0, 0.0))
    if np.isnan(ground):
        return None
    lift = ground + job.numbers.hinge
    surface = Surface(
        dem=replace(heights, z=heights.z - lift), survey=None, accuracy=model.ground.accuracy
    )
    by = np.array([*spot, lift])
    reach = job.margin * job.lattice.cell + _farthest_kept(job)
    return Stand(model, surface, _moved(model.surroundings, by, reach))


def _nodes(job: Job, spot: Array) -> DemPatch:
    """Return the nodes of the lattice around a place, the place their origin in plan."""
    half = job.margin + SPARE_NODES
    row, column = (int(np.floor(value)) for value in job.lattice.index(spot[0], spot[1]))
    shape = (2 * half, 2 * half)
    z = job.lattice.heights(row - half + 1, column - half + 1, shape)
    rows, columns = np.indices(shape, dtype=float)
    east, north = job.lattice.places(rows + row - half + 1, columns + column - half + 1)
    return DemPatch(east - spot[0], north - spot[1], z, file="ground of the search")


def _farthest_kept(job: Job) -> float:
    """Return how far beyond the reach of the raise something can matter. [m]"""
    kept = (*job.around.clear, *job.around.nearest_part, *job.around.anchors)
    asked = max((one.required for one in kept), default=0.0)
    return asked + float(job.level.field.max()) + 1.0


def _moved(around: Surroundings, by: Array, reach: float) -> Surroundings:
    """Return what stands within reach of a place, in the frame of the place.

    Boundaries stay, however far: to be outside of one matters everywhere.
    """
    spot, (east, north, lift) = shapely.Point(by[0], by[1]), by
    areas = [a for a in around.areas if a.kind == "boundary" or a.shape.distance(spot) <= reach]
    return Surroundings(
        buildings=tuple(
            replace(
                one,
                footprint=translate(one.footprint, -east, -north),
                base=one.base - lift,
                top=one.top - lift,
            )
            for one in around.buildings
            if one.footprint.distance(spot) <= reach
        ),
        trees=tuple(
            replace(one, foot=one.foot - by)
            for one in around.trees
            if np.hypot(*(one.foot - by)[:2]) <= reach + one.crown_radius
        ),
        lines=tuple(
            replace(one, supports=one.supports - by, support_feet=one.support_feet - lift)
            for one in around.lines
            if shapely.LineString(one.supports[:, :2]).distance(spot) <= reach + one.spread
        ),
        areas=tuple(replace(a, shape=translate(a.shape, -east, -north)) for a in areas),
    )


Left = tuple[float, Cause]
"""What a check leaves, and its cause."""

Needed = Callable[[Cause], bool]
"""Says if a check is wanted; asked when its turn comes."""


def checks_of(model: Model, job: Job, needed: Needed) -> Iterator[Left]:
    """Yield what the checks leave that the search knows by bounds only; the longest to do last.

    Parameters
    ----------
    model : Model
        The mast at its place; see `Stand.facing`.
    job : Job
        The search.
    needed : callable
        Which of them are wanted.
    """
    raised = analyse_raise(model)
    known = not (np.isnan(raised.tow.distance).any() or np.isnan(raised.hitch_distances).any())
    yield (1.0 if known else -1.0), Cause.LANE_LENGTH
    if needed(Cause.LAYDOWN_PLAN) or needed(Cause.LANE_PLAN):
        stops = [one.check for one in judge_strips(model, raised) if one.status == "stop"]
        yield (-1.0 if "laydown" in stops else 1.0), Cause.LAYDOWN_PLAN
        yield (-1.0 if "tow lane" in stops else 1.0), Cause.LANE_PLAN
    if needed(Cause.SETBACK):
        yield _setbacks(model, job), Cause.SETBACK
    if needed(Cause.GIN_TIP):
        (gin,) = judge_gin_pole(model, raised)
        yield (-math.inf if gin.margin is None else gin.margin / job.level.gin), Cause.GIN_TIP
    if needed(Cause.CLEARANCE):
        found = find_clearances(model, raised, find_obstacles(model).obstacles)
        least = min((one.margin for one in found), default=math.inf)
        yield least / float(job.level.field[CLEARANCE]), Cause.CLEARANCE


def _setbacks(model: Model, job: Job) -> float:
    unit = {"nearest_part": job.level.field[NEAREST_PART], "anchors": job.level.field[ANCHORS]}
    left = [
        one.margin / unit[one.measured_from]
        for one in find_setbacks(model)
        if one.measured_from in unit
    ]
    return float(min(left, default=1.0))
