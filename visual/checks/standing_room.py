"""Ground a person can stand on: not in or under anything, not under or behind a line."""

import numpy as np
from numpy.typing import NDArray
from shapely import contains_xy, distance, intersects, linestrings, points
from shapely.ops import unary_union

from visual.checks.moving import Obstacle
from visual.checks.setback import plan_shapes
from visual.model import Model

TAKEN = ("building", "tree", "water", "keep_out", "road")
"""Kinds nobody is to stand on or under during a raise; common practice, no source."""

ROOM = 1.0  # [m] kept from each of them; common practice, no source


def is_free(
    model: Model, obstacles: tuple[Obstacle, ...], places: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Return at which places, shape (n, 2), a person can stand. [m]

    Parameters
    ----------
    model : Model
        The mast on its site.
    obstacles : tuple of Obstacle
        What clearances are measured to: of overhead lines the distance to keep is taken.
    places : ndarray, shape (n, 2)
        Where, in plan. [m]
    """
    at = points(places)
    free = np.isfinite(model.ground.height(places[:, 0], places[:, 1]))
    for kind in TAKEN:
        for _, shape in plan_shapes(model, kind):
            free &= distance(shape, at) >= ROOM
    keep = {
        one.name: one.requirement.distance or 0.0
        for one in obstacles
        if one.kind == "overhead_line"
    }
    for name, shape in plan_shapes(model, "overhead_line"):
        free &= distance(shape, at) >= max(keep.get(name, 0.0), ROOM)
        # behind a line one would have to go back under it, and it might come down with the mast
        ways = np.stack([np.zeros_like(places), places], axis=1)
        free &= ~intersects(linestrings(ways), shape)
    return np.asarray(free, dtype=bool)


def is_on_the_land(model: Model, places: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which places, shape (n, 2), lie within all boundaries that have an inside. [m]"""
    inside = np.ones(len(places), dtype=bool)
    areas = [shape for _, shape in plan_shapes(model, "boundary") if shape.area > 0]
    if areas:
        inside = contains_xy(unary_union(areas), places[:, 0], places[:, 1])
    return np.asarray(inside, dtype=bool)
