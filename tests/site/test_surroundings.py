import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import pytest
import shapely

from visual.errors import InputError, Problem
from visual.frame import Frame, make_frame
from visual.site import Feature, read_surroundings

EAST, NORTH = 553210.0, 5912480.0

POINT = {"type": "Point", "coordinates": [EAST + 30, NORTH + 40]}
LINE = {"type": "LineString", "coordinates": [[EAST, NORTH + 20], [EAST + 60, NORTH + 20]]}
SQUARE = {
    "type": "Polygon",
    "coordinates": [
        [[EAST, NORTH], [EAST + 9, NORTH], [EAST + 9, NORTH + 9], [EAST, NORTH + 9], [EAST, NORTH]]
    ],
}


@pytest.fixture(scope="module")
def frame() -> Frame:
    return make_frame(crs="EPSG:32630", easting=EAST, northing=NORTH, height=0.0, date=None)


@pytest.fixture(scope="module")
def local() -> Frame:
    return make_frame(crs="local", easting=100.0, northing=200.0, height=0.0, date=None)


def feature(geometry: dict[str, Any] | None, **properties: Any) -> dict[str, Any]:
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def write(folder: Path, *features: dict[str, Any], crs: str | None = "EPSG::32630") -> Path:
    path = folder / "surroundings.geojson"
    collection: dict[str, Any] = {"type": "FeatureCollection", "features": features}
    if crs:
        name = {"name": f"urn:ogc:def:crs:{crs.replace('EPSG::', 'EPSG::')}"}
        collection["crs"] = {"type": "name", "properties": name}
    path.write_text(json.dumps(collection), encoding="utf-8")
    return path


def one(folder: Path, frame: Frame, geometry: dict[str, Any], **properties: Any) -> Feature:
    features = read_surroundings(write(folder, feature(geometry, **properties)), frame=frame)
    assert len(features) == 1
    return features[0]


def problems(
    folder: Path, frame: Frame, *features: dict[str, Any], **options: Any
) -> list[Problem]:
    crs = options.pop("file_crs", "EPSG::32630")
    with pytest.raises(InputError) as caught:
        read_surroundings(write(folder, *features, crs=crs), frame=frame, **options)
    return list(caught.value.problems)


def test_building(tmp_path: Path, frame: Frame) -> None:
    house = one(tmp_path, frame, SQUARE, kind="Building", height="23 ft", name="house")
    assert (house.kind, house.name, house.number) == ("building", "house", 1)
    assert house.height == pytest.approx(23 * 0.3048)
    # UTM at this place is 0.03 % too short or long; a tape is not
    assert house.shape.area == pytest.approx(81 / 0.9996**2, rel=1e-3)
    assert house.shape.area != pytest.approx(81, rel=1e-5)


def test_tree_and_viewpoint(tmp_path: Path, frame: Frame) -> None:
    tree = one(tmp_path, frame, POINT, kind="tree", height=9, crown_radius="250 cm")
    assert (tree.name, tree.height, tree.crown_radius) == ("tree 1", 9.0, 2.5)
    assert tree.shape.x == pytest.approx(30, rel=1e-3)
    assert tree.shape.y == pytest.approx(40, rel=1e-3)
    assert one(tmp_path, frame, POINT, kind="viewpoint", name="gate").eye_height == 1.6
    assert one(tmp_path, frame, POINT, kind="viewpoint", eye_height="5 ft").eye_height == 1.524


@pytest.mark.parametrize(
    ("said", "heights"),
    [
        ({"conductor_heights": [9.5, 9]}, (9.5, 9.0)),
        ({"conductor_heights": "9.5, 9"}, (9.5, 9.0)),
        ({"conductor_heights": ["31 ft", 9]}, (31 * 0.3048, 9.0)),
        ({"height": 8}, (8.0, 8.0)),
        ({"height": "8"}, (8.0, 8.0)),
        ({"conductor_heights": [7, 6], "height": 8}, (7.0, 6.0)),
    ],
)
def test_heights_of_a_line(
    tmp_path: Path, frame: Frame, said: dict[str, Any], heights: tuple[float, ...]
) -> None:
    line = one(tmp_path, frame, LINE, kind="overhead_line", **said)
    assert line.conductor_heights == pytest.approx(heights)
    assert (line.voltage_kv, line.sag, line.spread) == (None, None, 0.0)


