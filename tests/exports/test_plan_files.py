"""GeoJSON and GeoPackage, read back with pyogrio and shapely."""

import json
import sqlite3
from dataclasses import replace

import numpy as np
import pyogrio
import pytest
import shapely
from pyogrio.raw import read
from pyproj import CRS, Transformer
from shapely.geometry import shape

from visual.exports.drawing import Item, Layer
from visual.exports.geojson import write_geojson
from visual.exports.geopackage import write_geopackage
from visual.frame import make_frame
from visual.model import installed_wires


@pytest.fixture(scope="module")
def collection(full):
    return json.loads(full.files[".geojson"].read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def features(collection):
    """Return geometries in the site's grid, and properties, of every layer."""
    back = Transformer.from_crs("EPSG:4326", "EPSG:32630", always_xy=True)
    found: dict[str, list] = {}
    for one in collection["features"]:
        grid = shapely.transform(shape(one["geometry"]), back.transform, interleaved=False)
        found.setdefault(one["properties"]["layer"], []).append((grid, one["properties"]))
    return found


def table(path, layer):
    meta, _, geometry, columns = read(path, layer=layer)
    return (
        meta,
        shapely.from_wkb(geometry),
        dict(zip(meta["fields"].tolist(), columns, strict=True)),
    )


def test_geojson_is_as_rfc_7946_asks(collection):
    assert collection["type"] == "FeatureCollection"
    assert "crs" not in collection
    for one in collection["features"]:
        assert set(one) == {"type", "geometry", "properties"}
        geometry = shape(one["geometry"])
        assert geometry.is_valid
        assert not geometry.has_z  # a height would be one above the ellipsoid
        longitude, latitude = shapely.get_coordinates(geometry).T
        assert (np.abs(longitude + 2.2) < 0.01).all()
        assert (np.abs(latitude - 53.36) < 0.01).all()
        for polygon in getattr(geometry, "geoms", [geometry]):
            if polygon.geom_type == "Polygon":
                assert polygon.exterior.is_ccw
                assert not any(hole.is_ccw for hole in polygon.interiors)


def test_geojson_opens_as_a_layer(full, collection):
    info = pyogrio.read_info(full.files[".geojson"])
    assert info["features"] == len(collection["features"])
    assert CRS(info["crs"]) == CRS("EPSG:4326") or "84" in info["crs"]


def test_places_in_geojson_agree_with_the_model(features, full):
    eyes = full.grid([anchor.eye for anchor in full.model.anchors.values()])
    found = np.array([(geometry.x, geometry.y) for geometry, _ in features["anchors"]])
    assert found == pytest.approx(eyes[:, :2], abs=1e-3)
    heights = [properties["eye_height_m"] for _, properties in features["anchors"]]
    assert heights == pytest.approx(eyes[:, 2])


def test_areas_agree_with_the_report(features, full):
    scale = full.model.frame.scale**2
    ((circle, properties),) = features["fall_zone_circle"]
    assert circle.area / scale == pytest.approx(full.report.fall_zone.circle_area, rel=1e-4)
    assert properties["radius_m"] == full.report.fall_zone.circle_radius
    ((contact, _),) = features["fall_zone_contact"]
    assert contact.area / scale == pytest.approx(full.report.fall_zone.contact_area, rel=1e-5)
    ((building, _),) = features["buildings"]
    assert building.area / scale == pytest.approx(10 * 8 - 3 * 3, rel=1e-5)
    assert len(building.interiors) == 1


def test_setback_lines_carry_their_verdict(features, full):
    by_kind = {one.to: one for one in full.report.setbacks}
    assert set(by_kind) == {"boundary", "road"}
    for _, properties in features["setback_lines"]:
        one = by_kind[properties["to"]]
        assert properties["required_m"] == one.required
        assert properties["distance_m"] == one.distance
        assert properties["margin_m"] == one.margin
        assert properties["basis"] == one.basis
        assert properties["status"] in ("ok", "caution", "stop")


def test_setback_line_keeps_its_distance(features, full):
    """Every point of the line is as far from the boundary as the rule asks, and inside."""
    line, properties = next(one for one in features["setback_lines"] if one[1]["to"] == "boundary")
    ((land, _),) = features["boundary"]
    distances = shapely.distance(shapely.points(shapely.get_coordinates(line)), land.exterior)
    assert distances == pytest.approx(properties["required_m"] * full.model.frame.scale, abs=2e-3)
    assert land.contains(line)


def test_setback_distance_is_as_long_as_it_says(features, full):
    assert len(features["setback_distances"]) == len(full.report.setbacks)
    for line, properties in features["setback_distances"]:
        length = line.length / full.model.frame.scale
        assert length == pytest.approx(abs(properties["distance_m"]), abs=2e-3)


def test_geojson_is_cut_at_the_180th_meridian(full, tmp_path):
    easting, northing = Transformer.from_crs("EPSG:4326", "EPSG:32701", always_xy=True).transform(
        179.99997, -16.5
    )
    frame = make_frame(crs="EPSG:32701", easting=easting, northing=northing, height=9.0, date=None)
    moved = replace(full.drawing, crs="EPSG:32701", frame=frame)
    write_geojson(moved, tmp_path / "fiji.geojson")
    back = Transformer.from_crs("EPSG:4326", "EPSG:32701", always_xy=True)
    checked = set()
    for one in json.loads((tmp_path / "fiji.geojson").read_text(encoding="utf-8"))["features"]:
        geometry = shape(one["geometry"])
        parts = shapely.get_parts(geometry)
        for part in parts:
            west, _, east, _ = part.bounds
            assert -180.0 <= west <= east <= 180.0
            assert east - west < 0.01
        if (layer := one["properties"]["layer"]) in ("fall_zone_circle", "boundary"):
            assert len(parts) == 2
            assert all(part.exterior.is_ccw for part in parts)
            area = shapely.transform(geometry, back.transform, interleaved=False).area
            wanted = one["properties"]["area_m2"] * frame.scale**2
            assert area == pytest.approx(wanted, rel=1e-4)
            checked.add(layer)
    assert len(checked) == 2


def test_hostile_names_stay_texts_on_one_line(features):
    ((_, building),) = features["buildings"]
    assert building["name"] == "<script>alert('x')</script> & \"barn\""
    ((_, line),) = features["overhead_lines"]
    assert line["name"] == "линия 電線 خط line 2 end"
    ((_, land),) = features["boundary"]
    assert len(land["name"]) > 3900
    ((_, wet),) = features["keep_out"]
    assert wet["name"] == " bell  and more"


def test_geopackage_has_a_table_per_layer_in_the_sites_crs(full):
    names = {name for name, _ in pyogrio.list_layers(full.files[".gpkg"])}
    wanted = {layer.key for layer in full.drawing.layers} - {"ground"}
    assert wanted <= names
    assert all(name in wanted or name.rsplit("_", 1)[0] in wanted for name in names)
    for name in names:
        assert pyogrio.read_info(full.files[".gpkg"], layer=name)["crs"] == "EPSG:32630"


def test_every_geometry_of_the_geopackage_is_valid(full):
    for name, _ in pyogrio.list_layers(full.files[".gpkg"]):
        _, geometry, _ = table(full.files[".gpkg"], name)
        assert shapely.is_valid(geometry).all(), name


def test_anchors_in_the_geopackage(full):
    meta, geometry, columns = table(full.files[".gpkg"], "anchors")
    assert meta["geometry_type"] == "Point Z"
    eyes = full.grid([anchor.eye for anchor in full.model.anchors.values()])
    assert shapely.get_coordinates(geometry, include_z=True) == pytest.approx(eyes, abs=1e-3)
    assert columns["side"].tolist() == ["front", "right", "back", "left"]
    assert columns["as_built"].tolist() == [False] * 4
    assert columns["capacity_n"].tolist() == [None] * 4
    assert columns["horizontal_distance_m"] == pytest.approx([8.0] * 4)


def test_wires_in_the_geopackage(full):
    meta, geometry, columns = table(full.files[".gpkg"], "wires")
    assert meta["geometry_type"] == "MultiLineString Z"
    wires = installed_wires(full.model)
    assert columns["name"].tolist() == [f"wire {wire.name}" for wire in wires]
    assert columns["cut_length_m"] == pytest.approx([wire.cut_length for wire in wires])
    for line, wire in zip(geometry, wires, strict=True):
        eye = full.grid(full.model.anchors[wire.side].eye)[0]
        assert line.length == pytest.approx(8.0 * full.model.frame.scale, abs=1e-3)
        assert shapely.get_coordinates(line, include_z=True)[0] == pytest.approx(eye, abs=1e-3)


def test_zones_in_the_geopackage(full):
    meta, (zone,), columns = table(full.files[".gpkg"], "fall_zone_contact")
    assert meta["geometry_type"] == "MultiPolygon Z"
    scale = full.model.frame.scale**2
    assert zone.area / scale == pytest.approx(full.report.fall_zone.contact_area, rel=1e-6)
    assert columns["ground_known_everywhere"].tolist() == [True]
    # every corner lies on the ground, as far from the hinge as the mast is high
    corners = shapely.get_coordinates(zone, include_z=True)
    x, y = full.model.frame.to_local(corners[:, 0], corners[:, 1])
    z = corners[:, 2] - full.model.frame.origin_height
    total = full.report.fall_zone.total_height
    assert np.sqrt(x**2 + y**2 + z**2) == pytest.approx(total, abs=2e-3)


def test_findings_in_the_geopackage_are_those_that_ask_for_attention(full):
    _, _, columns = table(full.files[".gpkg"], "findings")
    wanted = [f for f in full.report.findings if f.where is not None and f.status != "ok"]
    assert columns["message"].tolist() == [f.message.in_units("metric") for f in wanted]


def test_local_grid_is_named_as_one(plain):
    info = pyogrio.read_info(plain.files[".gpkg"], layer="anchors")
    crs = CRS(info["crs"])
    assert crs.name == "local metre grid"
    assert crs.is_engineering
    _, geometry, _ = table(plain.files[".gpkg"], "anchors")
    front = shapely.get_coordinates(geometry, include_z=True)[0]
    assert front == pytest.approx([0.0, 8.0, 100.1], abs=1e-6)


def test_tables_are_of_the_kind_of_their_layer(plain, full):
    kinds = {"areas": "MultiPolygon", "lines": "MultiLineString", "places": "Point"}
    for one in (plain, full):
        found = dict(pyogrio.list_layers(one.files[".gpkg"]).tolist())
        for layer in one.drawing.layers:
            if layer.key in found:
                assert found[layer.key].removesuffix(" Z") == kinds[layer.plan]


def test_what_is_of_another_kind_in_plan_has_a_table_of_its_own(plain, tmp_path):
    lines = (np.array([[0.0, 0, 0], [3.0, 4.0, 1.0]]), np.array([[1.0, 2.0, 0], [1.0, 2.0, 5.0]]))
    items = tuple(Item(name=f"line {k}", paths=(path,)) for k, path in enumerate(lines))
    layer = Layer(key="rods", word="rods", role="gin_pole", items=items)
    write_geopackage(replace(plain.drawing, layers=(layer,)), tmp_path / "rods.gpkg")
    _, (leaning,), columns = table(tmp_path / "rods.gpkg", "rods")
    assert (leaning.length, columns["name"].tolist()) == (5.0, ["line 0"])
    _, (upright,), columns = table(tmp_path / "rods.gpkg", "rods_places")
    assert (upright.x, upright.y, columns["name"].tolist()) == (1.0, 2.0, ["line 1"])


def test_database_is_sound_and_dated_as_the_site(full):
    with sqlite3.connect(full.files[".gpkg"]) as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        dates = {row[0] for row in database.execute("SELECT last_change FROM gpkg_contents")}
        word = "SELECT description FROM gpkg_contents WHERE table_name = 'tow_lane'"
        assert database.execute(word).fetchone() == ("ground the vehicle drives on",)
    database.close()
    assert dates == {"2026-06-01T00:00:00.000Z"}


def test_settings_of_the_library_are_as_before(full, tmp_path):
    write_geopackage(full.drawing, tmp_path / "again.gpkg")
    assert pyogrio.get_gdal_config_option("OGR_CURRENT_DATE") is None
    assert pyogrio.get_gdal_config_option("OGR_SQLITE_SYNCHRONOUS") is None
