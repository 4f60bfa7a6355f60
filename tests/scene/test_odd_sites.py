"""Scenes of sites that lack something: they are drawn without what is unknown, never with it."""

import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point, box

from visual.checks import assess
from visual.scene.build import SceneMaker
from visual.scene.layers import LabelLayer, MeshLayer
from visual.scene.surroundings import surroundings_layers
from visual.scene.views import named_shots
from visual.site import Feature

BARE = {"mast": {"hinge_height": 0.25}}
HEAD = {
    "mass": 50.0,
    "centre_above_top": 0.2,
    "centre_to_front": 0.0,
    "rotor_diameter": 2.0,
    "rotor_above_top": 0.3,
}


def line(**changes):
    values = {"conductor_heights": (9.0, 9.0), "sag": 0.5, "voltage_kv": 11.0, **changes}
    return Feature("overhead_line", "line", LineString([(-40.0, 30.0), (40.0, 30.0)]), 1, **values)


def finite(layers):
    return all(np.isfinite(layer.points).all() for layer in layers)


def names(layers):
    return {x.text for x in layers if isinstance(x, LabelLayer)}


def test_a_line_of_unknown_sag_is_a_ribbon_between_chord_and_deepest_curve(make_model):
    model = make_model(features=(line(sag=None),))
    maker = SceneMaker(assess(model))
    (ribbon,) = [x for x in maker.fixed if x.role == "sag_range"]
    assert isinstance(ribbon, MeshLayer)
    z = ribbon.vertices[:, 2]
    assert z.max() == pytest.approx(9.0 - 0.25)
    assert z.min() == pytest.approx(9.0 - 0.25 - 0.03 * 80.0, abs=1e-6)
    assert "line (sag unknown)" in names(maker.fixed)


def test_a_line_of_known_sag_has_no_ribbon(make_model):
    model = make_model(features=(line(),))
    roles = {x.role for x in surroundings_layers(model, SceneMaker(assess(model)).terrain)}
    assert "conductor" in roles
    assert "sag_range" not in roles


def test_a_building_without_height_is_an_outline_that_says_so(make_model):
    barn = Feature("building", "barn", box(-30.0, -25.0, -20.0, -15.0), 1)
    maker = SceneMaker(assess(make_model(features=(barn,))))
    assert "barn (height unknown)" in names(maker.fixed)
    assert "building" not in {x.role for x in maker.fixed}
    assert finite(maker.fixed)


def test_what_stands_beyond_the_known_ground_is_left_out(make_model):
    far = (
        Feature("tree", "oak", Point(90.0, 0.0), 1, height=8.0, crown_radius=3.0),
        Feature("viewpoint", "far gate", Point(0.0, 95.0), 2, eye_height=1.6),
        Feature("road", "lane", LineString([(80.0, -80.0), (80.0, 80.0)]), 3),
    )
    report = assess(make_model(features=far))
    maker = SceneMaker(report)
    assert finite(maker.at(None).layers)
    assert "tree" not in {x.role for x in maker.fixed}
    assert "from-far-gate" not in {shot.view.name for shot in named_shots(report, maker.terrain)}


@pytest.mark.parametrize("angle", [None, 0.8])
def test_anchors_on_unknown_ground_have_no_wires_and_no_marks(make_model, angle):
    report = assess(make_model(spacing=2.0, reach=4.0))
    maker = SceneMaker(report)
    scene = maker.at(angle)
    assert finite(scene.layers)
    roles = {x.role for x in scene.layers}
    assert "mast" in roles
    assert not roles & {"anchor", "wire", "wire_slack", "side_stay", "tow_line"}
    for shot in named_shots(report, maker.terrain):
        assert np.isfinite(np.asarray(shot.view.eye)).all(), shot.view.name


def test_a_winch_stands_at_the_front_anchor(make_model):
    model = make_model(changes={"tow": {"by": "winch"}})
    scene = SceneMaker(assess(model)).at(math.radians(40.0))
    winch = next(x for x in scene.layers if x.name == "winch" and isinstance(x, MeshLayer))
    np.testing.assert_allclose(winch.vertices.mean(axis=0), model.anchors["front"].eye, atol=1e-9)
    assert "vehicle" not in names(scene.layers)
    assert "tow_line" in {x.role for x in scene.layers}
    assert "vehicle_ghost" not in {x.role for x in scene.layers}


def test_a_mast_without_head_has_neither_rotor_nor_its_reach(make_model):
    bare = SceneMaker(assess(make_model())).at(None)
    full = SceneMaker(assess(make_model(changes={"mast": {"head": HEAD}}))).at(None)
    parts = {"head", "rotor", "rotor_disc", "rotor_reach"}
    assert not parts & {x.role for x in bare.layers}
    assert parts <= {x.role for x in full.layers}


def test_a_site_with_nothing_around_has_no_closest_view(make_model):
    report = assess(make_model())
    shots = named_shots(report, SceneMaker(report).terrain)
    names = [shot.view.name for shot in shots]
    assert names == ["overview", "plan", "raising", "forces", "front", "stakeout", "wires"]


def test_where_the_ground_behind_is_unknown_no_start_is_told_and_the_fall_zone_is_whole(make_model):
    barn = Feature("building", "barn", box(6.0, 7.0, 9.0, 9.5), 1, height=3.0)
    report = assess(make_model(features=(barn,), spacing=2.0, reach=10.0))
    assert math.isnan(report.raised.start.angle)
    scene = SceneMaker(report).at(None)
    words = [layer.text for layer in scene.layers if isinstance(layer, LabelLayer)]
    assert "mast laid down, start not known" in words
    assert not [text for text in words if "start 0" in text]
    assert any(text.endswith("from level up: start not known") for text in words)
    edge = next(layer for layer in scene.layers if layer.role == "fall_zone_edge")
    (ring,) = edge.paths
    np.testing.assert_allclose(ring[0], ring[-1], atol=1e-9)
    assert np.abs(ring[:, 0]).max() > 12.0
