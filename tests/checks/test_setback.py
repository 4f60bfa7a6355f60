"""Setback rules on layouts whose distances can be worked out in the head.

The mast stands at the origin and faces north; its anchors are 8 m away in the four directions.
Heights above the ground: mast 12.25 m, hub 12.55 m, total 13.55 m (rotor of 2 m).
"""

import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon, box

from visual.checks.setback import find_setbacks, judge_setbacks, required_distance
from visual.site import Feature

HEAD = {
    "mass": 50.0,
    "centre_above_top": 0.2,
    "centre_to_front": 0.0,
    "rotor_diameter": 2.0,
    "rotor_above_top": 0.3,
}
HOUSE = Feature("building", "house", box(20.0, 12.0, 30.0, 20.0), 1, height=5.0)
FIELD = Feature("boundary", "field", box(-30.0, -15.0, 20.0, 40.0), 2)


def rule(to, measured_from="base", **size):
    return {"to": to, "from": measured_from, "basis": "test rule", **(size or {"distance": 10.0})}


@pytest.fixture
def measured(make_model):
    """Return setbacks and findings of one rule among some features."""

    def measure(one_rule, *features, ground=None, **changes):
        tables = {"mast": {"head": HEAD}, "limits": {"setback": [one_rule]}, **changes}
        known = {"features": features, "spacing": 20.0}
        model = (
            make_model(ground, tables, **known) if ground else make_model(changes=tables, **known)
        )
        setbacks = find_setbacks(model)
        return setbacks, judge_setbacks(model, setbacks)

    return measure


@pytest.mark.parametrize(
    ("measured_from", "expected"),
    [
        ("base", math.hypot(20.0, 12.0)),
        # the nearest wire is the right one: it ends at the anchor, 8 m east
        ("nearest_part", math.hypot(12.0, 12.0)),
        ("anchors", math.hypot(12.0, 12.0)),
    ],
)
def test_distance_to_a_corner(measured, measured_from, expected):
    (setback,), (finding,) = measured(rule("building", measured_from), HOUSE)
    assert setback.distance == pytest.approx(expected, rel=1e-12)
    assert setback.nearest[1] == pytest.approx((20.0, 12.0))
    assert finding.subject == f"{measured_from.replace('_', ' ')} to house"
    assert (finding.status, finding.basis) == ("ok", "test rule")


def test_rotor_is_the_nearest_part_where_no_wire_runs(measured):
    """North-east of the base the rotor reaches 1 m; the wires are 3 m and more away."""
    away = 3.0 / math.sqrt(2.0)
    pole = Feature("keep_out", "well", box(away, away, 6.0, 6.0), 1)
    (setback,), _ = measured(rule("keep_out", "nearest_part"), pole)
    to_wire = away
    assert setback.distance == pytest.approx(min(3.0 - 1.0, to_wire), abs=1e-4)


def test_wire_is_the_nearest_part_between_its_ends(measured):
    pond = Feature("water", "pond", box(3.0, 4.0, 5.0, 6.0), 1)
    (from_part, *_), _ = measured(rule("water", "nearest_part"), pond)
    (from_anchors, *_), _ = measured(rule("water", "anchors"), pond)
    assert from_part.distance == pytest.approx(3.0)  # from the front wire, which runs north
    assert from_anchors.distance == pytest.approx(math.hypot(3.0, 2.0))


@pytest.mark.parametrize(
    ("size", "expected"),
    [
        ({"times": 1.5, "of": "total_height"}, 1.5 * 13.55),
        ({"times": 1.5, "of": "mast_height"}, 1.5 * 12.25),
        ({"times": 1.5, "of": "hub_height"}, 1.5 * 12.55),
        ({"times": 1.1}, 1.1 * 13.55),
        ({"distance": "30 m"}, 30.0),
        ({"distance": "100 ft"}, 30.48),
    ],
)
@pytest.mark.parametrize("measured_from", ["base", "nearest_part", "anchors"])
def test_required_distance_does_not_depend_on_where_it_is_measured(
    measured, make_model, measured_from, size, expected
):
    tables = {"mast": {"head": HEAD}, "limits": {"setback": [rule("road", measured_from, **size)]}}
    model = make_model(changes=tables, spacing=60.0)
    assert required_distance(model, model.site.limits.setbacks[0]) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("distance", "status"), [(23.4, "stop"), (23.0, "caution"), (22.7, "ok"), (9.0, "ok")]
)
def test_status_on_either_side_of_the_limit(measured, distance, status):
    """The house is 23.32 m away; half a metre of margin is no better than setting out."""
    _, (finding,) = measured(rule("building", distance=distance), HOUSE)
    assert finding.status == status
    assert finding.margin == pytest.approx(math.hypot(20.0, 12.0) - distance)
    assert ("move it" in finding.message.in_units("metric")) == (status == "stop")


def test_inside_a_boundary_the_distance_is_to_its_line(measured):
    (setback,), (finding,) = measured(rule("boundary"), FIELD)
    assert setback.distance == pytest.approx(15.0)
    np.testing.assert_allclose(setback.nearest, ((0.0, 0.0), (0.0, -15.0)), atol=1e-9)
    assert finding.status == "ok"


