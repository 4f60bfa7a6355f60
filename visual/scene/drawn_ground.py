"""The ground of a site for pictures: how fine it is sampled, and where it must be exact."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from visual.checks import Report
from visual.checks.lane import lane_strip, laydown_strip
from visual.model import Model
from visual.scene.layers import Points
from visual.scene.surroundings import rings_of
from visual.scene.terrain import Terrain, densify
from visual.scene.thin_terrain import MOST_TRIANGLES, QUARTER_PIXEL, ThinTerrain, sampled_ground

_NEAREST = 5.0  # nobody looks at the ground from nearer [m]
_FARTHEST = 3.0  # ground of an overview is looked at from so many total heights, or farther
_BESIDE = 2.0  # ground this near to what stands on it is drawn as it is [m]


def drawn_ground(report: Report, bounds: tuple[float, float, float, float]) -> ThinTerrain:
    """Return the ground of a judged model for pictures.

    At the sampled points it is exact where the mast is laid, where the vehicle drives and within
    2 m of what stands on the ground. Elsewhere it is off by a quarter of a pixel at most, seen from
    the nearest viewpoint or from where an overview is taken, unless that takes more than
    `MOST_TRIANGLES`.

    Parameters
    ----------
    report : Report
        The judged model.
    bounds : tuple of float
        West, south, east and north end. [m]
    """
    whole = sampled_ground(report.model.ground, bounds)
    away = _looked_at_from(report.model, whole)
    return _thinned(report.model, whole, away, worked_on=tuple(_working(report)))


def searched_ground(model: Model, bounds: tuple[float, float, float, float]) -> ThinTerrain:
    """Return the ground of a search for pictures, which are taken from as far as it is wide.

    It is exact within 2 m of what stands on the ground; see `drawn_ground`.

    Parameters
    ----------
    model : Model
        The site.
    bounds : tuple of float
        West, south, east and north end. [m]
    """
    whole = sampled_ground(model.ground, bounds)
    away = np.full(whole.heights.shape, max(whole.east - whole.west, whole.north - whole.south))
    return _thinned(model, whole, away, worked_on=())


def _thinned(
    model: Model, whole: Terrain, away: NDArray[np.float64], *, worked_on: Sequence[Points]
) -> ThinTerrain:
    """Cover sampled ground with few triangles for pictures from so far away [m]."""
    allowed = QUARTER_PIXEL * away
    allowed[_exact(model, whole, worked_on)] = 0.0
    return ThinTerrain.thinned(whole, allowed=allowed, most=MOST_TRIANGLES)


def _looked_at_from(model: Model, whole: Terrain) -> NDArray[np.float64]:
    """Return the distance in plan that each grid point is looked at from, at least. [m]"""
    rows, columns = whole.heights.shape
    x = whole.west + whole.step * np.arange(columns)
    y = whole.south + whole.step * np.arange(rows)[:, None]
    square = np.full((rows, columns), (_FARTHEST * model.rig.mast.total_height) ** 2)
    for viewpoint in model.surroundings.viewpoints:
        east, north = viewpoint.eye[:2]
        np.minimum(square, (x - east) ** 2 + (y - north) ** 2, out=square)
    return np.asarray(np.maximum(np.sqrt(square), _NEAREST))


def _exact(model: Model, whole: Terrain, worked_on: Sequence[Points]) -> NDArray[np.bool_]:
    """Return which grid points the drawn ground must hold."""
    marked = np.zeros(whole.heights.shape, dtype=bool)
    for path in _standing(model):
        _mark(whole, path, marked)
    marked = _widened(marked, round(_BESIDE / whole.step) + 1)
    for box in worked_on:
        _fill(whole, box, marked)
    return marked


def _standing(model: Model) -> Iterator[NDArray[np.float64]]:
    """Yield plan lines and places of what stands on the ground."""
    around = model.surroundings
    for building in around.buildings:
        yield from rings_of(building.footprint)
    for tree in around.trees:
        yield tree.foot[None]
    for line in around.lines:
        yield from line.supports[:, None]
    for anchor in model.anchors.values():
        yield anchor.eye[None]


def _working(report: Report) -> Iterator[Points]:
    """Yield outlines of the ground that is worked on."""
    model = report.model
    yield from rings_of(laydown_strip(model))
    lane = lane_strip(model, report.raised)
    if lane is not None:
        yield from rings_of(lane)


def _mark(whole: Terrain, path: NDArray[np.float64], marked: NDArray[np.bool_]) -> None:
    """Mark the grid points nearest to a plan line."""
    plan = np.asarray(path, float)[:, :2]
    plan = densify(plan, whole.step) if len(plan) > 1 else plan
    plan = plan[np.isfinite(plan).all(axis=1)]
    place = np.rint((plan - [whole.west, whole.south]) / whole.step).astype(int)
    inside = ((place >= 0) & (place < marked.shape[::-1])).all(axis=1)
    marked[place[inside, 1], place[inside, 0]] = True


def _widened(marked: NDArray[np.bool_], cells: int) -> NDArray[np.bool_]:
    """Return also everything that is at most so many cells from a mark, along both axes."""
    for axis in (0, 1):
        count = np.cumsum(np.moveaxis(marked, axis, 0), axis=0, dtype=np.int32)
        last = np.minimum(np.arange(len(count)) + cells, len(count) - 1)
        before = np.arange(len(count)) - cells - 1
        less = np.where((before >= 0)[:, None], count[np.maximum(before, 0)], 0)
        marked = np.moveaxis(count[last] > less, 0, axis)
    return marked


def _fill(whole: Terrain, ring: Points, marked: NDArray[np.bool_]) -> None:
    """Mark the grid points within the box of an outline, and one more on each side."""
    plan = (ring[:, :2] - [whole.west, whole.south]) / whole.step
    low = np.maximum(np.floor(plan.min(axis=0)).astype(int) - 1, 0)
    high = np.maximum(np.ceil(plan.max(axis=0)).astype(int) + 2, 0)
    marked[low[1] : high[1], low[0] : high[0]] = True
