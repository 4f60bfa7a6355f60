"""DXF, audited and read back with ezdxf."""

from dataclasses import replace

import ezdxf
import numpy as np
import pytest

from visual.exports.dxf import APP, write_dxf
from visual.frame import make_frame
from visual.model import installed_wires


@pytest.fixture(scope="module")
def document(full):
    return ezdxf.readfile(full.files[".dxf"])


@pytest.fixture(scope="module")
def space(document):
    return document.modelspace()


def points_of(space, layer):
    return np.array([point.dxf.location for point in space.query(f'POINT[layer=="{layer}"]')])


def lines_of(space, layer):
    lines = space.query(f'POLYLINE[layer=="{layer}"]')
    assert all(line.is_3d_polyline for line in lines)
    return [np.array(list(line.points())) for line in lines]


def faces_of(space, layer):
    return np.array(
        [face.wcs_vertices()[:3] for face in space.query(f'3DFACE[layer=="{layer}"]')], dtype=float
    )


def data_of(entity):
    """Return name and attributes; pieces of a long text are joined again."""
    pieces = [text for code, text in entity.get_xdata(APP) if code == 1000]
    found: list[str] = []
    for before, piece in zip(["", *pieces], pieces, strict=False):
        if len(before) == 80:  # a full one goes on
            found[-1] += piece
        else:
            found.append(piece)
    return dict(text.split("=", 1) for text in found)


def test_audit_finds_nothing(document, plain):
    for one in (document, ezdxf.readfile(plain.files[".dxf"])):
        audit = one.audit()
        assert not audit.errors
        assert not audit.fixes


def test_every_layer_is_there_with_its_subject(document, full):
    names = {layer.dxf.name for layer in document.layers}
    assert {layer.key for layer in full.drawing.layers} <= names
    assert document.layers.get("fall_zone_contact").description == (
        "fall zone: ground a falling mast can touch"
    )
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used <= names
    assert {layer.key for layer in full.drawing.layers} <= used


def test_units_are_metres_of_the_sites_grid(document):
    assert document.header["$INSUNITS"] == 6
    assert document.header["$MEASUREMENT"] == 1
    words = dict(document.header.custom_vars.properties)
    assert words["COORDINATES"] == "grid of the site (EPSG:32630), heights in its unit"
    assert "Planning aid, not a stamped design" in words["NOTE"]


def test_anchors_lie_where_the_model_has_them(space, full):
    eyes = full.grid([anchor.eye for anchor in full.model.anchors.values()])
    assert points_of(space, "anchors") == pytest.approx(eyes, abs=1e-3)


def test_wires_run_from_eye_to_collar(space, full):
    wires = installed_wires(full.model)
    lines = lines_of(space, "wires")
    assert len(lines) == len(wires) == 4
    for line, wire in zip(lines, wires, strict=True):
        collar = full.model.rig.mast.collars[wire.level].height
        ends = full.grid([full.model.anchors[wire.side].eye, [0.0, 0.0, collar]])
        assert line[[0, -1]] == pytest.approx(ends, abs=1e-3)
        length = np.linalg.norm(np.diff(line, axis=0), axis=1).sum()
        assert wire.straight_length < length / 0.9997 < wire.straight_length + 0.05


def test_ground_is_faces_at_the_right_height(space, full):
    corners = faces_of(space, "ground").reshape(-1, 3)
    assert len(corners) == 3 * len(full.drawing.items_of("ground")[0].solid[1])
    x, y = full.model.frame.to_local(corners[:, 0], corners[:, 1])
    assert corners[:, 2] == pytest.approx(80.0 + 0.08 * x - 0.05 * y, abs=1e-3)


def test_ground_faces_look_up_and_cover_the_ground_once(space):
    a, b, c = faces_of(space, "ground").transpose(1, 0, 2)
    twice = np.cross(b - a, c - a)[:, 2]
    assert (twice > 0).all()
    assert twice.sum() / 2 == pytest.approx(120.0**2 * 0.9996**2, rel=1e-3)


