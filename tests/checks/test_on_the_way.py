"""Checks of the raise itself, on ground that is a plane or nearly so."""

import math

import numpy as np
import pytest

from visual.checks.on_the_way import (
    judge_gin_pole,
    judge_side_wires,
    judge_start,
    judge_tow,
    tight_limit,
)
from visual.raising import analyse_raise


def plane(*, north=0.0, east=0.0):
    return lambda x, y: 100.0 + north * y + east * x


@pytest.fixture
def raised_on(make_model):
    """Return the model and its raise on some ground."""

    def make(ground, changes=None, **known):
        model = make_model(ground, changes, **{"spacing": 20.0, **known})
        return model, analyse_raise(model)

    return make


@pytest.mark.parametrize(
    ("rise", "status"), [(0.15, "ok"), (0.17, "ok"), (0.18, "stop"), (-0.15, "ok"), (-0.18, "stop")]
)
def test_slope_of_the_lane_is_the_slope_of_the_plane(raised_on, rise, status):
    """The limit of 10° is a rise of 0.176 per metre."""
    found = {f.subject: f for f in judge_tow(*raised_on(plane(north=rise)))}
    slope = found["slope of the lane"]
    assert slope.value == pytest.approx(math.degrees(math.atan(rise)), abs=1e-9)
    assert slope.margin == pytest.approx(10.0 - math.degrees(math.atan(abs(rise))))
    assert slope.status == status


def test_steepest_place_under_the_hitch_counts_not_the_mean(raised_on):
    """The hitch goes from about 19.8 m to 25 m; the ground is steep from 20 m to 22 m only."""

    def bank(x, y):
        return 100.0 + 0.25 * np.clip(y - 20.0, 0.0, 2.0) + 0.0 * x

    found = {f.subject: f for f in judge_tow(*raised_on(bank, spacing=2.0, reach=32.0))}
    assert found["slope of the lane"].value == pytest.approx(math.degrees(math.atan(0.25)))
    assert 20.0 <= found["slope of the lane"].where[1] <= 22.0


def test_own_limit_of_the_lane_slope(raised_on):
    model, raised = raised_on(plane(north=0.18), {"limits": {"lane_slope": 12.0}})
    slope = judge_tow(model, raised)[1]
    assert (slope.status, slope.limit) == ("ok", pytest.approx(12.0))
    assert "stated in the site file" in slope.basis


@pytest.mark.parametrize(
    ("hinge", "status"), [(0.25, "ok"), (0.16, "caution"), (0.14, "stop"), (0.03, "stop")]
)
def test_room_under_a_level_gin_pole(raised_on, hinge, status):
    """Upright mast, pole level at hinge height: the hinge height less half its diameter."""
    model, raised = raised_on(plane(), {"mast": {"hinge_height": hinge}})
    (finding,) = judge_gin_pole(model, raised)
    assert finding.value == pytest.approx(hinge - 0.0889 / 2)
    assert finding.angle == pytest.approx(90.0)
    assert finding.status == status
    assert ("strikes" in finding.message) == (hinge < 0.0889 / 2)


def test_gin_pole_strikes_a_rising_slope_where_it_must(raised_on):
    """At θ the tip is 5 cos θ up and 5 sin θ out, over ground 0.5 sin θ − 0.25 above the hinge."""
    model, raised = raised_on(plane(north=0.1))
    (finding,) = judge_gin_pole(model, raised)
    angles = np.radians(np.arange(60.0, 90.0, 0.001))
    room = 5 * np.cos(angles) - (0.5 * np.sin(angles) - 0.25) - 0.0889 / 2
    expected = math.degrees(angles[np.flatnonzero(room <= 0.0)[0]])
    assert finding.status == "stop"
    assert expected <= math.degrees(raised.gin_strike.strikes_at) <= expected + 0.5
    assert finding.value == pytest.approx(0.25 - 0.5 - 0.0889 / 2)


def test_a_smaller_gin_angle_clears_the_same_slope(raised_on):
    model, raised = raised_on(plane(north=0.1), {"gin_pole": {"angle": 75.0}})
    assert judge_gin_pole(model, raised)[0].status == "ok"


def test_tow_line_over_level_ground_and_over_a_bank(raised_on):
    def bank(x, y):
        return 100.0 + 3.0 * np.clip(1.0 - np.abs(y - 14.0) / 2.0, 0.0, None) + 0.0 * x

    flat = judge_tow(*raised_on(plane()))[0]
    humped = judge_tow(*raised_on(bank, spacing=2.0, reach=32.0))[0]
    assert (flat.check, flat.status) == ("tow line", "ok")
    # in the end it rises from the tip, level with the hinge, to the hitch, 0.25 m higher
    assert flat.value == pytest.approx(0.25, abs=1e-3)
    assert (humped.check, humped.status) == ("tow line", "caution")
    through = 0.25 * (14.0 - 5.0) / 20.0 - (3.0 - 0.25)
    assert humped.value == pytest.approx(through, abs=0.08)  # looked at every 0.1 m, bank 1.5 : 1


