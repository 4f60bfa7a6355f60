"""Colours of layers, from the one palette of pictures."""

import numpy as np
from numpy.typing import NDArray

from visual.exports.drawing import Layer, Points
from visual.scene.shade import LIGHT
from visual.scene.style import GROUND_DARK, GROUND_LIGHT, RGB, role

Share = tuple[float, float, float, float]
"""Red, green, blue and opacity, 0 … 1."""

FAINT = 0.22
"""Opacity of covers on the ground and of clearances: what lies behind them still shows."""

GROUND: RGB = (226, 214, 190)
"""The ground without its shading: darker than on a picture, so that it reads on white."""

_CONTRAST = 2.0  # of the hill shade: 1 would be that of bare light, too pale on gentle ground


def colour(layer: Layer) -> RGB:
    """Return the colour of a layer, 0 … 255."""
    return GROUND if layer.key == "ground" else role(layer.role).color


def face_colour(layer: Layer) -> RGB:
    """Return the colour of the faces of a layer, 0 … 255."""
    return role(layer.faces_role).color if layer.faces_role else colour(layer)


def shares(rgb: RGB, opacity: float = 1.0) -> Share:
    """Return a colour in shares of 1."""
    red, green, blue = (part / 255 for part in rgb)
    return red, green, blue, opacity


def hill_colours(vertices: Points, triangles: NDArray[np.int32]) -> NDArray[np.float64]:
    """Return the hill shade of the corners of ground as colours, shape (n, 3), 0 … 1."""
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    faces = np.cross(b - a, c - a)  # as long as twice the area: large faces count for more
    normals = np.zeros_like(vertices)
    for k in range(3):
        np.add.at(normals, triangles[:, k], faces)
    length = np.linalg.norm(normals, axis=1)
    facing = normals @ LIGHT / np.where(length > 0, length, 1.0)
    light = np.clip(0.7 + _CONTRAST * (facing - LIGHT[2]), 0.0, 1.0)[:, None]
    dark, bright = np.array(GROUND_DARK, float), np.array(GROUND_LIGHT, float)
    return np.asarray((dark + light * (bright - dark)) / 255)
