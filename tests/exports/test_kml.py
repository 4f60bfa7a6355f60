"""KML against the OGC's schema, and read back with lxml."""

from pathlib import Path

import fastkml
import numpy as np
import pyogrio
import pytest
from lxml import etree
from pyproj import Geod

from visual.model import installed_wires

KML = {"k": "http://www.opengis.net/kml/2.2"}
SCHEMA = Path(fastkml.__file__).parent / "schema" / "ogckml22.xsd"
"""The OGC's own schema of KML 2.2, as the package carries it."""


@pytest.fixture(scope="module")
def root(full):
    return etree.parse(full.files[".kml"]).getroot()


def marks(root, folder):
    return root.xpath(f"//k:Folder[@id='{folder}']/k:Placemark", namespaces=KML)


def text(element, path):
    return element.findtext(path, namespaces=KML)


def coordinates(element):
    """Return every list of coordinates below an element."""
    lists = element.iterfind(".//k:coordinates", namespaces=KML)
    return [np.array([p.split(",") for p in one.text.split()], dtype=float) for one in lists]


def data(mark):
    return {
        one.get("name"): text(one, "k:value") for one in mark.iterfind(".//k:Data", namespaces=KML)
    }


def offsets(full, degrees):
    """Return x, y from the hinge by geodesics, turned to grid north."""
    lon, lat = full.model.frame.geographic(0.0, 0.0)
    n = len(degrees)
    azimuth, _, distance = Geod(ellps="WGS84").inv(
        np.full(n, lon), np.full(n, lat), degrees[:, 0], degrees[:, 1]
    )
    grid = np.radians(azimuth) - full.model.frame.convergence
    stretch = 1 + full.model.frame.origin_height / 6.371e6
    return stretch * np.column_stack([distance * np.sin(grid), distance * np.cos(grid)])


def test_keeps_to_the_schema(root):
    schema = etree.XMLSchema(etree.parse(str(SCHEMA)))
    schema.assertValid(root)


def test_opens_with_a_second_reader(full):
    layers = pyogrio.list_layers(full.files[".kml"])[:, 0]
    assert "fall zone contact" in layers
    assert pyogrio.read_info(full.files[".kml"], layer="anchors")["features"] == 4


def test_every_layer_but_the_ground_is_a_folder_with_a_style(root, full):
    folders = root.xpath("//k:Folder/@id", namespaces=KML)
    assert folders == [layer.key for layer in full.drawing.layers if layer.key != "ground"]
    styles = set(root.xpath("//k:Style/@id", namespaces=KML))
    used = set(root.xpath("//k:styleUrl/text()", namespaces=KML))
    assert used == {f"#{style}" for style in styles}


def test_anchors_are_at_the_eyes_above_the_ground(root, full):
    found = marks(root, "anchors")
    for mark, anchor in zip(found, full.model.anchors.values(), strict=True):
        assert text(mark, "k:name") == f"{anchor.side} anchor"
        assert text(mark, "k:Point/k:altitudeMode") == "relativeToGround"
        (place,) = coordinates(mark)
        assert offsets(full, place)[0] == pytest.approx(anchor.eye[:2], abs=1e-3)
        assert place[0, 2] == pytest.approx(0.1, abs=1e-6)


def test_wires_rise_from_eye_to_collar(root, full):
    for mark, wire in zip(marks(root, "wires"), installed_wires(full.model), strict=True):
        (line,) = coordinates(mark)
        collar = full.model.rig.mast.collars[wire.level].height
        assert offsets(full, line)[0] == pytest.approx(
            full.model.anchors[wire.side].eye[:2], abs=1e-3
        )
        assert offsets(full, line)[-1] == pytest.approx([0.0, 0.0], abs=1e-3)
        assert line[[0, -1], 2] == pytest.approx([0.1, collar + 0.25], abs=1e-3)
        assert float(data(mark)["cut_length_m"]) == pytest.approx(wire.cut_length)


def test_zones_lie_on_the_ground(root, full):
    (mark,) = marks(root, "fall_zone_circle")
    (polygon,) = mark.iterfind(".//k:Polygon", namespaces=KML)
    assert text(polygon, "k:altitudeMode") == "clampToGround"
    assert text(polygon, "k:tessellate") == "1"
    (ring,) = coordinates(mark)
    assert ring.shape[1] == 2  # a height would say nothing there
    distance = np.linalg.norm(offsets(full, ring), axis=1)
    assert distance == pytest.approx(full.report.fall_zone.circle_radius, abs=2e-3)


def test_building_stands_up_to_its_top(root, full):
    (mark,) = marks(root, "buildings")
    assert text(mark, ".//k:extrude") == "1"
    outer, hole = coordinates(mark)
    (building,) = full.model.surroundings.buildings
    for ring in (outer, hole):
        x, y = offsets(full, ring).T
        ground = 0.08 * x - 0.05 * y - 0.25
        assert ring[:, 2] == pytest.approx(building.top - ground, abs=1e-3)


def test_hostile_names_are_texts(root, full):
    (mark,) = marks(root, "buildings")
    assert text(mark, "k:name") == "<script>alert('x')</script> & \"barn\""
    assert not len(mark.find("k:name", namespaces=KML))
    assert b"<script" not in full.files[".kml"].read_bytes()
    assert text(root, "k:Document/k:name") == "Högfält <b>&amp;</b> 丘"
    # a viewer may show a description as a page: none holds anything from the site file
    described = root.xpath("//k:description/text()", namespaces=KML)
    assert not any("<" in one or "Högfält" in one for one in described)
