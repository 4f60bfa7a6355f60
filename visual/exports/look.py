"""Colours of layers, from the one palette of pictures."""

from visual.exports.drawing import Layer
from visual.scene.style import RGB, role

Share = tuple[float, float, float, float]
"""Red, green, blue and opacity, 0 … 1."""

FAINT = 0.22
"""Opacity of covers on the ground and of clearances: what lies behind them still shows."""

GROUND: RGB = (226, 214, 190)
"""The ground without its shading: darker than on a picture, so that it reads on white."""


def colour(layer: Layer) -> RGB:
    """Return the colour of a layer, 0 … 255."""
    return GROUND if layer.key == "ground" else role(layer.role).color


def shares(rgb: RGB, opacity: float = 1.0) -> Share:
    """Return a colour in shares of 1."""
    red, green, blue = (part / 255 for part in rgb)
    return red, green, blue, opacity
