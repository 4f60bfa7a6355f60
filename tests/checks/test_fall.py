"""The fall zone on layouts where the nearest place of everything is plain.

Without a head the mast reaches 12 m beyond the hinge, which is 0.25 m above the ground: total
height 12.25 m.
"""

import math

import pytest
from shapely.geometry import LineString, Point, box

from visual.checks.fall import judge_fall_zone
from visual.checks.moving import find_obstacles
from visual.checks.zones import find_fall_zone
from visual.site import Feature

TOTAL = 12.25
TABLE_A = 10 * 0.3048  # [m] up to 50 kV


@pytest.fixture
def judged(make_model):
    def judge(*features, ground=None, changes=None, **known):
        shape = {"ground": ground} if ground else {}
        known = {"spacing": 20.0, **known, **shape}
        model = make_model(changes=changes, features=features, **known)
        zone, around = find_fall_zone(model), find_obstacles(model)
        return {f.subject: f for f in judge_fall_zone(model, zone, around.obstacles)}

    return judge


def barn(west, name="barn"):
    return Feature("building", name, box(west, -4.0, west + 6.0, 4.0), 1, height=5.0)


def overhead(z, north, voltage=11.0):
    plan, heights = LineString([(-30.0, north), (30.0, north)]), (z + 0.25, z + 0.25)
    return Feature(
        "overhead_line", "line", plan, 1, conductor_heights=heights, sag=0.0, voltage_kv=voltage
    )


@pytest.mark.parametrize(
    ("away", "status"), [(12.24, "stop"), (12.26, "caution"), (12.74, "caution"), (12.76, "ok")]
)
def test_building_just_inside_and_outside_the_total_height(judged, away, status):
    finding = judged(barn(away))["barn"]
    assert finding.value == pytest.approx(away, abs=1e-3)
    assert finding.limit == pytest.approx(TOTAL)
    assert finding.status == status
    assert finding.where[0] == pytest.approx(away)


def test_contact_is_measured_in_3d_the_circle_in_plan(judged):
    """Up the slope the corner of the wall is 11.5 m away in plan, but 12.75 m from the hinge."""
    uphill = Feature("building", "house", box(-4.0, 11.5, 4.0, 20.0), 1, height=5.0)
    finding = judged(uphill, ground=lambda x, y: 100.25 + 0.5 * y + 0.0 * x)["house"]
    assert finding.value == pytest.approx(math.hypot(11.5, 0.5 * 11.5 - 0.25), abs=1e-3)
    assert finding.status == "caution"
    assert "inside the circle" in finding.message.in_units("metric")


def test_a_wider_circle_is_a_caution_not_a_stop(judged):
    wider = {"limits": {"fall_zone_times": 1.5}}
    assert judged(barn(15.0), changes=wider)["barn"].status == "caution"
    assert judged(barn(18.4), changes=wider)["barn"].status == "ok"


def test_two_buildings_of_one_name_are_judged_each_by_its_own_place(make_model):
    near, far = barn(15.0, "shed"), barn(40.0, "shed")
    changes = {"limits": {"fall_zone_times": 1.5}}
    model = make_model(changes=changes, features=(near, far), spacing=20.0)
    zone, around = find_fall_zone(model), find_obstacles(model)
    statuses = [f.status for f in judge_fall_zone(model, zone, around.obstacles)]
    assert statuses == ["caution", "ok"]


def test_mast_inside_a_building(judged):
    finding = judged(Feature("building", "hall", box(-5, -5, 5, 5), 1, height=4.0))["hall"]
    assert (finding.status, finding.value) == ("stop", 0.0)


@pytest.mark.parametrize(
    ("north", "z", "left", "status"),
    [
        (9.0, 12.0, 2.75, "stop"),  # 3-4-5: 15 m from the hinge
        (12.0, 16.0, 7.75, "ok"),  # 20 m
        (12.0, 9.0, 2.75, "stop"),
        (3.0, 4.0, 0.0, "stop"),
        (0.0, 15.5, 3.25, "caution"),
    ],
)
def test_falling_at_an_overhead_line(judged, north, z, left, status):
    finding = judged(overhead(z, north))["falling mast to line"]
    assert finding.value == pytest.approx(left, abs=1e-3)
    assert finding.limit == pytest.approx(TABLE_A)
    assert finding.status == status
    assert finding.margin == pytest.approx(math.hypot(north, z) - TOTAL - TABLE_A, abs=1e-3)


def test_falling_at_a_line_of_unknown_voltage_and_beyond_every_table(judged):
    unknown = judged(overhead(16.0, 12.0, None))["falling mast to line"]
    beyond = judged(overhead(16.0, 12.0, 1100.0))["falling mast to line"]
    assert unknown.limit == pytest.approx(20 * 0.3048)
    assert (beyond.status, beyond.limit) == ("not checked", None)


@pytest.mark.parametrize(
    ("away", "road", "boundary"),
    [
        (12.2, "stop", "caution"),
        (12.3, "caution", "caution"),
        (12.7, "caution", "caution"),
        (12.8, "ok", "ok"),
    ],
)
def test_road_and_boundary(judged, away, road, boundary):
    line = LineString([(-40.0, away), (40.0, away)])
    features = (Feature("road", "lane", line, 1), Feature("boundary", "fence", line, 2))
    found = judged(*features)
    assert (found["lane"].status, found["fence"].status) == (road, boundary)
    assert found["lane"].value == pytest.approx(away)


def test_inside_a_boundary_its_line_counts_inside_a_road_the_road_itself(judged):
    square = box(-20.0, -20.0, 20.0, 20.0)
    found = judged(Feature("boundary", "land", square, 1), Feature("road", "yard", square, 2))
    assert found["land"].value == pytest.approx(20.0)
    assert found["land"].status == "ok"
    assert (found["yard"].status, found["yard"].value) == ("stop", 0.0)


def test_trees_are_not_held_against_the_fall_zone(judged):
    tree = Feature("tree", "oak", Point(5.0, 5.0), 1, height=8.0, crown_radius=2.0)
    assert judged(tree) == {}


def test_unknown_ground_in_the_fall_zone_is_said(judged):
    found = judged(spacing=5.0, reach=10.0)
    assert found["ground in the fall zone"].status == "not checked"


def test_a_building_on_unknown_ground_is_nowhere_ok(judged):
    assert "barn" not in judged(barn(12.0), spacing=5.0, reach=15.0)
