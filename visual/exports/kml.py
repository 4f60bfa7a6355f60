"""KML 2.2: folders by subject, styled; altitudes are heights above the ground.

A site's heights belong to a height system of its own, while an absolute altitude in KML is above
sea level as the viewer knows it, and the viewer has a ground of its own. So nothing is given an
absolute altitude: what lies on the ground is clamped to it, and everything else keeps its height
above the ground right below it.
"""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from fastkml import Data, Document, ExtendedData, Folder, Placemark, Style, StyleUrl
from fastkml import kml as kml_file
from fastkml.enums import AltitudeMode
from fastkml.geometry import (
    Coordinates,
    InnerBoundaryIs,
    LinearRing,
    LineString,
    MultiGeometry,
    OuterBoundaryIs,
    Point,
    Polygon,
)
from fastkml.styles import LabelStyle, LineStyle, PolyStyle

from visual.exports.drawing import Drawing, Item, Layer, Points
from visual.exports.drawing import Polygon as Rings
from visual.exports.look import colour
from visual.ground import Surface

DECIMALS = 9
"""Of all coordinates: 0.1 mm in degrees."""

_FILL = 0x40  # opacity of areas, of 255
_LEFT_OUT = frozenset({"ground"})  # a viewer has its own
_TO_GROUND = AltitudeMode.relative_to_ground

Shape = Point | LineString | Polygon


def write_kml(drawing: Drawing, ground: Surface, path: Path) -> None:
    """Write all layers but the ground.

    Parameters
    ----------
    drawing : Drawing
        The layers.
    ground : Surface
        The ground that altitudes count from.
    path : Path
        The file.

    Raises
    ------
    ValueError
        If the site has no place on Earth.
    """
    layers = [layer for layer in drawing.layers if layer.key not in _LEFT_OUT]
    document = Document(
        name=drawing.site,
        description=drawing.standing,
        styles=[_style(layer) for layer in layers],
        features=[_folder(drawing, ground, layer) for layer in layers],
    )
    text = kml_file.KML(features=[document]).to_string(precision=DECIMALS)
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    path.write_text(head + text, encoding="utf-8", newline="\n")


def _style(layer: Layer) -> Style:
    red, green, blue = colour(layer)
    rest = f"{blue:02x}{green:02x}{red:02x}"
    return Style(
        id=f"style_{layer.key}",
        styles=[
            LabelStyle(scale=0.8),
            LineStyle(color=f"ff{rest}", width=2.0),
            PolyStyle(color=f"{_FILL:02x}{rest}"),
        ],
    )


def _folder(drawing: Drawing, ground: Surface, layer: Layer) -> Folder:
    marks = (_placemark(drawing, ground, layer, item) for item in layer.items)
    return Folder(
        id=layer.key,
        name=layer.key.replace("_", " "),
        description=layer.word,
        features=[mark for mark in marks if mark is not None],
    )


def _placemark(drawing: Drawing, ground: Surface, layer: Layer, item: Item) -> Placemark | None:
    shapes = list(_shapes(drawing, ground, item, on_ground=layer.on_ground))
    if not shapes:
        return None
    data = [
        Data(name=key, value=str(value))
        for key, value in item.attributes.items()
        if value is not None
    ]
    return Placemark(
        name=item.name,
        style_url=StyleUrl(url=f"#style_{layer.key}"),
        extended_data=ExtendedData(elements=data) if data else None,
        kml_geometry=shapes[0] if len(shapes) == 1 else MultiGeometry(kml_geometries=shapes),
    )


def _shapes(drawing: Drawing, ground: Surface, item: Item, *, on_ground: bool) -> Iterator[Shape]:
    """Yield a thing as areas, else as lines, else as a place."""
    for polygon in item.areas:
        yield _area(drawing, ground, polygon, top=item.top)
    if item.areas:
        return
    for path in item.paths:
        yield _line(drawing, ground, path, on_ground=on_ground)
    if not item.paths and item.at is not None:
        mode, coordinates = _placed(drawing, ground, item.at[None], on_ground=on_ground)
        yield Point(altitude_mode=mode, kml_coordinates=coordinates)


def _area(drawing: Drawing, ground: Surface, polygon: Rings, *, top: float | None) -> Polygon:
    """Return an area: a prism up to `top`, or clamped to the ground if there is none."""
    rings = polygon
    if top is not None:
        rings = tuple(np.column_stack([r[:, :2], np.full(len(r), top)]) for r in polygon)
    placed = [_placed(drawing, ground, ring, on_ground=top is None) for ring in rings]
    mode = placed[0][0]
    outer, *inner = (LinearRing(kml_coordinates=coordinates) for _, coordinates in placed)
    stands = mode == _TO_GROUND
    return Polygon(
        extrude=True if stands else None,
        tessellate=None if stands else True,
        altitude_mode=mode,
        outer_boundary=OuterBoundaryIs(kml_geometry=outer),
        inner_boundaries=[InnerBoundaryIs(kml_geometry=ring) for ring in inner],
    )


def _line(drawing: Drawing, ground: Surface, path: Points, *, on_ground: bool) -> LineString:
    mode, coordinates = _placed(drawing, ground, path, on_ground=on_ground)
    flat = mode == AltitudeMode.clamp_to_ground
    return LineString(
        tessellate=True if flat else None, altitude_mode=mode, kml_coordinates=coordinates
    )


def _placed(
    drawing: Drawing, ground: Surface, points: Points, *, on_ground: bool
) -> tuple[AltitudeMode, Coordinates]:
    """Return coordinates with the height above the ground, or clamped to it.

    What has no known height above the ground is clamped: a made-up one would look measured.
    """
    degrees = np.round(drawing.to_degrees(points)[:, :2], DECIMALS)
    above = points[:, 2] - ground.height(points[:, 0], points[:, 1])
    if on_ground or not np.isfinite(above).all():
        flat = [(float(lon), float(lat)) for lon, lat in degrees]
        return AltitudeMode.clamp_to_ground, Coordinates(coords=flat)
    raised = [
        (float(lon), float(lat), float(up)) for (lon, lat), up in zip(degrees, above, strict=True)
    ]
    return _TO_GROUND, Coordinates(coords=raised)