@pytest.mark.parametrize(("said", "voltage"), [(11, 11.0), ("11 kV", 11.0), ("400 V", 0.4)])
def test_voltage(tmp_path: Path, frame: Frame, said: object, voltage: float) -> None:
    line = one(tmp_path, frame, LINE, kind="overhead line", height=8, voltage_kv=said, sag=0)
    assert line.voltage_kv == pytest.approx(voltage)
    assert line.sag == 0.0


@pytest.mark.parametrize(
    ("geometry", "said", "key", "rule", "way_out"),
    [
        (SQUARE, {"kind": "building"}, "height", "is missing", "add it"),
        (SQUARE, {"kind": "building", "heigth": 7}, "height", "is missing", "call it heigth"),
        (SQUARE, {"kind": "building", "height": 0}, "height", "more than 0", "correct"),
        (SQUARE, {"kind": "building", "height": "7 kg"}, "height", "unit of mass", "metres"),
        (SQUARE, {"kind": "bilding", "height": 7}, "kind", "must be one of", '"building"?'),
        (SQUARE, {"height": 7}, "kind", "is missing", "building, tree"),
        (POINT, {"kind": "building", "height": 7}, "", "drawn as area", "redraw"),
        (POINT, {"kind": "tree", "height": 7}, "crown_radius", "is missing", "add it"),
        (SQUARE, {"kind": "tree", "height": 7, "crown_radius": 1}, "", "as point", "redraw"),
        (LINE, {"kind": "overhead_line"}, "conductor_heights", "neither", "one of them"),
        (LINE, {"kind": "overhead_line", "conductor_heights": [8, 8, 8]}, "conductor_heights",
         "3 heights for 2 supports", "vertex"),
        (LINE, {"kind": "overhead_line", "height": 8, "voltage_kv": 11000}, "voltage_kv",
         "11000 kV", "not volts"),
        (LINE, {"kind": "overhead_line", "height": 8, "voltage_kv": "high"}, "voltage_kv",
         "a voltage", "unknown"),
        (LINE, {"kind": "overhead_line", "height": 8, "sag": -1}, "sag", "0 or more", "correct"),
        (None, {"kind": "road"}, "", "no geometry", "draw it"),
    ],
)  # fmt: skip
def test_one_slip(
    tmp_path: Path, frame: Frame, geometry: Any, said: dict[str, Any], key: str, rule: str,
    way_out: str,
) -> None:  # fmt: skip
    found = problems(tmp_path, frame, feature(geometry, **said), feature(LINE, kind="road"))
    assert len(found) == 1
    assert found[0].key == ("feature 1, " + key if key else "feature 1")
    assert rule in found[0].rule
    assert way_out in found[0].way_out


def test_all_problems_of_all_features(tmp_path: Path, frame: Frame) -> None:
    found = problems(
        tmp_path, frame, feature(SQUARE, kind="building"), feature(LINE, kind="rode"),
        feature(POINT, kind="tree"),
    )  # fmt: skip
    assert [problem.key for problem in found] == [
        "feature 1, height", "feature 2, kind", "feature 3, height", "feature 3, crown_radius",
    ]  # fmt: skip


def test_outline_that_crosses_itself_names_the_place(tmp_path: Path, frame: Frame) -> None:
    bow = [
        [EAST, NORTH],
        [EAST + 8, NORTH + 8],
        [EAST + 8, NORTH],
        [EAST, NORTH + 8],
        [EAST, NORTH],
    ]
    shape = {"type": "Polygon", "coordinates": [bow]}
    found = problems(tmp_path, frame, feature(shape, kind="keep_out"))
    assert f"Self-intersection[{EAST + 4:.0f} {NORTH + 4:.0f}]" in found[0].rule


