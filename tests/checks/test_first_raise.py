"""The first raise, without the head, where the bare mast lies lower than the mast with its head.

Level ground, front to the north. The bare 12 m mast lies on its trestle at 1.5°, with its head and
rotor at 5°; a fence 0.2 m high runs under its middle, where nothing of head or rotor ever comes.
"""

import dataclasses
import math

import numpy as np
import pytest
from shapely.geometry import Point, box

from visual.checks.clearance import (
    TIE,
    TOLERANCE,
    certified_minima_of_all,
    nearer_of,
)
from visual.checks.finding import worst_first
from visual.checks.in_front import judge_gin_pole, judge_tow
from visual.checks.lane import lane_strip
from visual.checks.moving import find_clearances, find_obstacles, judge_clearances
from visual.checks.off_ground import judge_off_ground
from visual.checks.on_the_way import judge_side_wires
from visual.checks.parts import first_raise_parts
from visual.raising import analyse_raise
from visual.site import Feature

HEAD = {
    "mass": 50.0,
    "centre_above_top": 0.2,
    "centre_to_front": 0.0,
    "rotor_diameter": 2.0,
    "rotor_above_top": 0.3,
}
NEAR = {"mast": {"head": HEAD}, "limits": {"building_clearance": 0.3, "tree_clearance": 0.3}}
TUBE_RADIUS = 0.1143 / 2
HINGE = 0.25
BARE = math.asin((0.5 + TUBE_RADIUS - HINGE) / 12.0)
FENCE = Feature("building", "fence", box(-0.5, -6.1, 0.5, -6.0), 1, height=0.2)
BUSH = Feature("tree", "bush", Point(6.0, -4.0), 2, height=2.0, crown_radius=0.7)


def slope(x, y):
    """Return ground that falls to the back and to the left."""
    return 100.0 + 0.06 * y + 0.03 * x


def loaded_only(raised):
    """Return a raise as if the first raise started no lower."""
    return dataclasses.replace(raised, first=None)


def judged(model, raised):
    """Return the clearances by part and obstacle, and the findings by subject."""
    around = find_obstacles(model)
    found = find_clearances(model, raised, around.obstacles)
    findings = judge_clearances(model, raised, around, found)
    return {(c.part, c.obstacle.name): c for c in found}, {f.subject: f for f in findings}


@pytest.fixture(scope="module")
def fenced(make_model):
    model = make_model(changes=NEAR, features=(FENCE, BUSH), spacing=20.0)
    return model, analyse_raise(model)


def test_only_the_bare_mast_comes_near_a_low_fence(fenced):
    """The nearest edge of the fence's top is a line at 6 m out and 0.05 m below the hinge."""
    model, raised = fenced
    _, before = judged(model, loaded_only(raised))
    pairs, after = judged(model, raised)
    assert before["mast to fence"].status != "stop"
    assert "first raise" not in before["mast to fence"].message.in_units("metric")
    finding = after["mast to fence"]
    exact = 6.0 * math.sin(BARE) + (HINGE - 0.2) * math.cos(BARE) - TUBE_RADIUS
    assert finding.value == pytest.approx(exact, abs=1e-3)
    assert finding.status == "stop"
    assert finding.angle == pytest.approx(math.degrees(BARE), abs=1e-6)
    assert "first raise, without the head" in finding.message.in_units("metric")
    assert pairs["mast", "fence"].first_raise
    assert not pairs["rotor", "fence"].first_raise
    assert not pairs["head", "fence"].first_raise


def test_minimum_over_both_is_never_above_that_over_one(fenced):
    model, raised = fenced
    one, _ = judged(model, loaded_only(raised))
    both, _ = judged(model, raised)
    assert both.keys() == one.keys()
    for pair, clearance in both.items():
        assert clearance.closest.distance <= one[pair].closest.distance
        assert clearance.closest.lower_bound <= one[pair].closest.lower_bound
        if not clearance.first_raise:
            assert clearance.closest.distance == pytest.approx(one[pair].closest.distance, abs=1e-3)
            assert clearance.closest.angle == one[pair].closest.angle


@pytest.mark.parametrize("tow", [{}, {"through_front_anchor": True}, {"by": "winch"}])
def test_certificate_against_one_long_range_and_against_samples(make_model, tow):
    changes = {**NEAR, "tow": tow}
    model = make_model(slope, changes=changes, features=(FENCE, BUSH), spacing=20.0)
    raised = analyse_raise(model)
    assert raised.first is not None
    both, _ = judged(model, raised)
    shapes = [obstacle.shape for obstacle in find_obstacles(model).obstacles]
    parts = first_raise_parts(model, raised.first)
    angles = np.linspace(raised.first.angles[0], raised.first_angle, 10)
    # a range of no width is the distance at one angle
    for angle in angles:
        spans = [(float(angle), float(angle))] * len(parts)
        for part, found in zip(
            parts, certified_minima_of_all(parts, shapes, spans=spans), strict=True
        ):
            for shape, sample in zip(shapes, found, strict=True):
                proven = both[part.name, shape.name].closest
                assert proven.lower_bound <= sample.distance + 1e-9
                assert proven.distance - proven.lower_bound <= TOLERANCE + TIE