def test_outside_a_boundary_the_distance_is_negative(measured):
    land = Feature("boundary", "land", box(5.0, -50.0, 60.0, 50.0), 1)
    (setback,), (finding,) = measured(rule("boundary", times=1.0), land)
    assert setback.distance == pytest.approx(-5.0)
    assert finding.status == "stop"
    assert finding.margin == pytest.approx(-5.0 - 13.55)
    assert "5.00 m outside the boundary" in finding.message.in_units("metric")


def test_one_anchor_far_outside_a_boundary_is_not_far_inside_it(measured):
    """The base is inside; the right anchor is 6 m beyond the line, the front one 6 m from it."""
    land = Feature("boundary", "land", box(-40.0, -40.0, 2.0, 40.0), 1)
    (setback,), (finding,) = measured(rule("boundary", "anchors", distance=5.0), land)
    assert setback.distance == pytest.approx(-6.0)
    np.testing.assert_allclose(setback.nearest, ((8.0, 0.0), (2.0, 0.0)), atol=1e-9)
    assert finding.status == "stop"


def test_a_wire_across_a_boundary_counts_as_far_as_it_reaches(measured):
    land = Feature("boundary", "land", box(-40.0, -40.0, 2.0, 40.0), 1)
    (setback,), _ = measured(rule("boundary", "nearest_part", distance=1.0), land)
    assert setback.distance == pytest.approx(-6.0)


def test_a_boundary_in_two_parts_is_one_piece_of_land(measured):
    parts = Polygon(box(-30, -30, 30, 12)).union(box(-30, 20, 30, 40))
    (setback,), _ = measured(rule("boundary"), Feature("boundary", "both", parts, 1))
    assert setback.distance == pytest.approx(12.0)


def test_a_boundary_drawn_as_a_line_has_no_wrong_side(measured):
    fence = Feature("boundary", "fence", LineString([(-50.0, 9.0), (50.0, 9.0)]), 1)
    (setback,), _ = measured(rule("boundary"), fence)
    assert setback.distance == pytest.approx(9.0)


def test_crown_and_conductors_count_not_stem_and_axis(measured):
    tree = Feature("tree", "oak", Point(0.0, 20.0), 1, height=9.0, crown_radius=3.0)
    line = Feature(
        "overhead_line",
        "line",
        LineString([(-20.0, 25.0), (20.0, 25.0)]),
        2,
        conductor_heights=(9.0, 9.0),
        sag=0.5,
        spread=2.0,
    )
    (to_tree,), _ = measured(rule("tree"), tree)
    (to_line,), _ = measured(rule("overhead_line"), line)
    assert to_tree.distance == pytest.approx(17.0, abs=1e-3)
    assert to_line.distance == pytest.approx(24.0)


def test_a_rule_about_viewpoints_finds_them(measured):
    (setback,), _ = measured(rule("viewpoint"), Feature("viewpoint", "gate", Point(0.0, 30.0), 1))
    assert setback.distance == pytest.approx(30.0)


@pytest.mark.parametrize(
    "kind", ["building", "tree", "overhead_line", "boundary", "road", "keep_out", "water"]
)
def test_not_checked_where_there_is_nothing_of_the_kind(measured, kind):
    other = FIELD if kind == "building" else HOUSE
    setbacks, (finding,) = measured(rule(kind), other)
    assert setbacks == ()
    assert finding.status == "not checked"
    assert finding.value is None
    assert kind.replace("_", " ") in finding.message.in_units("metric")


def test_each_thing_of_a_kind_is_measured(measured):
    barn = Feature("building", "barn", box(-25.0, -5.0, -18.0, 5.0), 2, height=6.0)
    setbacks, findings = measured(rule("building"), HOUSE, barn)
    assert [s.name for s in setbacks] == ["house", "barn"]
    assert setbacks[1].distance == pytest.approx(18.0)
    assert len(findings) == 2


def test_place_of_a_finding_lies_on_the_ground(measured):
    _, (finding,) = measured(rule("boundary"), FIELD, ground=lambda x, y: 100.0 + 0.1 * y + 0 * x)
    # 15 m south the slope is 1.5 m lower than the ground at the base, 0.25 m below the hinge
    assert finding.where == pytest.approx((0.0, -15.0, -1.75))


def test_no_place_is_given_where_the_ground_is_unknown(measured):
    far = Feature("road", "lane", LineString([(-90.0, 80.0), (90.0, 80.0)]), 1)
    (setback,), (finding,) = measured(rule("road"), far)
    assert setback.distance == pytest.approx(80.0)
    assert finding.where is None


def test_distances_are_horizontal_on_a_slope(measured):
    _, (finding,) = measured(rule("building"), HOUSE, ground=lambda x, y: 100.0 + 0.4 * x + 0 * y)
    assert finding.value == pytest.approx(np.hypot(20.0, 12.0))
