"""Soft light, baked: hill shade for the ground and a shade per face for solids.

Every renderer then draws plain colours without lamps, so that all of them agree.
"""

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.ground import hillshade, horn_gradient, lit
from visual.scene.layers import Points
from visual.scene.style import GROUND_DARK, GROUND_LIGHT, RGB

LIGHT = np.array([-0.52, 0.45, 0.73])
"""Unit vector to the light: north-west and high, as on maps."""
LIGHT = LIGHT / np.linalg.norm(LIGHT)

Shade = NDArray[np.float64] | NDArray[np.float32]
"""How light each point of a grid is, 0 … 1."""

_ALTITUDE = math.radians(42.0)  # of the light on the ground
_LIGHTS = ((315.0, 0.6), (270.0, 0.2), (0.0, 0.2))  # bearing [deg] and weight
_STRIP = 256  # rows of a grid worked on together: large grids in little memory
_DARKEST = 0.70  # brightness of a face that looks away from the light


def face_normals(vertices: Points, triangles: NDArray[np.int32]) -> NDArray[np.float64]:
    """Return unit normals of triangles; zero for triangles without area."""
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    return normal / np.where(length > 0, length, 1.0)


def face_colors(vertices: Points, triangles: NDArray[np.int32], color: RGB) -> NDArray[np.uint8]:
    """Return the shaded colour of each triangle, shape (m, 3)."""
    facing = 0.5 + 0.5 * face_normals(vertices, triangles) @ LIGHT
    bright = _DARKEST + (1.06 - _DARKEST) * facing
    return _bytes(bright[:, None] * np.array(color, float))


def hill_shade(heights: NDArray[np.float64], *, step: float) -> NDArray[np.float64]:
    """Return a soft shade of a height grid, 0 dark … 1 light; NaN stays NaN.

    Three lights around the north-west keep ridges visible that run towards the main one.

    Parameters
    ----------
    heights : ndarray, shape (rows, columns)
        Rows from south to north. [m]
    step : float
        Distance of grid points. [m]
    """
    # one point more on each side, so that the rim has slopes too
    padded = np.pad(heights, 1, mode="reflect", reflect_type="odd")[::-1]
    shade = np.zeros_like(heights)
    for bearing, weight in _LIGHTS:
        light = hillshade(padded, step=step, bearing=math.radians(bearing), altitude=_ALTITUDE)
        shade += weight * light[::-1][1:-1, 1:-1]
    return shade


def shade_of(heights: NDArray[np.float64], *, step: float) -> NDArray[np.float32]:
    """Return `hill_shade` of a large grid; points beside unknown ones are shaded as those near."""
    shade = np.empty(heights.shape, dtype=np.float32)
    padded = np.pad(heights, 1, mode="reflect", reflect_type="odd")
    for first in range(0, len(heights), _STRIP):
        strip = padded[first : first + _STRIP + 2]
        east, north = (rise[1:-1, 1:-1] for rise in horn_gradient(strip[::-1], step=step))
        light = sum(
            weight * lit(east, north, bearing=math.radians(bearing), altitude=_ALTITUDE)
            for bearing, weight in _LIGHTS
        )
        shade[first : first + _STRIP] = np.asarray(light)[::-1]
    return _carried_on(shade)


def _carried_on(shade: NDArray[np.float32]) -> NDArray[np.float32]:
    """Give points without a slope, beside those that have one, the shade nearby."""
    for _ in range(3):
        rows, columns = np.nonzero(np.isnan(shade))
        if not len(rows) or len(rows) == shade.size:
            break
        around = np.pad(shade, 1, constant_values=np.nan)
        near = np.stack(
            [
                around[rows + i, columns + j]
                for i in (0, 1, 2)
                for j in (0, 1, 2)
                if (i, j) != (1, 1)
            ]
        )
        count = np.isfinite(near).sum(axis=0)
        total = np.nansum(near, axis=0)
        some = count > 0
        shade[rows[some], columns[some]] = total[some] / count[some]
    return shade


def shaded_picture(shade: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Return `ground_picture` of a large grid."""
    picture = np.empty((*shade.shape, 3), dtype=np.uint8)
    for first in range(0, len(shade), _STRIP):
        strip = ground_picture(shade[first : first + _STRIP])
        picture[len(shade) - first - len(strip) : len(shade) - first] = strip
    return picture


def ground_picture(shade: Shade) -> NDArray[np.uint8]:
    """Return shade as ground colours, first row at the north, shape (rows, columns, 3)."""
    level = math.sin(_ALTITUDE)  # the shade of level ground
    filled: NDArray[Any] = np.nan_to_num(shade, nan=level)
    light = np.clip(0.80 + 1.7 * (filled - level), 0.0, 1.0)[::-1, :, None]
    dark, bright = np.array(GROUND_DARK, float), np.array(GROUND_LIGHT, float)
    return _bytes(dark + light * (bright - dark))


def multiply(picture: NDArray[np.uint8], shade: Shade) -> NDArray[np.uint8]:
    """Return a picture darkened and lightened a little by shade (rows from the south)."""
    level = math.sin(_ALTITUDE)
    filled: NDArray[Any] = np.nan_to_num(shade, nan=level)
    factor = np.clip(1 + 0.6 * (filled - level), 0.6, 1.2)[::-1, :, None]
    return _bytes(picture * factor)


def _bytes(colors: NDArray[np.float64]) -> NDArray[np.uint8]:
    return np.asarray(np.clip(np.rint(colors), 0, 255), dtype=np.uint8)
