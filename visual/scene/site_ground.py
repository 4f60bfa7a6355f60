"""The ground of a model as layers: extent, shading or aerial image, contours."""

import math
from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from visual.ground import GroundImage, contour_interval, read_image
from visual.model import Model
from visual.scene.ground import block_sides, contour_layers, fine_shade, ground_layer, shaded_ground
from visual.scene.layers import AnyLayer
from visual.scene.shade import multiply
from visual.scene.terrain import Terrain
from visual.scene.thin_terrain import ThinTerrain, thin_ground_layer

_FARTHEST = 400.0  # ground beyond this from the base is not drawn [m]
_CELLS = 400
_NEAR = 3.0  # contours suit the relief within this many total heights
_SPARSE = 1.3  # fewer contours than a map has: zones and wires come first
_INDEX = 5  # every fifth contour is heavier
_FOOT = 0.3048

T = TypeVar("T", np.float64, np.uint8)


def model_terrain(model: Model) -> Terrain:
    """Sample the ground of a model for drawing."""
    return Terrain.sample(model.ground.height, bounds=drawn_bounds(model), cells=_CELLS)


def drawn_bounds(model: Model) -> tuple[float, float, float, float]:
    """Return west, south, east and north end of the ground that is drawn. [m]"""
    west, south, east, north = model.ground.bounds
    far = max(_FARTHEST, 8 * model.rig.mast.total_height)
    return max(west, -far), max(south, -far), min(east, far), min(north, far)


def site_ground_layers(model: Model, terrain: Terrain) -> list[AnyLayer]:
    """Return ground, its cut sides and its contours."""
    depth = 0.03 * (terrain.east - terrain.west)
    if isinstance(terrain, ThinTerrain):
        ground: AnyLayer = thin_ground_layer(terrain, image=_image(model, terrain))
    else:
        ground = ground_layer(terrain, picture=_picture(model, terrain))
    return [ground, block_sides(terrain, depth=depth), *site_contours(model, terrain)]


def contour_note(model: Model, terrain: Terrain) -> str:
    """Return how far apart the contours are, in words."""
    unit, sign = height_unit(model)
    interval = drawn_interval(model, terrain) / unit
    return f"contours {interval:g} {sign}, heavy {_INDEX * interval:g} {sign}"


def height_unit(model: Model) -> tuple[float, str]:
    """Return metres per unit of the heights on contours, and its sign."""
    return (1.0, "m") if model.site.site.units == "metric" else (_FOOT, "ft")


def drawn_interval(model: Model, terrain: Terrain) -> float:
    """Return how far apart the drawn contours are. [m]"""
    near = _NEAR * model.rig.mast.total_height
    x, y = np.meshgrid(np.linspace(-near, near, 61), np.linspace(-near, near, 61))
    heights = terrain.height(x, y)
    known = heights[np.isfinite(heights)]
    relief = float(np.ptp(known)) if known.size else 10.0
    return contour_interval(_SPARSE * relief, unit=height_unit(model)[0])


def site_contours(model: Model, terrain: Terrain) -> Sequence[AnyLayer]:
    """Return the contours, at heights that are round in the units of the site."""
    unit, _ = height_unit(model)
    interval, datum = drawn_interval(model, terrain), model.frame.origin_height
    if isinstance(terrain, ThinTerrain):
        lines = terrain.contours(interval, offset=datum)
    else:
        bounds = (terrain.west, terrain.south, terrain.east, terrain.north)
        lines = model.ground.contours(bounds, interval, offset=datum)
    decimals = max(0, -math.floor(math.log10(interval / unit * _INDEX) + 1e-9))

    def is_index(level: float) -> bool:
        return round((level + datum) / interval) % _INDEX == 0

    return contour_layers(
        terrain,
        [(line.level, line.path) for line in lines],
        is_index=is_index,
        text=lambda level: f"{(level + datum) / unit:.{decimals}f}",
    )


def _picture(model: Model, terrain: Terrain) -> NDArray[np.uint8] | None:
    """Return the aerial image with hill shade in it, or None for hill shade alone."""
    image = _image(model, terrain)
    return None if image is None else _shaded_image(image, terrain)


def _image(model: Model, terrain: Terrain) -> GroundImage | None:
    name = model.site.ground.image
    if name is None:
        return None
    bounds = (terrain.west, terrain.south, terrain.east, terrain.north)
    path, crs = model.site.resolve(name), model.site.site.crs
    return read_image(path, frame=model.frame, bounds=bounds, crs=crs)


def _shaded_image(image: GroundImage, terrain: Terrain) -> NDArray[np.uint8]:
    """Lay hill shade over an image; where the image has no picture the plain ground shows."""
    rows, columns = image.known.shape
    shade = _resized(fine_shade(terrain)[..., None], rows, columns)[..., 0]
    plain = _resized(shaded_ground(terrain), rows, columns)
    # paled, so that lines and zones stay the loudest things on the picture
    pale = np.rint(255 - 0.65 * (255 - multiply(image.rgb, shade).astype(float))).astype(np.uint8)
    return np.where(image.known[..., None], pale, plain)


def _resized(picture: NDArray[T], rows: int, columns: int) -> NDArray[T]:
    """Return a picture at another size, nearest pixel."""
    r = np.minimum(np.arange(rows) * picture.shape[0] // rows, picture.shape[0] - 1)
    c = np.minimum(np.arange(columns) * picture.shape[1] // columns, picture.shape[1] - 1)
    found: NDArray[T] = picture[r[:, None], c]
    return found
