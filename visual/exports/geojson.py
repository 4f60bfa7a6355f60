"""GeoJSON as RFC 7946 asks: WGS 84 longitude and latitude, one collection of all things.

Positions carry no third number: RFC 7946 means by it the height above the ellipsoid, which a
site does not know. Heights stand in the properties.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from shapely.geometry import mapping

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
    def degrees(points: Points) -> Points:
        return np.round(drawing.to_degrees(points)[:, :2], DECIMALS)

    geometry = plan_geometry(item, degrees)
    if geometry is None:
        return None
    return {
        "type": "Feature",
        "geometry": mapping(simplest(geometry)),
        "properties": {"layer": layer.key, "name": item.name, **item.attributes},
    }
