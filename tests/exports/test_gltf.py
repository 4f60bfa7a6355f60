"""glTF, read back with trimesh, and its records with the standard library."""

import json
import struct

import numpy as np
import pytest
import trimesh

from visual.exports.gltf import LIFT


@pytest.fixture(scope="module")
def scene(full):
    return trimesh.load_scene(full.files[".glb"])


@pytest.fixture(scope="module")
def records(full):
    """Return the JSON of the file and its binary block."""
    raw = full.files[".glb"].read_bytes()
    magic, version, length = struct.unpack("<4sII", raw[:12])
    assert (magic, version, length) == (b"glTF", 2, len(raw))
    size, kind = struct.unpack("<I4s", raw[12:20])
    assert kind == b"JSON"
    return json.loads(raw[20 : 20 + size]), raw[20 + size + 8 :]


def y_up(points):
    x, y, z = np.atleast_2d(points).T
    return np.column_stack([x, z, -y])


def primitives(records, layer):
    document, _ = records
    (mesh,) = (one for one in document["meshes"] if one["name"] == layer)
    return mesh["primitives"]


def array(records, number):
    document, block = records
    accessor = document["accessors"][number]
    view = document["bufferViews"][accessor["bufferView"]]
    kind, width = {5126: ("<f4", 3), 5125: ("<u4", 1)}[accessor["componentType"]]
    raw = block[view["byteOffset"] : view["byteOffset"] + view["byteLength"]]
    found = np.frombuffer(raw, kind).reshape(-1, width)
    assert len(found) == accessor["count"]
    return found


def lines(records, layer):
    """Return the pieces of line of a layer, shape (n, 2, 3)."""
    (one,) = (p for p in primitives(records, layer) if p["mode"] == 1)
    points = array(records, one["attributes"]["POSITION"])
    return points[array(records, one["indices"]).reshape(-1, 2)]


def test_every_layer_is_a_node(records, full):
    document, _ = records
    names = [node["name"] for node in document["nodes"]]
    assert names == [layer.key for layer in full.drawing.layers]
    assert document["scenes"][0]["nodes"] == list(range(len(names)))
    assert document["nodes"][names.index("anchors")]["extras"]["names"][0] == "front anchor"


def test_opens_with_a_second_reader_at_the_right_size(scene, full):
    assert len(scene.graph.nodes_geometry) >= len(full.drawing.layers)
    assert scene.units in (None, "meters", "m")
    low, high = scene.bounds
    assert (low[0], high[0]) == pytest.approx((-60.0, 60.0), abs=1e-3)
    assert (low[2], high[2]) == pytest.approx((-60.0, 60.0), abs=1e-3)
    assert high[1] < full.report.fall_zone.total_height + 3.0


def test_mast_is_upright_along_y(records, full):
    ((foot, top),) = lines(records, "mast")
    assert foot.tolist() == [0.0, 0.0, 0.0]
    assert top == pytest.approx([0.0, full.model.rig.mast.length, 0.0], abs=1e-6)


def test_anchors_stand_at_their_places(scene, full):
    """Blocks of the anchors: the middle of each is half-way from the eye to the ground."""
    (mesh,) = (g for n, g in scene.geometry.items() if n.startswith("anchors"))
    middles = sorted(tuple(part.bounds.mean(axis=0).round(3)) for part in mesh.split())
    eyes = [anchor.eye - [0.0, 0.0, 0.05] for anchor in full.model.anchors.values()]
    assert np.array(middles) == pytest.approx(np.array(sorted(map(tuple, y_up(eyes)))), abs=2e-3)


def test_wires_end_at_the_eyes(records, full):
    pieces = lines(records, "wires").reshape(4, -1, 2, 3)
    eyes = y_up([anchor.eye for anchor in full.model.anchors.values()])
    assert pieces[:, 0, 0] == pytest.approx(eyes, abs=1e-3)
    assert (np.linalg.norm(pieces[:, -1, 1] - [0.0, 11.0, 0.0], axis=1) < 1e-3).all()


def test_ground_looks_up_and_lies_at_its_height(records):
    (faces,) = primitives(records, "ground")
    points = array(records, faces["attributes"]["POSITION"]).astype(float)
    x, y, z = points.T
    assert y == pytest.approx(0.08 * x + 0.05 * z - 0.25, abs=1e-4)
    a, b, c = points[array(records, faces["indices"]).reshape(-1, 3)].transpose(1, 0, 2)
    twice = np.cross(b - a, c - a)[:, 1]
    assert (twice > 0).all()
    assert twice.sum() / 2 == pytest.approx(120.0**2, rel=1e-6)
    tints = array(records, faces["attributes"]["COLOR_0"])
    assert ((tints >= 0) & (tints <= 1)).all()


def test_what_lies_on_the_ground_is_a_little_above_it(records):
    x, y, z = lines(records, "fall_zone_circle").reshape(-1, 3).T
    assert y == pytest.approx(0.08 * x + 0.05 * z - 0.25 + LIFT, abs=1e-4)


def test_solids_are_seen_from_outside(scene):
    for layer in ("mast", "gin_pole"):
        (mesh,) = (g for n, g in scene.geometry.items() if n == layer or n == f"{layer}_0")
        assert mesh.is_winding_consistent
        assert mesh.volume > 0


def test_numbers_are_within_what_the_records_say(records):
    document, _ = records
    for accessor in document["accessors"]:
        if "min" in accessor:
            found = array(records, document["accessors"].index(accessor))
            assert found.min(axis=0).tolist() == accessor["min"]
            assert found.max(axis=0).tolist() == accessor["max"]


def test_hinge_and_names_are_said(records, full):
    extras = records[0]["asset"]["extras"]
    assert extras["site"] == "Högfält <b>&amp;</b> 丘"
    assert extras["hinge"]["easting"] == full.model.frame.origin_easting
    assert extras["hinge"]["height"] == pytest.approx(80.25)
    assert "y up" in extras["axes"]
