"""GeoPackage: one table per layer and kind of geometry, in the CRS of the site."""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import shapely
from numpy.typing import NDArray
from pyogrio.raw import write
from shapely.geometry.base import BaseGeometry

from visual.exports.drawing import Drawing, Item, Layer, Plan, Points, Value
from visual.exports.plan import heights_known, plan_geometry
from visual.frame import LOCAL

LOCAL_CRS = (
    'ENGCRS["local metre grid",EDATUM["site"],CS[Cartesian,2],'
    'AXIS["easting",east,ORDER[1]],AXIS["northing",north,ORDER[2]],LENGTHUNIT["metre",1]]'
)
"""A grid with no place on Earth, in words that GIS programs understand."""

_KINDS: Mapping[str, Plan] = {
    "MultiPolygon": "areas",
    "MultiLineString": "lines",
    "Point": "places",
}
_NO_DATE = "1970-01-01"


@dataclass(frozen=True)
class _Table:
    """Things of one layer whose geometry is of one kind."""

    name: str
    word: str
    kind: str
    items: tuple[Item, ...]


def write_geopackage(drawing: Drawing, path: Path) -> None:
    """Write all layers but the ground, which is no plan geometry.

    A table has heights (of the site's height system, in metres) if all its points have one.
    """
    crs = LOCAL_CRS if drawing.crs == LOCAL else drawing.crs
    with _repeatable(drawing.date or _NO_DATE):
        for layer in drawing.layers:
            for table in _tables(layer):
                _write_table(drawing, table, path, crs)


def _tables(layer: Layer) -> Iterator[_Table]:
    """Yield a table of the layer's things, and others for those of another kind in plan.

    So a line seen from its end, or a boundary that is no area, does not change the kind of a
    table.
    """
    kinds = [getattr(plan_geometry(item, _flat), "geom_type", None) for item in layer.items]
    for kind, plan in _KINDS.items():
        items = tuple(i for i, k in zip(layer.items, kinds, strict=True) if k == kind)
        if items:
            name = layer.key if plan == layer.plan else f"{layer.key}_{plan}"
            yield _Table(name, layer.word, kind, items)


def _flat(points: Points) -> Points:
    return points[:, :2]


def _write_table(drawing: Drawing, table: _Table, path: Path, crs: str) -> None:
    solid = all(heights_known(item) for item in table.items)
    width = 3 if solid else 2

    def grid(points: Points) -> Points:
        return drawing.to_grid(points)[:, :width]

    geometries = [plan_geometry(item, grid) for item in table.items]
    names = ["name", *dict.fromkeys(key for item in table.items for key in item.attributes)]
    write(
        path,
        _well_known_binary(geometries),
        [_column(table.items, name) for name in names],
        np.array(names, dtype=object),
        geometry_type=f"{table.kind} Z" if solid else table.kind,
        crs=crs,
        driver="GPKG",
        layer=table.name,
        append=path.exists(),
        layer_options={"IDENTIFIER": table.name, "DESCRIPTION": table.word},
    )


def _well_known_binary(geometries: Sequence[BaseGeometry | None]) -> NDArray[np.object_]:
    known = [one for one in geometries if one is not None]
    binary: Any = shapely.to_wkb(np.array(known, dtype=object), flavor="iso")
    return np.asarray(binary, dtype=object)


def _column(items: Sequence[Item], name: str) -> NDArray[Any]:
    """Return one attribute of every thing: numbers, truths or texts; unknown ones empty."""
    values: list[Value] = [i.name if name == "name" else i.attributes.get(name) for i in items]
    known = [value for value in values if value is not None]
    if known and all(isinstance(value, bool) for value in known) and len(known) == len(values):
        return np.array(values, dtype=bool)
    if known and all(isinstance(value, float | int) for value in known):
        return np.array([np.nan if v is None else float(v) for v in values])
    return np.array([None if v is None else str(v) for v in values], dtype=object)


@contextmanager
def _repeatable(day: str) -> Iterator[None]:
    """Have the file say that it was written on a given day, so that its bytes repeat.

    The disk is not waited for after each table: the file counts only when it is whole.
    """
    wanted = {
        "OGR_CURRENT_DATE": dt.datetime.fromisoformat(day).strftime("%Y-%m-%dT%H:%M:%S.000Z"),
        "OGR_SQLITE_SYNCHRONOUS": "OFF",
    }
    before = {name: pyogrio.get_gdal_config_option(name) for name in wanted}
    pyogrio.set_gdal_config_options(wanted)
    try:
        yield
    finally:
        pyogrio.set_gdal_config_options(before)