def test_minima_are_those_of_one_search_over_the_whole_range(fenced):
    model, raised = fenced
    shapes = [obstacle.shape for obstacle in find_obstacles(model).obstacles]
    rigid = [part for part in first_raise_parts(model, raised.first) if "wire" in part.name]
    whole = [(float(raised.first.angles[0]), math.pi / 2)] * len(rigid)
    both, _ = judged(model, raised)
    for part, found in zip(rigid, certified_minima_of_all(rigid, shapes, spans=whole), strict=True):
        for shape, one in zip(shapes, found, strict=True):
            two = both[part.name, shape.name].closest
            assert two.distance == pytest.approx(one.distance, abs=2 * TOLERANCE)


def test_a_tie_stays_with_what_is_known(fenced):
    """The same again is nothing nearer, so nothing is said of the first raise."""
    model, raised = fenced
    pairs, _ = judged(model, raised)
    for clearance in pairs.values():
        one = clearance.closest
        later = dataclasses.replace(one, angle=one.angle - 1.0, lower_bound=one.lower_bound / 2)
        kept = nearer_of(one, later)
        assert (kept.distance, kept.angle) == (one.distance, one.angle)
        assert kept.lower_bound == later.lower_bound


def test_without_a_head_nothing_changes(make_model):
    changes = {key: value for key, value in NEAR.items() if key != "mast"}
    model = make_model(changes=changes, features=(FENCE,), spacing=20.0)
    raised = analyse_raise(model)
    assert raised.first is None
    pairs, findings = judged(model, raised)
    assert not any(clearance.first_raise for clearance in pairs.values())
    said = [finding.message.in_units("metric") for finding in findings.values()]
    assert not any("first raise" in words for words in said)
    assert np.array_equal(raised.hitch_distances, raised.tow.distance)


def test_angles_of_the_first_raise_join_those_with_the_head(fenced):
    _, raised = fenced
    angles = raised.first.angles
    assert angles[0] == pytest.approx(BARE, abs=1e-9)
    assert angles[-1] == raised.first_angle
    assert (np.diff(angles) > 0).all()
    assert raised.first.tow.distance[-1] == pytest.approx(raised.tow.distance[0])


def test_side_stays_are_tied_at_the_start_of_the_first_raise(make_model):
    """On ground that falls to the back the stay must give more, the lower it is tied."""
    model = make_model(slope, changes=NEAR, spacing=20.0)
    raised = analyse_raise(model)
    before = {f.subject: f for f in judge_side_wires(model, loaded_only(raised))}
    after = {f.subject: f for f in judge_side_wires(model, raised)}
    for stay, lower in zip(raised.side_stays, raised.first.side_stays, strict=True):
        found = after[stay.name]
        assert found.value == max(stay.tightest[1], lower.tightest[1]) >= before[stay.name].value
        is_first = lower.tightest[1] > stay.tightest[1]
        assert ("first raise, without the head" in found.message.in_units("metric")) == is_first
    assert any(after[stay.name].value > before[stay.name].value for stay in raised.side_stays)


def test_ground_under_mast_pole_and_line_counts_from_the_lower_start(fenced):
    model, raised = fenced
    for judge in (judge_off_ground, judge_gin_pole, judge_tow):
        before = {f.subject: f for f in judge(model, loaded_only(raised))}
        after = {f.subject: f for f in judge(model, raised)}
        assert after.keys() == before.keys()
        for subject, finding in after.items():
            if finding.margin is not None:
                assert finding.margin <= before[subject].margin + 1e-12
    mast = {f.subject: f for f in judge_off_ground(model, raised)}["mast to ground"]
    # where the foot ends, 1 m from the hinge, the tube is nearest
    exact = (HINGE + math.sin(BARE)) - TUBE_RADIUS
    assert mast.value == pytest.approx(exact, abs=1e-3)
    assert "first raise, without the head" in mast.message.in_units("metric")


def test_lane_begins_where_the_hitch_of_the_first_raise_stands(fenced):
    model, raised = fenced
    strip, short = lane_strip(model, raised), lane_strip(model, loaded_only(raised))
    assert strip.bounds[1] == pytest.approx(float(raised.first.tow.distance.min()))
    assert strip.bounds[1] < short.bounds[1]


def test_a_hitch_without_a_place_on_the_first_raise_is_not_checked(fenced):
    """What cannot be measured there is said, and the rest is still measured."""
    model, raised = fenced
    tow = raised.first.tow
    lost = dataclasses.replace(tow, distance=np.full_like(tow.distance, math.nan))
    raised = dataclasses.replace(raised, first=dataclasses.replace(raised.first, tow=lost))
    pairs, findings = judged(model, raised)
    assert findings["tow line and vehicle, first raise"].status == "not checked"
    assert findings["mast to fence"].status == "stop"
    assert not pairs["vehicle", "fence"].first_raise
    subjects = [f.subject for f in worst_first(judge_tow(model, raised))]
    assert subjects[0] == "vehicle and tow line, first raise"
    assert lane_strip(model, raised) is not None
