"""Checks of the raise itself, on ground that is a plane or nearly so."""

import math

import numpy as np
import pytest

from visual.checks import assess

SWUNG = ("wire goes tight", "side wire slack", "side stay")


def plane(*, north=0.0, east=0.0):
    return lambda x, y: 100.0 + north * y + east * x


@pytest.fixture
def judged(make_model):
    """Return the findings of some checks on some ground, and the raise."""

    def judge(checks, ground, changes=None, **known):
        report = assess(make_model(ground, changes, **{"spacing": 20.0, **known}))
        found = [f for f in report.findings if f.check in checks and "in plan" not in f.subject]
        return {f.subject: f for f in found}, report.raised

    return judge


@pytest.fixture
def tow(judged):
    return lambda *site, **known: judged(("tow line", "tow lane"), *site, **known)[0]


@pytest.fixture
def gin(judged):
    def judge(*site, **known):
        found, raised = judged(("gin tip",), *site, **known)
        return found["gin pole to ground"], raised

    return judge


@pytest.fixture
def start(judged):
    return lambda *site, **known: judged(("laydown",), *site, **known)[0]["mast on the ground"]


@pytest.mark.parametrize(
    ("rise", "status"), [(0.15, "ok"), (0.17, "ok"), (0.18, "stop"), (-0.15, "ok"), (-0.18, "stop")]
)
def test_slope_of_the_lane_is_the_slope_of_the_plane(tow, rise, status):
    """The limit of 10° is a rise of 0.176 per metre."""
    slope = tow(plane(north=rise))["slope of the lane"]
    assert slope.value == pytest.approx(math.degrees(math.atan(rise)), abs=1e-9)
    assert slope.margin == pytest.approx(10.0 - math.degrees(math.atan(abs(rise))))
    assert slope.status == status


def test_steepest_place_under_the_hitch_counts_not_the_mean(tow):
    """The hitch goes from about 19.8 m to 25 m; the ground is steep from 20 m to 22 m only."""

    def bank(x, y):
        return 100.0 + 0.25 * np.clip(y - 20.0, 0.0, 2.0) + 0.0 * x

    slope = tow(bank, spacing=2.0, reach=32.0)["slope of the lane"]
    assert slope.value == pytest.approx(math.degrees(math.atan(0.25)))
    assert 20.0 <= slope.where[1] <= 22.0


def test_own_limit_of_the_lane_slope(tow):
    slope = tow(plane(north=0.18), {"limits": {"lane_slope": 12.0}})["slope of the lane"]
    assert (slope.status, slope.limit) == ("ok", pytest.approx(12.0))
    assert "stated in the site file" in slope.basis


@pytest.mark.parametrize(
    ("hinge", "status"), [(0.25, "ok"), (0.16, "caution"), (0.14, "stop"), (0.03, "stop")]
)
def test_room_under_a_level_gin_pole(gin, hinge, status):
    """Upright mast, pole level at hinge height: the hinge height less half its diameter."""
    finding, _ = gin(plane(), {"mast": {"hinge_height": hinge}})
    assert finding.value == pytest.approx(hinge - 0.0889 / 2)
    assert finding.angle == pytest.approx(90.0)
    assert finding.status == status
    assert ("strikes" in finding.message.in_units("metric")) == (hinge < 0.0889 / 2)


def test_gin_pole_strikes_a_rising_slope_where_it_must(gin):
    """At θ the tip is 5 cos θ up and 5 sin θ out, over ground 0.5 sin θ − 0.25 above the hinge."""
    finding, raised = gin(plane(north=0.1))
    angles = np.radians(np.arange(60.0, 90.0, 0.001))
    room = 5 * np.cos(angles) - (0.5 * np.sin(angles) - 0.25) - 0.0889 / 2
    expected = math.degrees(angles[np.flatnonzero(room <= 0.0)[0]])
    assert finding.status == "stop"
    assert expected <= math.degrees(raised.gin_strike.strikes_at) <= expected + 0.5
    assert finding.value == pytest.approx(0.25 - 0.5 - 0.0889 / 2)


def test_a_smaller_gin_angle_clears_the_same_slope(gin):
    assert gin(plane(north=0.1), {"gin_pole": {"angle": 75.0}})[0].status == "ok"


def test_tow_line_over_level_ground_and_over_a_bank(tow):
    def bank(x, y):
        return 100.0 + 3.0 * np.clip(1.0 - np.abs(y - 14.0) / 2.0, 0.0, None) + 0.0 * x

    flat = tow(plane())["tow line to ground"]
    humped = tow(bank, spacing=2.0, reach=32.0)["tow line to ground"]
    assert flat.status == "ok"
    # in the end it rises from the tip, level with the hinge, to the hitch, 0.25 m higher
    assert flat.value == pytest.approx(0.25, abs=0.004)  # axis or underside of a 6 mm rope
    assert humped.status == "caution"
    through = 0.25 * (14.0 - 5.0) / 20.0 - (3.0 - 0.25)
    assert humped.value == pytest.approx(through, abs=0.08)  # looked at every 0.1 m, bank 1.5 : 1


