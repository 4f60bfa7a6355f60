"""Clearances of what moves, on layouts where Pythagoras gives the answer.

Level ground, front to the north, so the mast swings in the plane x = 0 and lies to the south.
With the head on, the rotor's centre goes on a circle of 12.3 m about the hinge, radius 1 m.
"""

import dataclasses
import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point, box

from visual.checks.moving import find_clearances, find_obstacles, judge_clearances
from visual.ground import Surface, make_tin
from visual.raising import analyse_raise
from visual.site import Feature

FOOT = 0.3048
HEAD = {
    "mass": 50.0,
    "centre_above_top": 0.2,
    "centre_to_front": 0.0,
    "rotor_diameter": 2.0,
    "rotor_above_top": 0.3,
}
WITH_HEAD = {"mast": {"head": HEAD}}
TUBE_RADIUS = 0.1143 / 2
START = math.asin((0.5 + TUBE_RADIUS - 0.25) / 12.0)  # the bare mast lies on its trestle


def overhead(z, *, north=-9.0, sag=0.0, half_span=30.0, **details):
    """Return a line that runs east to west with its conductors z above the hinge."""
    plan = LineString([(-half_span, north), (half_span, north)])
    heights = (z + 0.25, z + 0.25)
    return Feature("overhead_line", "line", plan, 1, conductor_heights=heights, sag=sag, **details)


@pytest.fixture
def judged(make_model):
    """Return clearances by part and obstacle, and the findings, of a site."""

    def judge(*features, changes=None, **known):
        model = make_model(changes=changes, features=features, **{"spacing": 20.0, **known})
        raised = analyse_raise(model)
        around = find_obstacles(model)
        found = find_clearances(model, raised, around.obstacles)
        by_pair = {(c.part, c.obstacle.name): c for c in found}
        return by_pair, judge_clearances(model, raised, around, found)

    return judge


def test_rotor_to_a_line_above(judged):
    """The conductor is (9, 12) from the hinge: 15 m; 15 − 12.3 − 1 = 1.7."""
    pairs, (finding,) = judged(overhead(12.0, voltage_kv=11.0), changes=WITH_HEAD)
    assert finding.subject == "rotor to line"
    assert finding.value == pytest.approx(1.7, abs=1e-3)
    assert finding.angle == pytest.approx(math.degrees(math.atan2(12.0, 9.0)), abs=2.0)
    assert finding.limit == pytest.approx(10 * FOOT)
    assert finding.status == "stop"
    assert finding.margin == pytest.approx(1.7 - 10 * FOOT, abs=1e-3)
    # the mast top goes on a circle of 12 m
    mast = pairs["mast", "line"].closest.distance
    assert mast == pytest.approx(15.0 - 12.0 - TUBE_RADIUS, abs=1e-3)


@pytest.mark.parametrize(
    ("details", "expected"),
    [
        ({"sag": 0.0}, 1.7),
        ({"z": 13.0, "sag": 1.0}, 1.7),  # lowest in the middle, which is over the mast
        ({"sag": 0.0, "spread": 1.4}, 1.0),
    ],
)
def test_sag_and_spread_bring_the_conductors_nearer(judged, details, expected):
    line = overhead(details.pop("z", 12.0), voltage_kv=11.0, **details)
    _, (finding,) = judged(line, changes=WITH_HEAD)
    assert finding.value == pytest.approx(expected, abs=1e-3)


def test_unknown_sag_is_taken_deep_and_said(judged):
    _, (finding,) = judged(overhead(13.8, sag=None, voltage_kv=11.0), changes=WITH_HEAD)
    assert finding.value == pytest.approx(1.7, abs=1e-2)  # 3 % of 60 m lower
    assert "sag unknown" in finding.message.in_units("metric")