def test_mast_stands_as_high_as_it_is(space, full):
    (line,) = lines_of(space, "mast")
    assert line[1] - line[0] == pytest.approx([0.0, 0.0, full.model.rig.mast.length], abs=1e-6)
    faces = faces_of(space, "mast_faces").reshape(-1, 3)
    assert np.ptp(faces[:, 2]) == pytest.approx(full.model.rig.mast.length, abs=1e-6)
    assert np.ptp(faces[:, 0]) == pytest.approx(0.1143, abs=1e-3)


def test_building_faces_close_around_its_volume(space):
    """Walls and roof alone: the volume below the roof, by the divergence theorem."""
    faces = faces_of(space, "buildings_faces")
    base = faces[:, :, 2].min()
    shifted = faces - [*faces[0, 0, :2], base]
    volume = np.einsum("ij,ij->i", shifted[:, 0], np.cross(shifted[:, 1], shifted[:, 2])).sum() / 6
    height = faces[:, :, 2].max() - base
    area = (10 * 8 - 3 * 3) * 0.9996**2
    assert volume == pytest.approx(area * height, rel=1e-3)


def test_names_and_attributes_are_with_the_things(space, full):
    anchors = space.query('POINT[layer=="anchors"]')
    data = data_of(anchors[0])
    assert data["name"] == "front anchor"
    assert data["as_built"] == "False"
    eye = full.model.frame.height(float(full.model.anchors["front"].eye[2]))
    assert float(data["eye_height_m"]) == pytest.approx(eye)
    (item,) = full.drawing.items_of("buildings")
    found = data_of(space.query('POLYLINE[layer=="buildings"]')[0])
    assert found["name"] == item.name == "<script>alert('x')</script> & \"barn\""


def test_hostile_names_are_plain_texts(space, full):
    for key in ("road", "boundary", "overhead_lines", "viewpoints", "keep_out"):
        (item,) = full.drawing.items_of(key)
        (text,) = space.query(f'TEXT[layer=="{key}"]')
        shown = text.plain_text()
        assert shown == (item.name if len(item.name) <= 80 else f"{item.name[:79]}…")
        assert not set(shown) & set("\n\r\x07\u2028")


def test_drawing_opens_at_the_mast(document, full):
    view = document.viewports.get("*Active")[0]
    assert tuple(view.dxf.center)[:2] == pytest.approx(full.grid([0.0, 0.0, 0.0])[0, :2], abs=1e-3)


def test_ink_shows_on_a_dark_sheet(document):
    assert document.layers.get("wires").color == 7
    assert document.layers.get("wires").rgb is None
    assert document.layers.get("fall_zone_circle").rgb is not None


def test_what_covers_everything_is_off_at_first(document):
    off = [layer.dxf.name for layer in document.layers if layer.is_off()]
    assert off == ["required_clearance_faces"]


def moved(plain, crs, easting, northing):
    """Return the same things in another place."""
    frame = make_frame(crs=crs, easting=easting, northing=northing, height=30.0, date=None)
    return replace(plain.drawing, crs=crs, frame=frame)


def test_grid_in_feet_has_heights_in_feet(plain, tmp_path):
    write_dxf(moved(plain, "EPSG:2263", 985000.0, 210000.0), tmp_path / "feet.dxf")
    document = ezdxf.readfile(tmp_path / "feet.dxf")
    assert document.header["$INSUNITS"] == 21
    assert document.header["$MEASUREMENT"] == 0
    (base,) = points_of(document.modelspace(), "base")
    foot = 1200 / 3937
    assert base == pytest.approx([985000.0, 210000.0, (30.0 - 0.25) / foot], abs=1e-3)


def test_grid_in_degrees_is_drawn_in_metres_from_the_hinge(plain, tmp_path):
    write_dxf(moved(plain, "EPSG:4326", 0.0, 0.0), tmp_path / "degrees.dxf")
    document = ezdxf.readfile(tmp_path / "degrees.dxf")
    assert document.header["$INSUNITS"] == 6
    assert "metres from the hinge" in dict(document.header.custom_vars.properties)["COORDINATES"]
    front, *_ = points_of(document.modelspace(), "anchors")
    assert front == pytest.approx([0.0, 8.0, -0.15], abs=1e-6)


def test_local_grid_keeps_its_coordinates(plain):
    space = ezdxf.readfile(plain.files[".dxf"]).modelspace()
    front, *_ = points_of(space, "anchors")
    assert front == pytest.approx([0.0, 8.0, 100.1], abs=1e-6)
