"""Reading what stands around from any vector file that the vector library opens."""

import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from visual.errors import InputError, Problem
from visual.frame import Frame
from visual.frame.crs import is_local, read_crs
from visual.site.feature import Feature, RawFeature
from visual.site.feature_maker import FeatureMaker
from visual.site.geojson import PlainLayer, read_plain_geojson
from visual.site.kinds import KINDS

GEOJSON_CRS = "EPSG:4326"
"""RFC 7946, section 4: GeoJSON is in WGS 84, longitude first, in degrees."""


def read_surroundings(path: Path, *, frame: Frame, crs: str | None = None) -> tuple[Feature, ...]:
    """Read every feature of every layer into the local frame.

    Parameters
    ----------
    path : Path
        The vector file.
    frame : Frame
        The local frame of the site.
    crs : str or None
        CRS of the file's coordinates where the user states it; wins over what the file says.
        Without it a file that names no CRS is read in the CRS of the site.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    features: list[Feature] = []
    problems: list[Problem] = []
    layers = list(_layers(path))
    for layer in layers:
        layer_crs = _layer_crs(layer, path, frame, crs)
        maker = FeatureMaker(file=str(path), frame=frame, crs=layer_crs)
        place = f"layer {layer.name}, " if len(layers) > 1 else ""
        for raw in layer.features(place):
            features += maker.make(raw)
        problems += maker.problems
    if problems:
        raise InputError(problems)
    if not features:
        raise _error(path, "it holds no feature", "draw what stands around, or leave the file out")
    return tuple(features)


def read_areas(path: Path, *, frame: Frame, crs: str | None = None) -> BaseGeometry:
    """Read all polygons of a vector file as one area in the local frame, whatever they are called.

    Parameters
    ----------
    path, frame, crs
        As in `read_surroundings`.

    Raises
    ------
    InputError
        If the file cannot be read or holds no polygon.
    """
    areas = []
    for layer in _layers(path):
        layer_crs = _layer_crs(layer, path, frame, crs)
        for shape in layer.shapes:
            # an outline that crosses itself may have no area before it is mended
            area = None if shape is None else shapely.make_valid(shapely.force_2d(shape))
            if area is not None and area.area > 0:
                areas.append(_to_local(area, frame, layer_crs))
    if not areas:
        raise _error(path, "it holds no polygon", "draw the land as one or more polygons")
    if not np.isfinite(shapely.get_coordinates(areas)).all():
        raise _error(path, "it has points that are nowhere on this site's map", "check its CRS")
    return shapely.union_all([shapely.make_valid(area) for area in areas])


def _to_local(shape: BaseGeometry, frame: Frame, crs: str) -> BaseGeometry:
    def convert(places: Any) -> Any:
        return np.column_stack(frame.from_crs(crs, places[:, 0], places[:, 1]))

    return shapely.transform(shape, convert)


def _error(path: Path, rule: str, way_out: str) -> InputError:
    return InputError.one(file=str(path), key="", value=None, rule=rule, way_out=way_out)


@dataclass(frozen=True)
class _Layer:
    """One layer as read."""

    name: str
    driver: str
    crs: str | None
    shapes: Sequence[BaseGeometry | None]
    properties: Sequence[Mapping[str, Any]]

    def features(self, place: str) -> Iterator[RawFeature]:
        """Yield every feature; a layer that is called like a kind gives it to its features."""
        kind = self.name.lower() if self.name.lower() in KINDS else None
        for index, (shape, given) in enumerate(zip(self.shapes, self.properties, strict=True)):
            properties = {"kind": kind, **given}
            yield RawFeature(f"{place}feature {index + 1}", index + 1, shape, properties)


def _layers(path: Path) -> Iterator[_Layer]:
    plain = read_plain_geojson(path)
    return _read_layers(path) if plain is None else iter([_plain_layer(plain)])


def _plain_layer(plain: PlainLayer) -> _Layer:
    return _Layer(plain.name, "GeoJSON", GEOJSON_CRS, plain.shapes, plain.properties)


def _read_layers(path: Path) -> Iterator[_Layer]:
    import pyogrio  # slow to load

    try:
        with warnings.catch_warnings():
            # the library warns of odd but harmless things, such as two features with one number
            warnings.simplefilter("ignore")
            for name, kind_of_geometry in pyogrio.list_layers(path):
                if kind_of_geometry is None:  # a table without geometry
                    continue
                driver = pyogrio.read_info(path, layer=name)["driver"]
                meta, _, geometry, fields = pyogrio.raw.read(path, layer=name)
                yield _layer_as_read(str(name), driver, meta, geometry, fields)
    except (pyogrio.errors.DataSourceError, pyogrio.errors.DataLayerError, OSError) as error:
        way_out = "check the path, or save it as GeoJSON or GeoPackage"
        reason = str(error).split(";")[0].rstrip(".")
        raise _error(path, f"cannot be read: {reason}", way_out) from None


def _layer_as_read(
    name: str, driver: str, meta: Mapping[str, Any], geometry: Any, fields: Any
) -> _Layer:
    """Make a layer of names, values and geometries side by side."""
    names = [str(field).lower() for field in meta["fields"]]
    shapes = [] if geometry is None else [_shape(one) for one in geometry]
    properties = [
        {key: column[row] for key, column in zip(names, fields, strict=True)}
        for row in range(len(shapes))
    ]
    return _Layer(name, driver, meta["crs"], shapes, properties)


def _shape(encoded: bytes | None) -> BaseGeometry | None:
    # "ignore" gives None for what is no geometry at all, such as a ring of two points
    return None if encoded is None else shapely.from_wkb(encoded, on_invalid="ignore")


def _layer_crs(layer: _Layer, path: Path, frame: Frame, stated: str | None) -> str:
    """Return the CRS of a layer, or raise what is wrong with it."""
    named = _named_crs(layer)
    crs = stated or named or frame.crs
    if not is_local(crs):
        try:
            read_crs(crs)
        except ValueError as error:
            rule, _, _ = str(error).partition("; ")
            raise _error(path, rule, "state the CRS in surroundings.crs") from None
    if is_local(crs) != frame.is_local:
        rule = f"the site's crs is {frame.crs!r} and this file's is {crs!r}: nothing ties the two"
        raise _error(path, rule, _tie(frame))
    if stated is None and layer.driver.startswith("GeoJSON") and crs == GEOJSON_CRS:
        _check_degrees(layer, path)
    return crs


def _named_crs(layer: _Layer) -> str | None:
    """Return the CRS that the file names; a placeholder for an unknown one is none."""
    crs = layer.crs
    placeholder = crs is not None and (
        "undefined" in crs.lower() or crs.startswith(("LOCAL_CS", "ENGCRS"))
    )
    return None if placeholder else crs


def _tie(frame: Frame) -> str:
    if frame.is_local:
        return 'state surroundings.crs = "local" if the file uses the metre grid of the site'
    return "state in surroundings.crs the CRS that the coordinates of the file are in"


def _check_degrees(layer: _Layer, path: Path) -> None:
    """Refuse GeoJSON that names no CRS and whose numbers cannot be degrees."""
    points = shapely.get_coordinates([shape for shape in layer.shapes if shape is not None])
    if np.any(np.abs(points) > (180.0, 90.0)):
        rule = "GeoJSON that names no CRS is in degrees (RFC 7946), and these numbers are not"
        raise _error(path, rule, "state their CRS in surroundings.crs")