@pytest.mark.parametrize(
    ("voltage", "feet"),
    [(0.4, 10), (50.0, 10), (50.1, 15), (110.0, 15), (200.0, 15), (345.0, 20), (None, 20)],
)
def test_distance_asked_for_goes_by_voltage(judged, voltage, feet):
    _, (finding,) = judged(overhead(12.0, voltage_kv=voltage), reach=40.0)
    assert finding.limit == pytest.approx(feet * FOOT)
    assert finding.check == "overhead line"


def test_no_table_reaches_above_a_million_volts(judged):
    _, (finding,) = judged(overhead(12.0, voltage_kv=1100.0), changes=WITH_HEAD)
    assert finding.status == "not checked"
    assert finding.value == pytest.approx(1.7, abs=1e-3)
    assert finding.limit is None
    assert "ask the owner" in finding.basis


def test_own_distance_to_lines(judged):
    changes = {**WITH_HEAD, "limits": {"overhead_line": {"distance": "1.5 m"}}}
    _, (finding,) = judged(overhead(12.0, voltage_kv=1100.0), changes=changes)
    assert (finding.status, finding.limit) == ("caution", 1.5)
    assert "stated in the site file" in finding.basis


@pytest.mark.parametrize(
    ("gap", "status"), [(0.99, "stop"), (1.01, "caution"), (1.49, "caution"), (1.51, "ok")]
)
def test_wall_behind_the_laid_mast(judged, gap, status):
    wall = -12.0 * math.cos(START) - TUBE_RADIUS - gap
    barn = Feature("building", "barn", box(-5.0, wall - 4.0, 5.0, wall), 1, height=5.0)
    _, (finding,) = judged(barn)
    assert finding.subject == "mast to barn"
    # the end of the tube is rounded off in the reckoning, which costs less than a millimetre
    assert finding.value == pytest.approx(gap, abs=1e-3)
    assert finding.angle == pytest.approx(math.degrees(START), abs=1e-6)
    assert finding.status == status
    assert ("move the mast" in finding.message.in_units("metric")) == (status == "stop")


def test_roof_is_as_high_as_the_highest_ground_along_it(make_model):
    barn = Feature("building", "barn", box(-30.0, -5.0, -20.0, 5.0), 1, height=5.0)
    model = make_model(lambda x, y: 100.0 + 0.1 * x + 0.0 * y, features=(barn,), spacing=20.0)
    (obstacle,) = find_obstacles(model).obstacles
    assert obstacle.shape.top == pytest.approx(0.1 * -20.0 - 0.25 + 5.0)
    assert obstacle.shape.bottom == pytest.approx(0.1 * -30.0 - 0.25)


def test_tree_is_its_crown_and_no_more_than_a_hundredth_wider(judged):
    tree = Feature("tree", "oak", Point(0.0, -20.0), 1, height=9.0, crown_radius=2.0)
    _, (finding,) = judged(tree)
    exact = 20.0 - 2.0 - 12.0 * math.cos(START) - TUBE_RADIUS
    assert exact - 0.02 <= finding.value <= exact
    assert finding.subject == "mast to oak"


def test_a_wire_through_a_shed_touches_it(judged):
    shed = Feature("building", "shed", box(5.0, -1.0, 6.0, 1.0), 1, height=4.0)
    _, (finding,) = judged(shed)
    assert (finding.subject, finding.value, finding.status) == ("wire right to shed", 0.0, "stop")


def test_front_wires_upright_on_their_anchor_count_too(judged):
    """Only at the very end does a wire go to the front anchor, 8 m out, beyond the lift wire."""
    pairs, _ = judged(overhead(4.0, north=5.5, voltage_kv=11.0))
    wire = pairs["wire front", "line"].closest
    # distance of (5.5, 4) from the straight line (8, −0.15) to (0, 11)
    away = abs((5.5 - 8.0) * 11.15 + (4.0 + 0.15) * 8.0) / math.hypot(8.0, 11.15)
    assert wire.angle == pytest.approx(math.pi / 2)
    assert wire.distance == pytest.approx(away - 0.003, abs=1e-3)