def test_unknown_ground_in_front_is_not_checked(tow):
    (finding,) = tow(plane(), spacing=5.0, reach=15.0).values()
    assert finding.status == "not checked"
    assert "lane is not known" in finding.message.in_units("metric")


def test_no_place_for_the_vehicle_stops(tow):
    """Through a block 9.5 m from the tip, a line of 9 m does not even reach the block."""
    short = {"tow": {"through_front_anchor": True, "line_length": 9.0}}
    (finding,) = tow(plane(), short).values()
    assert finding.status == "stop"
    assert "use a longer line" in finding.message.in_units("metric")


@pytest.mark.parametrize("by", [{"by": "winch"}, {"through_front_anchor": True}])
def test_front_anchor_on_unknown_ground_leaves_the_tow_unchecked(tow, by):
    tables = {"tow": {"line_length": 30.0, **by}, "anchors": {"front": {"radius": 70.0}}}
    (finding,) = tow(plane(), tables).values()
    assert finding.status == "not checked"


def test_side_wires_on_a_cross_slope(judged):
    """D² = r² + h² + e² − 2 h e sin θ with the eye e above the hinge, r out, collar at h."""
    tight, raised = judged(("wire goes tight",), plane(east=0.05))
    eye, start = 0.05 * 8.0 - 0.15, raised.first_angle
    fixed = 64.0 + 121.0 + eye**2
    fitted = math.sqrt(fixed - 22.0 * eye)
    expected = math.sqrt(fixed - 22.0 * eye * math.sin(start)) - fitted
    tight = tight["wire right"]
    assert tight.value == pytest.approx(expected, rel=1e-9)
    assert tight.angle == pytest.approx(math.degrees(start))
    # a fifth of 20 kN may be carried, a tenth is there already: 2 kN on 1.6 MN
    assert tight.limit == pytest.approx(2e3 * fitted / 1.6e6)
    assert tight.status == "stop"
    assert "above the hinge" in tight.message.in_units("metric")
    low = -0.05 * 8.0 - 0.15
    slack = judged(("side wire slack",), plane(east=0.05))[0]["wire left"]
    fixed, fitted = 185.0 + low**2, math.sqrt(185.0 + low**2 - 22.0 * low)
    loosest = fitted - math.sqrt(fixed - 22.0 * low * math.sin(start))
    assert slack.value == pytest.approx(loosest, rel=1e-9)
    assert slack.status == "caution"


@pytest.mark.parametrize(("stated", "status"), [("0.3 m", "caution"), ("0.1 m", "stop")])
def test_own_limit_on_tight_wires(judged, stated, status):
    limits = {"limits": {"side_wire_tight": stated}}
    right = judged(("wire goes tight",), plane(east=0.05), limits)[0]["wire right"]
    assert right.limit == pytest.approx(float(stated[:3]))
    assert "stated in the site file" in right.basis
    assert right.status == status


@pytest.mark.parametrize("check", ["wire goes tight", "side wire slack"])
def test_wires_of_an_anchor_on_the_hinge_axis_keep_their_length(judged, check):
    found, _ = judged((check,), plane(), {"anchors": {"eye_height": 0.25}})
    for side in ("left", "right"):
        assert found[f"wire {side}"].value == pytest.approx(0.0, abs=1e-12)
        assert found[f"wire {side}"].status == "ok"


@pytest.mark.parametrize("check", SWUNG)
def test_wire_and_stay_of_an_anchor_on_unknown_ground_are_not_checked(judged, check):
    found, _ = judged((check,), plane(), {"anchors": {"right": {"radius": 70.0}}})
    for subject, finding in found.items():
        assert (finding.status == "not checked") == ("right" in subject)
        assert (finding.value is None) == ("right" in subject)


def test_start_on_level_ground_is_set_by_the_trestle(start):
    """Top 12 m out, its axis half a metre and a radius above ground 0.25 m below the hinge."""
    finding = start(plane())
    expected = math.degrees(math.asin((0.5 + 0.1143 / 2 - 0.25) / 12.0))
    assert finding.value == pytest.approx(expected, abs=1e-6)
    assert finding.status == "ok"
    assert "trestle" in finding.message.in_units("metric")


@pytest.mark.parametrize(
    ("rise", "status"), [(-0.3, "ok"), (-0.5, "caution"), (-0.9, "stop"), (0.5, "ok")]
)
def test_ground_that_rises_behind_holds_the_mast_up(start, rise, status):
    finding = start(plane(north=rise))
    assert finding.value == pytest.approx(-math.degrees(math.atan(rise)), abs=1.5)
    assert finding.status == status


def test_unknown_ground_behind_is_not_checked(start):
    finding = start(plane(), reach=10.0, spacing=5.0)
    assert finding.status == "not checked"
    assert finding.value is None
