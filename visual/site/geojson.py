"""Plain GeoJSON read without the vector library, which takes longer to load than a whole check.

Only what can be read in one way is read here: a feature collection without a `crs` member, whose
properties are texts, numbers and lists of numbers. Everything else, broken files too, is left to
the vector library, so that there is one set of rules and messages.
"""

import json
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely
import shapely.geometry
from shapely.geometry.base import BaseGeometry

_SUFFIXES = (".geojson", ".json")

_SHAPES = ("Point", "LineString", "Polygon", "MultiPoint", "MultiLineString", "MultiPolygon")

_DATE = re.compile(r"\d{1,4}[-/:]\d{1,2}")
"""Begins what the vector library may take for a date or a time."""


class _NotPlainError(Exception):
    """The file holds something that is left to the vector library."""


@dataclass(frozen=True)
class PlainLayer:
    """The one layer of a plain GeoJSON file.

    Parameters
    ----------
    name : str
        As the file says, else the name of the file.
    shapes : tuple of shapely geometry or None
        In degrees, longitude first.
    properties : tuple of mapping of str to object
        One for each shape, all with the same names in lower case; None where not given.
    """

    name: str
    shapes: tuple[BaseGeometry | None, ...]
    properties: tuple[Mapping[str, Any], ...]


def read_plain_geojson(path: Path) -> PlainLayer | None:
    """Read a plain GeoJSON file; None if it is anything else."""
    if path.suffix.lower() not in _SUFFIXES:
        return None
    try:
        whole = json.loads(path.read_text(encoding="utf-8"), parse_constant=_refuse)
        features = _features(whole)
        properties = [_properties(feature) for feature in features]
        names = _names(properties)
        return PlainLayer(
            name=str(whole.get("name", path.stem)),
            shapes=tuple(_shape(feature["geometry"]) for feature in features),
            properties=tuple({name.lower(): one.get(name) for name in names} for one in properties),
        )
    except (_NotPlainError, OSError, ValueError, TypeError, KeyError, shapely.errors.ShapelyError):
        return None


def _refuse(constant: str) -> None:
    raise _NotPlainError(constant)


def _features(whole: Any) -> list[Any]:
    if not isinstance(whole, dict) or whole.get("type") != "FeatureCollection" or "crs" in whole:
        raise _NotPlainError
    features = whole["features"]
    if not features or any(one.get("type") != "Feature" or "crs" in one for one in features):
        raise _NotPlainError
    return list(features)


def _properties(feature: Mapping[str, Any]) -> dict[str, Any]:
    given = feature["properties"] or {}
    return {name: _value(value) for name, value in given.items()}


def _names(properties: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return all names in order; those that differ by capitals only are nothing plain."""
    names = list(dict.fromkeys(name for one in properties for name in one))
    if len({name.lower() for name in names}) != len(names):
        raise _NotPlainError
    return names


def _value(value: Any) -> Any:
    if value is None or (isinstance(value, int | float) and math.isfinite(value)):
        plain = not isinstance(value, bool)
    elif isinstance(value, list):
        plain = all(isinstance(one, int | float) and not isinstance(one, bool) for one in value)
        value = np.array(value, dtype=float)
    else:
        plain = isinstance(value, str) and not _DATE.match(value)
    if not plain:
        raise _NotPlainError
    return value


def _shape(geometry: Any) -> BaseGeometry | None:
    if geometry is None:
        return None
    if geometry["type"] not in _SHAPES or not geometry["coordinates"]:
        raise _NotPlainError
    return shapely.geometry.shape(geometry)