def test_support_given_twice(tmp_path: Path, frame: Frame) -> None:
    shape = {"type": "LineString", "coordinates": [*LINE["coordinates"], LINE["coordinates"][-1]]}
    found = problems(tmp_path, frame, feature(shape, kind="overhead_line", height=8))
    assert "supports 2 and 3 are at the same place" in found[0].rule


def test_parts_of_what_stands_are_split_and_areas_stay_whole(tmp_path: Path, frame: Frame) -> None:
    shifted = [[[x + 20, y] for x, y in SQUARE["coordinates"][0]]]
    both = {"type": "MultiPolygon", "coordinates": [SQUARE["coordinates"], shifted]}
    path = write(
        tmp_path,
        feature(both, kind="building", height=5, name="barn"),
        feature(both, kind="boundary"),
        feature({"type": "MultiPolygon", "coordinates": [shifted]}, kind="keep_out"),
    )
    barn, other, boundary, keep_out = read_surroundings(path, frame=frame)
    assert [barn.name, other.name] == ["barn, part 1", "barn, part 2"]
    assert barn.number == other.number == 1
    assert boundary.shape.geom_type == "MultiPolygon"
    assert keep_out.shape.geom_type == "Polygon"


def test_heights_of_vertices_do_not_matter(tmp_path: Path, frame: Frame) -> None:
    shape = {"type": "Point", "coordinates": [EAST, NORTH, 123.0]}
    assert not one(tmp_path, frame, shape, kind="viewpoint").shape.has_z


def test_geojson_without_crs_is_in_degrees(tmp_path: Path, frame: Frame) -> None:
    longitude, latitude = frame.geographic(30.0, 40.0)
    point = {"type": "Point", "coordinates": [longitude, latitude]}
    path = write(tmp_path, feature(point, kind="viewpoint"), crs=None)
    shape = read_surroundings(path, frame=frame)[0].shape
    assert (shape.x, shape.y) == pytest.approx((30, 40), abs=1e-6)


def test_geojson_without_crs_that_is_not_in_degrees(tmp_path: Path, frame: Frame) -> None:
    found = problems(tmp_path, frame, feature(POINT, kind="viewpoint"), file_crs=None)
    assert "RFC 7946" in found[0].rule
    assert "surroundings.crs" in found[0].way_out
    path = write(tmp_path, feature(POINT, kind="viewpoint"), crs=None)
    stated = read_surroundings(path, frame=frame, crs="EPSG:32630")[0].shape
    assert (stated.x, stated.y) == pytest.approx((30, 40), rel=1e-3)


def test_stated_crs_wins_over_a_wrong_one(tmp_path: Path, frame: Frame) -> None:
    found = problems(tmp_path, frame, feature(POINT, kind="viewpoint"), file_crs="EPSG::32631")
    assert "km from the base" in found[0].rule
    assert "CRS is wrong" in found[0].way_out
    path = write(tmp_path, feature(POINT, kind="viewpoint"), crs="EPSG::32631")
    assert read_surroundings(path, frame=frame, crs="EPSG:32630")[0].kind == "viewpoint"


def test_swapped_coordinates_are_recognised(tmp_path: Path, frame: Frame) -> None:
    longitude, latitude = frame.geographic(30.0, 40.0)
    point = {"type": "Point", "coordinates": [latitude, longitude]}
    found = problems(tmp_path, frame, feature(point, kind="viewpoint"), file_crs=None)
    assert "look swapped" in found[0].way_out


def test_unknown_stated_crs(tmp_path: Path, frame: Frame) -> None:
    found = problems(tmp_path, frame, feature(POINT, kind="viewpoint"), crs="EPSG:1")
    assert "not a known" in found[0].rule
    assert "surroundings.crs" in found[0].way_out


def test_local_site(tmp_path: Path, local: Frame) -> None:
    point = {"type": "Point", "coordinates": [103.0, 204.0]}
    found = problems(tmp_path, local, feature(point, kind="viewpoint"), file_crs=None)
    assert "nothing ties the two" in found[0].rule
    assert 'surroundings.crs = "local"' in found[0].way_out
    path = write(tmp_path, feature(point, kind="viewpoint"), crs=None)
    shape = read_surroundings(path, frame=local, crs="local")[0].shape
    assert (shape.x, shape.y) == (3.0, 4.0)