def test_unknown_ground_in_front_is_not_checked(raised_on):
    model, raised = raised_on(plane(), spacing=5.0, reach=15.0)
    (finding,) = judge_tow(model, raised)
    assert finding.status == "not checked"
    assert "lane is not known" in finding.message


def test_no_place_for_the_vehicle_stops(raised_on):
    """Through a block 9.5 m from the tip, a line of 9 m does not even reach the block."""
    tow = {"tow": {"through_front_anchor": True, "line_length": 9.0}}
    (finding,) = judge_tow(*raised_on(plane(), tow))
    assert finding.status == "stop"
    assert "use a longer line" in finding.message


@pytest.mark.parametrize("tow", [{"by": "winch"}, {"through_front_anchor": True}])
def test_front_anchor_on_unknown_ground_leaves_the_tow_unchecked(raised_on, tow):
    tables = {"tow": {"line_length": 30.0, **tow}, "anchors": {"front": {"radius": 70.0}}}
    (finding,) = judge_tow(*raised_on(plane(), tables))
    assert finding.status == "not checked"


def test_side_wires_on_a_cross_slope(raised_on):
    """D² = r² + h² + e² − 2 h e sin θ with the eye e above the hinge, r out, collar at h."""
    model, raised = raised_on(plane(east=0.05))
    found = {(f.check, f.subject): f for f in judge_side_wires(model, raised)}
    eye, start = 0.05 * 8.0 - 0.15, raised.first_angle
    fixed = 64.0 + 121.0 + eye**2
    fitted = math.sqrt(fixed - 22.0 * eye)
    expected = math.sqrt(fixed - 22.0 * eye * math.sin(start)) - fitted
    tight = found["wire goes tight", "wire right"]
    assert tight.value == pytest.approx(expected, rel=1e-9)
    assert tight.angle == pytest.approx(math.degrees(start))
    # a fifth of 20 kN may be carried, a tenth is there already: 2 kN on 1.6 MN
    assert tight.limit == pytest.approx(2e3 * fitted / 1.6e6)
    assert tight.status == "stop"
    assert "above the hinge" in tight.message
    low = -0.05 * 8.0 - 0.15
    slack = found["side wire slack", "wire left"]
    fixed, fitted = 185.0 + low**2, math.sqrt(185.0 + low**2 - 22.0 * low)
    loosest = fitted - math.sqrt(fixed - 22.0 * low * math.sin(start))
    assert slack.value == pytest.approx(loosest, rel=1e-9)
    assert slack.status == "caution"


@pytest.mark.parametrize(("stated", "status"), [("0.3 m", "caution"), ("0.1 m", "stop")])
def test_own_limit_on_tight_wires(raised_on, stated, status):
    model, raised = raised_on(plane(east=0.05), {"limits": {"side_wire_tight": stated}})
    right = {f.subject: f for f in judge_side_wires(model, raised)}["wire right"]
    limit, basis = tight_limit(model, raised.side_wires[1])
    assert limit == pytest.approx(float(stated[:3]))
    assert "stated in the site file" in basis
    tight = {(f.check, f.subject): f.status for f in judge_side_wires(model, raised)}
    assert tight["wire goes tight", "wire right"] == status
    assert right.unit == "m"


def test_wires_of_an_anchor_on_the_hinge_axis_keep_their_length(raised_on):
    found = judge_side_wires(*raised_on(plane(), {"anchors": {"eye_height": 0.25}}))
    for finding in found:
        if finding.subject in ("wire left", "wire right"):
            assert finding.value == pytest.approx(0.0, abs=1e-12)
            assert finding.status == "ok"


def test_wires_and_stay_of_an_anchor_on_unknown_ground_are_not_checked(raised_on):
    found = judge_side_wires(*raised_on(plane(), {"anchors": {"right": {"radius": 70.0}}}))
    right = {f.check: f.status for f in found if "right" in f.subject}
    assert right == dict.fromkeys(
        ("wire goes tight", "side wire slack", "side stay"), "not checked"
    )
    assert all(f.status != "not checked" for f in found if "left" in f.subject)


def test_start_on_level_ground_is_set_by_the_trestle(raised_on):
    """Top 12 m out, its axis half a metre and a radius above ground 0.25 m below the hinge."""
    (finding,) = judge_start(*raised_on(plane()))
    expected = math.degrees(math.asin((0.5 + 0.1143 / 2 - 0.25) / 12.0))
    assert finding.value == pytest.approx(expected, abs=1e-6)
    assert finding.status == "ok"
    assert "trestle" in finding.message


@pytest.mark.parametrize(
    ("rise", "status"), [(-0.3, "ok"), (-0.5, "caution"), (-0.9, "stop"), (0.5, "ok")]
)
def test_ground_that_rises_behind_holds_the_mast_up(raised_on, rise, status):
    (finding,) = judge_start(*raised_on(plane(north=rise)))
    assert finding.value == pytest.approx(-math.degrees(math.atan(rise)), abs=1.5)
    assert finding.status == status


def test_unknown_ground_behind_is_not_checked(raised_on):
    (finding,) = judge_start(*raised_on(plane(), reach=10.0, spacing=5.0))
    assert finding.status == "not checked"
    assert finding.value is None
