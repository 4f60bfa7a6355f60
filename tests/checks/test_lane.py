"""Lane and laydown: what lies in them.

On level ground the lane runs north, 3 m wide, and the hitch ends 25 m from the base, so that with
the vehicle it ends at 30 m; the mast lies to the south, 12 m long, with 1 m to either side.
"""

import pytest
from shapely.geometry import LineString, Point, Polygon, box

from visual.checks.lane import judge_strips, lane_strip, laydown_strip
from visual.raising import analyse_raise
from visual.site import Feature


@pytest.fixture
def judged(make_model):
    def judge(*features, changes=None, ground=None):
        shape = {"ground": ground} if ground else {}
        model = make_model(changes=changes, features=features, spacing=20.0, **shape)
        return {f.subject: f for f in judge_strips(model, analyse_raise(model))}

    return judge


def test_strips_on_level_ground(make_model):
    model = make_model(spacing=20.0)
    raised = analyse_raise(model)
    lane, laid = lane_strip(model, raised), laydown_strip(model)
    xmin, _, xmax, ymax = lane.bounds
    assert (xmin, xmax) == pytest.approx((-1.5, 1.5))
    assert ymax == pytest.approx(30.0, abs=0.01)
    assert laid.bounds == pytest.approx((-1.0, -12.0, 1.0, 0.0))


@pytest.mark.parametrize(
    ("kind", "status"), [("water", "stop"), ("keep_out", "stop"), ("road", "caution")]
)
@pytest.mark.parametrize(("edge", "hit"), [(1.4, True), (1.6, False)])
def test_in_the_lane_or_beside_it(judged, kind, status, edge, hit):
    found = judged(Feature(kind, "thing", box(edge, 27.0, 9.0, 28.0), 1))
    assert ("tow lane and thing" in found) == hit
    if hit:
        assert found["tow lane and thing"].status == status
        x, y, z = found["tow lane and thing"].where
        assert edge <= x <= 1.5
        assert 27.0 <= y <= 28.0
        assert z == pytest.approx(-0.25)
    else:
        assert found["tow lane in plan"].status == "ok"
    assert found["laid mast in plan"].status == "ok"


def test_beyond_the_end_of_the_lane(judged):
    assert "tow lane in plan" in judged(Feature("water", "pond", box(-9.0, 30.5, 9.0, 40.0), 1))


def test_a_ditch_across_the_lane(judged):
    ditch = Feature("water", "ditch", LineString([(-40.0, 26.0), (40.0, 26.0)]), 1)
    assert judged(ditch)["tow lane and ditch"].status == "stop"


@pytest.mark.parametrize(("edge", "hit"), [(0.9, True), (1.1, False)])
def test_a_shed_beside_the_laid_mast(judged, edge, hit):
    found = judged(Feature("building", "shed", box(edge, -9.0, 6.0, -5.0), 1, height=2.0))
    assert ("laid mast and shed" in found) == hit


def test_a_wide_rotor_needs_a_wider_laydown(judged):
    head = {"mass": 9.0, "centre_above_top": 0.2, "centre_to_front": 0.0}
    head |= {"rotor_diameter": 4.0, "rotor_above_top": 0.3}
    shed = Feature("building", "shed", box(1.1, -9.0, 6.0, -5.0), 1, height=2.0)
    assert judged(shed, changes={"mast": {"head": head}})["laid mast and shed"].status == "stop"


def test_a_tree_over_the_laydown(judged):
    tree = Feature("tree", "oak", Point(3.0, -6.0), 1, height=8.0, crown_radius=2.5)
    assert judged(tree)["laid mast and oak"].status == "stop"


def test_over_the_boundary(judged):
    land = Feature("boundary", "land", box(-40.0, -40.0, 40.0, 28.0), 1)
    found = judged(land)
    assert found["tow lane over land"].status == "caution"
    # the place shown is in the part that lies beyond
    assert found["tow lane over land"].where[1] > 28.0
    assert found["laid mast in plan"].status == "ok"


def test_nowhere_near_the_boundary(judged):
    land = Feature("boundary", "land", box(100.0, 100.0, 140.0, 140.0), 1)
    found = judged(land)
    assert found["tow lane over land"].status == found["laid mast over land"].status == "caution"


def test_land_in_two_parts_with_the_lane_across_the_gap(judged):
    land = Polygon(box(-40, -40, 40, 22)).union(box(-40, 24, 40, 60))
    found = judged(Feature("boundary", "both fields", land, 1))
    assert 22.0 < found["tow lane over both fields"].where[1] < 24.0


def test_a_winch_needs_no_lane(judged):
    pond = Feature("water", "pond", box(-9.0, 20.0, 9.0, 29.0), 1)
    assert not any("lane" in subject for subject in judged(pond, changes={"tow": {"by": "winch"}}))


def test_nothing_known_around_is_not_checked(judged):
    found = judged()
    assert {f.status for f in found.values()} == {"not checked"}
    assert set(found) == {"tow lane in plan", "laid mast in plan"}
