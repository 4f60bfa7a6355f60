"""GPX, read back with lxml and gpxpy."""

import gpxpy
import numpy as np
import pytest
from lxml import etree
from pyproj import Transformer

from visual.exports.gpx import WayPoint, write_document

GPX = {"g": "http://www.topografix.com/GPX/1/1"}
TO_GRID = Transformer.from_crs("EPSG:4326", "EPSG:32630", always_xy=True)


@pytest.fixture(scope="module")
def root(full):
    return etree.parse(full.files[".gpx"]).getroot()


def grid(points):
    lon, lat = np.array([(p.get("lon"), p.get("lat")) for p in points], dtype=float).T
    return np.column_stack(TO_GRID.transform(lon, lat))


def test_way_points_are_base_and_anchors(root, full):
    points = root.findall("g:wpt", GPX)
    assert [p.findtext("g:name", namespaces=GPX) for p in points] == [
        "base",
        "front",
        "right",
        "back",
        "left",
    ]
    eyes = [anchor.eye for anchor in full.model.anchors.values()]
    assert grid(points) == pytest.approx(full.grid([[0.0, 0.0, 0.0], *eyes])[:, :2], abs=1e-3)
    assert root.findall(".//g:ele", GPX) == []
    front = points[1].findtext("g:desc", namespaces=GPX)
    assert front.startswith("front anchor, planned, ground at height 79.")
    assert "grid bearing 215.0°" in front


def test_fall_zone_can_be_walked_along(root, full):
    circle, contact = root.findall("g:trk", GPX)
    assert circle.findtext("g:name", namespaces=GPX) == "fall zone: circle of the rules"
    track = grid(circle.findall(".//g:trkpt", GPX)) - full.grid([0.0, 0.0, 0.0])[0, :2]
    radius = np.linalg.norm(track, axis=1) / full.model.frame.scale
    assert radius == pytest.approx(full.report.fall_zone.circle_radius, abs=2e-3)
    assert len(contact.findall(".//g:trkpt", GPX)) > 90


def test_order_of_elements_is_that_of_the_schema(root):
    assert root.get("version") == "1.1"
    kinds = [etree.QName(child).localname for child in root]
    assert kinds == ["metadata", *["wpt"] * 5, *["trk"] * 2]
    head = root.find("g:metadata", GPX)
    assert [etree.QName(child).localname for child in head] == ["name", "desc", "time"]


def test_opens_with_a_second_reader(full):
    found = gpxpy.parse(full.files[".gpx"].read_text(encoding="utf-8"))
    assert found.name == "Högfält <b>&amp;</b> 丘"
    assert len(found.waypoints) == 5


def test_places_next_to_zero_have_no_exponent(tmp_path):
    write_document(tmp_path / "zero.gpx", site="0", way_points=[WayPoint("base", 3e-8, -2e-9, "")])
    (point,) = etree.parse(tmp_path / "zero.gpx").getroot().findall("g:wpt", GPX)
    assert "e" not in point.get("lon").lower() + point.get("lat").lower()
    assert float(point.get("lon")) == pytest.approx(3e-8)
