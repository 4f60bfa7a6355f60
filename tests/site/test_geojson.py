"""Plain GeoJSON: the same features as the vector library reads; anything else is left to it."""

import json
from pathlib import Path

import numpy as np
import pytest

from visual.site.geojson import read_plain_geojson
from visual.site.surroundings import _read_layers

SAMPLE = (
    Path(__file__).resolve().parents[2] / "sample_sites" / "hill_paddock" / "surroundings.geojson"
)

POINT = {"type": "Point", "coordinates": [-2.0, 53.0]}
BOX = {"type": "Polygon", "coordinates": [[[-2, 53], [-1, 53], [-1, 54], [-2, 53]]]}


def feature(geometry=POINT, **properties):
    return {"type": "Feature", "properties": properties, "geometry": geometry}


@pytest.fixture
def write(tmp_path):
    def write(*features, name="around.geojson", **more):
        path = tmp_path / name
        whole = {"type": "FeatureCollection", **more, "features": list(features)}
        path.write_text(json.dumps(whole), encoding="utf-8")
        return path

    return write


def given(properties):
    """Values as the readers of features take them: lists as lists, what is missing left out."""
    plain = {}
    for name, value in properties.items():
        if isinstance(value, np.ndarray | list):
            plain[name] = [float(one) for one in value]
        elif value is not None and value == value:
            plain[name] = value
    return plain


def assert_as_the_library(path):
    plain = read_plain_geojson(path)
    [layer] = _read_layers(path)
    assert plain is not None
    assert plain.name == layer.name
    for one, other in zip(plain.shapes, layer.shapes, strict=True):
        assert one == other
    for one, other in zip(plain.properties, layer.properties, strict=True):
        assert given(one) == given(other)


def test_the_sample_is_read_as_by_the_library():
    assert_as_the_library(SAMPLE)


def test_mixed_features_are_read_as_by_the_library(write):
    line = {"type": "LineString", "coordinates": [[-2, 53, 7.5], [-1, 53, 8]]}
    many = {"type": "MultiPolygon", "coordinates": [BOX["coordinates"]]}
    path = write(
        feature(kind="tree", Height=12, crown_radius=3.5),
        feature(BOX, kind="building", Height=6.5, name="barn"),
        feature(line, kind="overhead_line", conductor_heights=[8, 8.5], voltage_kv=11),
        feature(many, kind="keep out", name="Wäldchen"),
        feature(None, kind="tree"),
    )
    assert_as_the_library(path)


def test_the_collection_may_have_a_name(write):
    path = write(feature(height=5.0), name="building.geojson")
    assert read_plain_geojson(path).name == "building"
    assert_as_the_library(path)


@pytest.mark.parametrize(
    "odd",
    [
        {"geometry": {"type": "GeometryCollection", "geometries": [POINT]}},
        {"geometry": {"type": "Polygon", "coordinates": [[[-2, 53], [-1, 53]]]}},
        {"geometry": {"type": "Point", "coordinates": []}},
        {"survey": {"by": "hand"}},
        {"surveyed": "2026-06-01"},
        {"seen": True},
        {"heights": ["8 m", "9 m"]},
        {"height": 1e400},
        {"height": 3, "HEIGHT": 4},
    ],
    ids=lambda odd: next(iter(odd)),
)
def test_what_is_not_plain_is_left_to_the_library(write, odd):
    assert read_plain_geojson(write(feature(**odd))) is None


def test_other_files_are_left_to_the_library(write, tmp_path):
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::32630"}}
    assert read_plain_geojson(write(feature(), crs=crs)) is None
    assert read_plain_geojson(write()) is None
    assert read_plain_geojson(write(feature(), name="around.fgb")) is None
    assert read_plain_geojson(tmp_path / "none.geojson") is None
    broken = tmp_path / "broken.geojson"
    broken.write_text('{"type": "FeatureCollection", "features": [', encoding="utf-8")
    assert read_plain_geojson(broken) is None