def test_tow_line_and_vehicle_under_a_low_line(judged):
    """The vehicle is a box with rounded edges, up to 2.5 m above the ground."""
    pairs, _ = judged(overhead(4.0, north=25.0, voltage_kv=11.0))
    vehicle = pairs["vehicle", "line"].closest.distance
    assert vehicle == pytest.approx(4.25 - 2.5, abs=2e-3)


def test_every_part_is_measured_to_every_obstacle(judged):
    barn = Feature("building", "barn", box(-30.0, 20.0, -20.0, 30.0), 1, height=5.0)
    two_levels = {
        "mast": {"head": HEAD, "collar": [{"height": h, "wire": "guy"} for h in (6.0, 11.0)]}
    }
    pairs, findings = judged(barn, overhead(20.0, voltage_kv=11.0), changes=two_levels)
    parts = {"mast", "head", "rotor", "gin pole", "tow line", "vehicle", "lift wire 1"}
    parts |= {"lift wire 2"}
    parts |= {f"wire {s} {n}" for s in ("left", "right", "back", "front") for n in (1, 2)}
    assert set(pairs) >= {(part, thing) for part in parts for thing in ("barn", "line")}
    assert len(findings) == 2


def test_line_through_a_block_has_two_moving_pieces(judged):
    barn = Feature("building", "barn", box(-30.0, 20.0, -20.0, 30.0), 1, height=5.0)
    pairs, _ = judged(barn, changes={"tow": {"through_front_anchor": True}})
    assert ("tow line to hitch", "barn") in pairs
    block = pairs["tow line", "barn"].closest
    assert block.distance == pytest.approx(math.hypot(20.0, 12.0) - 0.003, abs=1e-3)


def test_a_step_in_the_lane_does_not_end_in_an_error(make_model):
    """Where the ground jumps the hitch jumps, and still every place between is swept."""
    barn = Feature("building", "barn", box(-12.0, 20.0, -6.0, 30.0), 1, height=5.0)
    steps = ((-60.0, -0.25), (22.2, -0.25), (22.21, 0.55), (60.0, 0.55))
    points = np.array([(x, y, z) for x in (-60.0, 60.0) for y, z in steps])
    model = dataclasses.replace(
        make_model(features=(barn,), spacing=60.0),
        ground=Surface(None, make_tin(points, file="points.csv"), 0.05),
    )
    found = find_clearances(model, analyse_raise(model), find_obstacles(model).obstacles)
    distances = {c.part: c.closest.distance for c in found}
    assert distances["vehicle"] == pytest.approx(6.0 - 1.25, abs=1e-3)
    assert distances["tow line"] == pytest.approx(6.0 - 0.003, abs=1e-3)


def test_nothing_known_around_is_not_checked(judged):
    _, findings = judged()
    assert [(f.status, f.subject) for f in findings] == [("not checked", "surroundings")]


def test_unknown_height_or_ground_of_an_obstacle_is_not_checked(judged):
    far = Feature("building", "far barn", box(-3.0, 65.0, 3.0, 75.0), 1, height=5.0)
    unknown = overhead(12.0, half_span=80.0, voltage_kv=11.0)
    _, findings = judged(far, unknown)
    found = {f.subject: f for f in findings}
    assert found["far barn"].status == found["line"].status == "not checked"
    assert "support 1, 2" in found["line"].message.in_units("metric")
    assert len(findings) == 2


def test_without_lane_or_anchor_ground_what_was_not_measured_is_said(judged):
    barn = Feature("building", "barn", box(-9.0, -20.0, -8.0, -16.0), 1, height=5.0)
    pairs, findings = judged(
        barn, changes={"anchors": {"right": {"radius": 30.0}}}, reach=24.0, spacing=8.0
    )
    unchecked = {f.subject for f in findings if f.status == "not checked"}
    assert unchecked == {"tow line and vehicle", "wires to the right anchor"}
    assert ("wire right", "barn") not in pairs
    assert ("wire left", "barn") in pairs
    assert all(np.isfinite(c.closest.distance) for c in pairs.values())
