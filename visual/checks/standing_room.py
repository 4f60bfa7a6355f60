"""Ground a person can stand on: not in or under anything, not under or behind a line."""

import numpy as np
from numpy.typing import NDArray
from shapely import contains_xy, distance, intersects, linestrings, points
from shapely.ops import unary_union

from visual.checks.setback import plan_shapes
from visual.model import Model

TAKEN = ("building", "tree", "water", "keep_out", "road")
"""Kinds nobody is to stand on or under during a raise; common practice, no source."""

ROOM = 1.0  # [m] kept from each of them; common practice, no source

UNKNOWN_LINE = 15.24
"""50 ft, kept from a line of a voltage for which no table gives a distance; no source. [m]"""


def is_free(model: Model, places: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return at which places, shape (n, 2), a person can stand. [m]

    Parameters
    ----------
    model : Model
        The mast on its site.
    places : ndarray, shape (n, 2)
        Where, in plan. [m]
    """
    at = points(places)
    free = np.isfinite(model.ground.height(places[:, 0], places[:, 1]))
    for kind in TAKEN:
        for _, shape in plan_shapes(model, kind):
            free &= distance(shape, at) >= ROOM
    # behind a line one would have to go back under it, and it might come down with the mast
    ways = linestrings(np.stack([np.zeros_like(places), places], axis=1))
    bands = [shape for _, shape in plan_shapes(model, "overhead_line")]
    for line, band in zip(model.surroundings.lines, bands, strict=True):
        required = model.site.limits.overhead_line.required(line.voltage_kv).distance
        free &= distance(band, at) >= (UNKNOWN_LINE if required is None else required)
        free &= ~intersects(ways, band)
    return np.asarray(free, dtype=bool)


def is_on_the_land(model: Model, places: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which places, shape (n, 2), lie within all boundaries that have an inside. [m]"""
    inside = np.ones(len(places), dtype=bool)
    areas = [shape for _, shape in plan_shapes(model, "boundary") if shape.area > 0]
    if areas:
        inside = contains_xy(unary_union(areas), places[:, 0], places[:, 1])
    return np.asarray(inside, dtype=bool)
