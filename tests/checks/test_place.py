"""Wire angles, anchor places and rotor height on layouts that can be worked out by hand.

The collar is 11 m above the hinge and an anchor's eye 0.15 m below it, so a wire rises 11.15 m.
"""

import math

import pytest
from shapely.geometry import LineString, Point, box

from visual.checks.place import judge_anchors, judge_rotor_height, judge_wire_angles
from visual.site import Feature

RISE = 11.15
HEAD = {
    "mass": 50.0,
    "centre_above_top": 0.2,
    "centre_to_front": 0.0,
    "rotor_diameter": 2.0,
    "rotor_above_top": 0.3,
}


def slope_north(x, y):
    return 100.0 + 0.3 * y + 0.0 * x


@pytest.mark.parametrize(
    ("radius", "status", "limit"),
    [(6.43, "stop", 60.0), (6.45, "ok", 60.0), (15.9, "ok", 35.0), (15.95, "stop", 35.0)],
)
def test_wire_angle_on_either_side_of_its_limits(make_model, radius, status, limit):
    """11.15 m up on 6.44 m out is 60°, on 15.92 m out 35°."""
    findings = judge_wire_angles(make_model(changes={"anchors": {"radius": radius}}))
    assert [f.subject for f in findings] == [
        f"wire {s}" for s in ("front", "right", "back", "left")
    ]
    for finding in findings:
        assert finding.value == pytest.approx(math.degrees(math.atan2(RISE, radius)))
        assert finding.limit == pytest.approx(limit)
        assert finding.status == status


def test_advice_moves_the_anchor_to_the_limit(make_model):
    limits = {"limits": {"wire_angle": [40.0, 50.0]}}
    finding = judge_wire_angles(make_model(changes=limits))[0]
    assert finding.status == "stop"
    least = math.ceil(100 * (RISE / math.tan(math.radians(50.0)) - 8.0)) / 100
    assert f"{least:.2f} m out" in finding.message.in_units("metric")
    assert "stated in the site file" in finding.basis


def test_wire_angle_counts_the_ground_of_its_own_anchor(make_model):
    found = {f.subject: f.value for f in judge_wire_angles(make_model(slope_north))}
    assert found["wire front"] == pytest.approx(math.degrees(math.atan2(RISE - 2.4, 8.0)))
    assert found["wire back"] == pytest.approx(math.degrees(math.atan2(RISE + 2.4, 8.0)))
    assert found["wire left"] == pytest.approx(math.degrees(math.atan2(RISE, 8.0)))


@pytest.mark.parametrize("kind", ["keep_out", "water", "road", "building"])
@pytest.mark.parametrize(("edge", "hit"), [(7.99, True), (8.01, False)])
def test_anchor_on_what_is_forbidden(make_model, kind, edge, hit):
    height = 4.0 if kind == "building" else None
    thing = Feature(kind, "thing", box(edge, -2.0, 12.0, 2.0), 1, height=height)
    stops = [f for f in judge_anchors(make_model(features=(thing,))) if f.status == "stop"]
    assert [f.subject for f in stops] == (["right anchor on thing"] if hit else [])


def test_an_anchor_outside_the_boundary(make_model):
    land = Feature("boundary", "land", box(-20.0, -20.0, 6.5, 20.0), 1)
    stops = [f for f in judge_anchors(make_model(features=(land,))) if f.status == "stop"]
    (finding,) = stops
    assert finding.subject == "right anchor and boundary"
    assert finding.margin == pytest.approx(-1.5)
    assert finding.where == pytest.approx((8.0, 0.0, -0.15))


def test_all_anchors_inside_the_boundary(make_model):
    land = Feature("boundary", "land", box(-9.0, -9.0, 9.0, 9.0), 1)
    findings = judge_anchors(make_model(features=(land,)))
    assert {f.status for f in findings} == {"ok"}
    assert len(findings) == 4


