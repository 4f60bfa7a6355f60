"""What the scenes of the sample sites hold, without drawing them."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import LineString, Point

from visual.checks.setback import plan_shapes, required_distance
from visual.raising import gin_direction, mast_direction
from visual.scene.attention import worst_clearance
from visual.scene.ghosts import shown_angles
from visual.scene.layers import DimensionLayer, LabelLayer, LineLayer, MeshLayer

EVERY = ["paddock", "terrace", "yard"]


def roles(scene, group=None):
    return {layer.role for layer in scene.layers if group is None or layer.group == group}


def texts(scene, group=None):
    return {
        layer.text
        for layer in scene.layers
        if isinstance(layer, LabelLayer) and (group is None or layer.group == group)
    }


def points_of(scene, role, group=None):
    found = [x.points for x in scene.layers if x.role == role and group in (None, x.group)]
    return np.concatenate(found)


@pytest.mark.parametrize("name", EVERY)
def test_a_standing_mast_has_no_gin_pole_and_a_raised_one_has(maker, name):
    standing, raised = maker(name).at(None), maker(name).at(math.radians(45))
    moving = {"gin_pole", "lift_wire", "side_stay", "tow_line", "vehicle"}
    assert not roles(standing) & moving
    assert moving <= roles(raised)
    assert roles(standing) >= {"mast", "wire", "anchor", "base", "fall_zone", "ground_cut"}


@pytest.mark.parametrize("name", EVERY)
def test_every_number_of_every_layer_is_known(maker, name):
    for layer in maker(name).at(math.radians(45)).layers:
        assert np.isfinite(layer.points).all(), (layer.role, layer.name)


@pytest.mark.parametrize("name", EVERY)
def test_layers_that_turn_with_the_mast_may_be_turned_by_a_viewer(maker, judged, name):
    model = judged(name).model
    low, high = math.radians(20.0), math.radians(77.0)
    before, after = (
        [x for x in maker(name).at(a).layers if x.motion == "mast"] for a in (low, high)
    )
    # a rotation about the hinge axis written by its formula (Rodrigues), not by the program
    axis, by = -model.rightward, high - low
    assert len(before) == len(after) > 8
    for one, other in zip(before, after, strict=True):
        assert (one.role, one.name) == (other.role, other.name)
        p = one.points
        turned = (
            p * math.cos(by)
            + np.cross(axis, p) * math.sin(by)
            + np.outer(p @ axis, axis) * (1 - math.cos(by))
        )
        np.testing.assert_allclose(other.points, turned, atol=1e-9)


@pytest.mark.parametrize("name", ["paddock", "terrace"])
def test_what_is_fixed_stays_where_it_is(maker, name):
    before, after = (
        [x for x in maker(name).at(a).layers if x.motion == "fixed"] for a in (0.4, 1.2)
    )
    for one, other in zip(before, after, strict=True):
        np.testing.assert_array_equal(one.points, other.points)


def test_the_mast_is_drawn_where_the_raise_puts_it(maker, judged):
    model = judged("paddock").model
    angle = math.radians(33.0)
    scene = maker("paddock").at(angle)
    top = points_of(scene, "mast") @ mast_direction(model, angle)
    assert top.max() == pytest.approx(model.rig.mast.length)
    tip = points_of(scene, "gin_pole") @ gin_direction(model, angle)
    assert tip.max() == pytest.approx(model.rig.gin_pole.length)


@pytest.mark.parametrize("name", EVERY)
def test_the_reach_of_the_rotor_is_a_circle_in_the_raising_plane(maker, judged, name):
    model = judged(name).model
    head = model.rig.mast.head
    scene = maker(name).at(math.radians(50.0))
    if head is None or head.rotor_radius == 0:
        assert "rotor_reach" not in roles(scene)
        return
    ring = points_of(scene, "rotor_reach", "only:reach")
    centre = model.rig.mast.hub_above_hinge * mast_direction(model, math.radians(50.0))
    np.testing.assert_allclose(np.linalg.norm(ring - centre, axis=1), head.rotor_radius)
    np.testing.assert_allclose((ring - centre) @ model.rightward, 0, atol=1e-9)
    start = points_of(scene, "rotor_reach", "ghosts").mean(axis=0)
    axis = mast_direction(model, judged(name).raised.first_angle)
    assert np.cross(start, axis) == pytest.approx(np.zeros(3), abs=0.1)


@pytest.mark.parametrize("name", ["paddock", "terrace"])
def test_setback_lines_keep_the_distance_of_their_rule_and_ticks_lie_behind_them(
    maker, judged, name
):
    report = judged(name)
    model = report.model
    layers = maker(name).fixed
    for rule in model.site.limits.setbacks:
        required = required_distance(model, rule)
        shapes = [shape for _, shape in plan_shapes(model, rule.to)]
        if rule.to == "boundary":
            shapes = [shape.boundary if shape.area else shape for shape in shapes]
        kind = f"from {rule.to.replace('_', ' ')}"
        named = [x for x in layers if kind in x.name and isinstance(x, LineLayer)]
        lines = [x for x in named if x.role == "setback"]
        ticks = [x for x in named if x.role == "setback_comb"]
        assert lines
        assert ticks
        for x, y, _ in np.concatenate([line.points for line in lines])[::7]:
            nearest = min(shape.distance(Point(x, y)) for shape in shapes)
            assert nearest == pytest.approx(required, abs=0.3)
        for x, y, _ in np.concatenate([tick.points for tick in ticks]):
            assert min(shape.distance(Point(x, y)) for shape in shapes) < required + 0.1


def test_a_setback_is_named_along_its_line_where_the_mast_may_stand(maker, judged):
    layers = maker("paddock").fixed
    names = [
        x
        for x in layers
        if isinstance(x, LabelLayer) and x.text.startswith("keep 22.39 m from boundary: is ")
    ]
    land = judged("paddock").model.surroundings.areas_of("boundary")[0].shape
    assert names
    for label in names:
        assert label.along is not None
        assert land.boundary.distance(Point(*label.at[:2])) > 22.385


def test_no_full_area_is_drawn_for_setbacks(maker):
    for layer in maker("paddock").fixed:
        assert not (isinstance(layer, MeshLayer) and "setback" in layer.role)


def test_a_plan_names_the_base_and_says_how_to_stake_out(maker):
    found = texts(maker("terrace").at(None), "only:plan")
    assert "base plate" in found
    assert "left anchor\n26 ft 0 in at 270.0°" in found
    distances = [x for x in maker("terrace").fixed if isinstance(x, DimensionLayer)]
    plan = {x.text for x in distances if x.group == "only:plan"}
    assert {"26 ft 0 in", "32 ft 0 in"} <= plan


def test_the_mast_is_named_with_its_total_height_in_the_units_of_the_site(maker):
    assert "mast 18.00 m,\ntotal height 20.35 m" in texts(maker("paddock").at(None))
    assert "mast 39 ft 4 in,\ntotal height 45 ft 2 in" in texts(maker("terrace").at(None))


def test_heights_of_the_front_view_stand_outside_of_the_wires(maker, judged):
    for name in EVERY:
        model = judged(name).model
        anchors = [anchor.eye @ model.rightward for anchor in model.anchors.values()]
        upright = [
            x for x in maker(name).fixed if isinstance(x, DimensionLayer) and "height" in x.text
        ]
        assert upright
        for one in upright:
            assert one.start @ model.rightward > max(anchors) + 0.5
            assert (one.end - one.start)[2] == pytest.approx(
                model.rig.mast.hub_height if "hub" in one.text else model.rig.mast.total_height
            )


def test_ghosts_start_at_the_start_angle_and_go_on_in_whole_steps(judged):
    raised = judged("moved").raised
    degrees = np.degrees(shown_angles(raised, 15.0))
    assert degrees[0] == pytest.approx(math.degrees(raised.first_angle))
    np.testing.assert_allclose(degrees[1:], [15, 30, 45, 60, 75, 90])
    assert np.degrees(shown_angles(raised, 30.0))[1:] == pytest.approx([30, 60, 90])


def test_the_overview_tells_the_whole_raise(maker):
    assert roles(maker("paddock").at(None), "only:overview") >= {
        "arc", "arc_tip", "mast_ghost", "mast_laid", "gin_pole_ghost", "tow_line_ghost",
        "vehicle_ghost", "setback_light",
    }  # fmt: skip


def test_only_a_crossing_line_has_a_section(maker, judged):
    across = points_of(maker("paddock").at(None), "required_clearance_edge", "only:along")
    model = judged("paddock").model
    np.testing.assert_allclose(across @ model.rightward, 0, atol=1e-6)
    line = model.surroundings.lines[0]
    wide = model.site.limits.overhead_line.required(line.voltage_kv).distance + line.spread / 2
    middle = across[:-1].mean(axis=0)
    # an oblique cut is never narrower than the clearance itself
    assert np.linalg.norm(across - middle, axis=1).min() == pytest.approx(wide, rel=1e-3)
    along = [x for x in maker("terrace").fixed if x.group == "only:along"]
    assert not any(x.role.startswith("required") for x in along)


def test_rings_of_a_tube_stand_at_supports_and_where_it_comes_nearest(maker, judged):
    line = judged("paddock").model.surroundings.lines[0]
    hoops = [x for x in maker("paddock").fixed if x.group == "hoops"]
    assert sum(len(x.paths) for x in hoops) <= len(line.supports) + 1


def test_if_all_is_clear_the_power_line_is_shown_before_a_nearer_tree(judged):
    worst = worst_clearance(judged("moved"))
    assert worst.obstacle.kind == "overhead_line"
    assert worst.margin > min(c.margin for c in judged("moved").clearances)


def test_what_is_too_near_is_shown_before_anything_else(judged):
    worst = worst_clearance(judged("paddock"))
    assert worst.margin == min(c.margin for c in judged("paddock").clearances)
    assert worst.margin < 0


def test_what_no_table_judges_is_shown_before_what_is_clear(judged):
    report = judged("moved")
    line = worst_clearance(report)
    unknown = replace(line.obstacle.requirement, distance=None)
    odd = replace(line, obstacle=replace(line.obstacle, requirement=unknown))
    assert worst_clearance(replace(report, clearances=(*report.clearances, odd))) is odd


def test_a_date_stands_on_a_picture_only_if_the_site_file_has_one(maker):
    assert maker("yard").caption.date == ""
    assert maker("paddock").caption.date == "2026-06-01"


def test_names_of_areas_stand_in_or_beside_their_area(maker, judged):
    areas = {area.name: area.shape for area in judged("paddock").model.surroundings.areas}
    labels = [x for x in maker("paddock").fixed if x.group == "area_names"]
    assert {x.text for x in labels} >= {"farm track", "wet ground", "buried drain"}
    for label in labels:
        shape = areas[label.text]
        lines = LineString(shape.coords) if shape.geom_type == "LineString" else shape
        assert lines.distance(Point(*label.at[:2])) < 2.0