def test_local_file_of_a_site_on_earth(tmp_path: Path, frame: Frame) -> None:
    found = problems(tmp_path, frame, feature(POINT, kind="viewpoint"), crs="local")
    assert "nothing ties the two" in found[0].rule


@pytest.mark.parametrize("name", ["s.shp", "s.gpkg", "s.fgb"])
def test_other_formats(tmp_path: Path, frame: Frame, name: str) -> None:
    shapes = shapely.to_wkb([shapely.geometry.shape(SQUARE), shapely.geometry.shape(SQUARE)])
    fields = {
        "KIND": np.array(["building", "road"], dtype=object),
        "height": np.array([6.5, math.nan]),
        "crown_radius": np.array([math.nan, math.nan]),
    }
    # a shapefile keeps ten letters of crown_radius
    names = [key[:10] if name.endswith("shp") else key for key in fields]
    pyogrio.raw.write(
        tmp_path / name, shapes, list(fields.values()), names, geometry_type="Polygon",
        crs="EPSG:32630",
    )  # fmt: skip
    building, road = read_surroundings(tmp_path / name, frame=frame)
    assert (building.kind, building.height, road.kind) == ("building", 6.5, "road")


def test_shapefile_keeps_ten_letters_of_a_name(tmp_path: Path, frame: Frame) -> None:
    fields = [np.array(["tree"], dtype=object), np.array([6.5]), np.array([2.5])]
    pyogrio.raw.write(
        tmp_path / "t.shp", shapely.to_wkb([shapely.Point(EAST, NORTH)]), fields,
        ["kind", "height", "crown_radi"], geometry_type="Point", crs="EPSG:32630",
    )  # fmt: skip
    assert read_surroundings(tmp_path / "t.shp", frame=frame)[0].crown_radius == 2.5


def test_layers_named_like_kinds(tmp_path: Path, frame: Frame) -> None:
    path = tmp_path / "s.gpkg"
    square = shapely.to_wkb([shapely.geometry.shape(SQUARE)])
    for layer, append in (("road", False), ("water", True)):
        pyogrio.raw.write(
            path, square, [np.array(["x"], dtype=object)], ["name"], layer=layer, append=append,
            geometry_type="Polygon", crs="EPSG:32630",
        )  # fmt: skip
    assert [one.kind for one in read_surroundings(path, frame=frame)] == ["road", "water"]


def test_file_without_crs_is_in_the_crs_of_the_site(tmp_path: Path, frame: Frame) -> None:
    path = tmp_path / "t.shp"
    with pytest.warns(UserWarning, match="crs"):
        pyogrio.raw.write(
            path, shapely.to_wkb([shapely.Point(EAST + 30, NORTH)]),
            [np.array(["viewpoint"], dtype=object)], ["kind"], geometry_type="Point", crs=None,
        )  # fmt: skip
    assert read_surroundings(path, frame=frame)[0].shape.x == pytest.approx(30, rel=1e-3)


@pytest.mark.parametrize(
    ("content", "rule"),
    [("{nonsense", "cannot be read"), ('{"type":"FeatureCollection","features":[]}', "no feature")],
)
def test_no_vector_file(tmp_path: Path, frame: Frame, content: str, rule: str) -> None:
    path = tmp_path / "s.geojson"
    path.write_text(content)
    with pytest.raises(InputError, match=rule):
        read_surroundings(path, frame=frame)


def test_ring_of_two_points(tmp_path: Path, frame: Frame) -> None:
    ring = {"type": "Polygon", "coordinates": [[[EAST, NORTH], [EAST + 1, NORTH], [EAST, NORTH]]]}
    found = problems(tmp_path, frame, feature(ring, kind="building", height=3))
    assert found[0].key == "feature 1"


def test_coordinates_with_no_place(tmp_path: Path, frame: Frame) -> None:
    far = {"type": "Point", "coordinates": [1e12, 1e12]}
    found = problems(tmp_path, frame, feature(far, kind="viewpoint"))
    assert "no place" in found[0].rule or "km from" in found[0].rule
