"""GeoJSON as RFC 7946 asks: WGS 84 longitude and latitude, one collection of all things.

Positions carry no third number: RFC 7946 means by it the height above the ellipsoid, which a
site does not know. Heights stand in the properties.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import MultiLineString, MultiPolygon, box, mapping
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from visual.exports.drawing import Drawing, Item, Layer, Points
from visual.exports.plan import plan_geometry, simplest

DECIMALS = 9  # 0.1 mm


def write_geojson(drawing: Drawing, path: Path) -> None:
    """Write all layers but the ground; ValueError if the site has no place on Earth."""
    document = {
        "type": "FeatureCollection",
        "name": drawing.site,
        "date": drawing.date or None,
        "note": drawing.standing,
        "features": list(_features(drawing)),
    }
    text = json.dumps(document, ensure_ascii=False, allow_nan=False)
    path.write_text(text + "\n", encoding="utf-8", newline="\n")


def _features(drawing: Drawing) -> Iterator[dict[str, Any]]:
    for layer in drawing.layers:
        for item in layer.items:
            feature = _feature(drawing, layer, item)
            if feature is not None:
                yield feature


def _feature(drawing: Drawing, layer: Layer, item: Item) -> dict[str, Any] | None:
    hinge = drawing.to_degrees(np.zeros((1, 3)))[0, 0]

    def degrees(points: Points) -> Points:
        longitude, latitude = drawing.to_degrees(points)[:, :2].T
        near = hinge + (longitude - hinge + 180.0) % 360.0 - 180.0
        return np.round(np.column_stack([near, latitude]), DECIMALS)

    geometry = plan_geometry(item, degrees)
    if geometry is None:
        return None
    return {
        "type": "Feature",
        "geometry": mapping(simplest(cut_at_180(geometry))),
        "properties": {"layer": layer.key, "name": item.name, **item.attributes},
    }


def cut_at_180(geometry: BaseGeometry) -> BaseGeometry:
    """Return a geometry cut at the 180th meridian, with longitudes from -180 to 180 (§ 3.1.9)."""
    low, _, high, _ = geometry.bounds
    if low >= -180.0 and high <= 180.0:
        return geometry
    turned = [
        translate(geometry.intersection(box(turns - 180.0, -90.0, turns + 180.0, 90.0)), -turns)
        for turns in (-360.0, 0.0, 360.0)
    ]
    parts = [part for one in turned for part in shapely.get_parts(one) if not part.is_empty]
    whole = shapely.get_parts(geometry)[0].geom_type  # what only touches the meridian is less
    same = [part for part in parts if part.geom_type == whole]
    if whole == "Polygon":
        return MultiPolygon([orient(part) for part in same])
    return MultiLineString(same) if whole == "LineString" else same[0]