def test_two_adjoining_fields_of_one_owner_are_one_piece_of_land(make_model):
    west = Feature("boundary", "west field", box(-9.0, -9.0, 1.0, 9.0), 1)
    east = Feature("boundary", "east field", box(1.0, -9.0, 9.0, 9.0), 2)
    findings = judge_anchors(make_model(features=(west, east)))
    assert {f.status for f in findings} == {"ok"}


def test_a_boundary_without_an_inside_is_not_checked(make_model):
    fence = Feature("boundary", "fence", LineString([(-20.0, 9.0), (20.0, 9.0)]), 1)
    for features in ((), (fence,)):
        *anchors, boundary = judge_anchors(make_model(features=features))
        assert {f.status for f in anchors} == {"ok"}
        assert boundary.status == "not checked"
        assert "no boundary is known" in boundary.message.in_units("metric")


def test_unknown_ground_at_an_anchor_is_not_checked(make_model):
    model = make_model(changes={"anchors": {"right": {"radius": 70.0}}})
    places = {f.subject: f.status for f in judge_anchors(model)}
    angles = {f.subject: f.status for f in judge_wire_angles(model)}
    assert places["right anchor"] == angles["wire right"] == "not checked"
    assert places["left anchor"] == angles["wire left"] == "ok"


@pytest.mark.parametrize(
    ("built", "status"),
    [
        ({"position": [70.0, 0.0]}, "not checked"),
        ({"position": [70.0, 0.0], "height": 100.1}, "ok"),
    ],
)
def test_as_built_off_the_known_ground_needs_its_own_height(make_model, built, status):
    model = make_model(changes={"anchors": {"right": built}})
    assert {f.subject: f.status for f in judge_anchors(model)}["right anchor"] == status


def test_as_built_position_and_height_win(make_model):
    built = {"position": [9.0, 1.0], "height": 101.25}
    model = make_model(changes={"anchors": {"right": built}})
    found = {f.subject: f.value for f in judge_wire_angles(model)}
    # the hinge is at 100.25, so the eye is 1 m above it
    assert found["wire right"] == pytest.approx(math.degrees(math.atan2(10.0, math.hypot(9, 1))))


@pytest.mark.parametrize(
    ("height", "status", "above"),
    [(5.0, "caution", 6.55), (2.4, "ok", 9.15), (2.5, "caution", 9.05)],
)
def test_lowest_point_of_the_rotor_above_a_house(make_model, height, status, above):
    """Hub 12.3 m above the hinge, rotor radius 1 m, ground 0.25 m below the hinge; 30 ft asked."""
    house = Feature("building", "house", box(20.0, 20.0, 30.0, 30.0), 1, height=height)
    (finding,) = judge_rotor_height(make_model(changes={"mast": {"head": HEAD}}, features=(house,)))
    assert finding.value == pytest.approx(above)
    assert finding.limit == pytest.approx(9.144)
    assert finding.status == status


def test_only_what_is_near_counts_and_the_highest_of_it(make_model):
    near = Feature("tree", "hedge", Point(25.0, 0.0), 1, height=3.0, crown_radius=1.0)
    low = Feature("building", "hut", box(10, 10, 12, 12), 2, height=2.0)
    far = Feature("tree", "poplar", Point(0.0, 32.0), 3, height=20.0, crown_radius=1.0)
    tables = {"mast": {"head": HEAD}, "limits": {"rotor_within": 30.0}}
    (finding,) = judge_rotor_height(make_model(changes=tables, features=(near, low, far)))
    assert finding.subject == "rotor above hedge"
    assert finding.value == pytest.approx(11.3 - 2.75)


def test_without_rotor_nothing_is_said_of_its_height(make_model):
    house = Feature("building", "house", box(20, 20, 30, 30), 1, height=9.0)
    assert judge_rotor_height(make_model(features=(house,))) == []


def test_a_line_of_water_touches_an_anchor_only_where_it_runs(make_model):
    ditch = Feature("water", "ditch", LineString([(8.0, -30.0), (8.0, 30.0)]), 1)
    stops = [f for f in judge_anchors(make_model(features=(ditch,))) if f.status == "stop"]
    assert [f.subject for f in stops] == ["right anchor on ditch"]
