"""The flat yard: the program finds the numbers that its README works out by hand."""

import math
from pathlib import Path
from typing import Any

import pytest

from visual.checks import assess, results_document
from visual.model import load_model
from visual.raising import pose_at

YARD = Path(__file__).resolve().parents[2] / "sample_sites" / "flat_yard"


@pytest.fixture(scope="module")
def report():
    return assess(load_model(YARD))


@pytest.fixture(scope="module")
def results(report) -> dict[str, Any]:
    return results_document(report)


@pytest.fixture(scope="module")
def readme() -> str:
    return (YARD / "README.md").read_text(encoding="utf-8")


def test_anchors_stand_square_and_level(results):
    for anchor in results["anchors"]:
        assert anchor["horizontal_distance"] == pytest.approx(7.5, abs=1e-9)
        assert anchor["height"] == pytest.approx(50.5, abs=1e-9)
        assert anchor["diagonal_to_next"] == pytest.approx(7.5 * math.sqrt(2), abs=1e-9)


def test_wires_are_three_four_five_triangles(results):
    assert len(results["wires"]) == 4
    for wire in results["wires"]:
        assert wire["straight_length"] == pytest.approx(12.5, abs=1e-9)
        assert wire["angle_at_anchor"] == pytest.approx(math.degrees(math.atan2(4, 3)), abs=1e-9)


def test_wires_are_cut_as_the_readme_says(results, readme):
    assert "**12.482 m**" in readme
    assert "**12.732 m**" in readme
    assert "**12.1 mm**" in readme
    for wire in results["wires"]:
        # the README multiplies by 12.48 m for a length it is about to find: good to 0.1 mm
        assert wire["unstressed_length"] == pytest.approx(12.482, abs=0.0006)
        assert wire["cut_length"] == pytest.approx(12.732, abs=0.0006)
        assert wire["sag"] == pytest.approx(0.0121, abs=0.00006)
        assert wire["straight_length_pm"] == pytest.approx(0.008 * math.sqrt(2), rel=1e-6)


def test_the_mast_starts_level(results):
    assert results["raising"]["start_angle"] == pytest.approx(0.0, abs=1e-6)
    assert results["raising"]["start_limited_by"] == "trestle"


@pytest.mark.parametrize(
    ("out", "up", "hitch"),
    [(0, 5, 12.0), (3, 4, 3 + math.sqrt(153)), (4, 3, 4 + math.sqrt(160)), (5, 0, 18.0)],
)
def test_tip_and_hitch_follow_right_triangles(report, out, up, hitch):
    angle = math.atan2(out, up)
    tip = pose_at(report.model, angle).tip
    assert tip @ report.model.forward == pytest.approx(out, abs=1e-9)
    assert tip[2] == pytest.approx(up, abs=1e-9)
    # steps of the raise are half a degree apart: the nearest one is at most a quarter off
    tow = report.raised.tow
    nearest = int(abs(tow.angles - angle).argmin())
    assert tow.distance[nearest] == pytest.approx(hitch, abs=0.03)


def test_the_truck_drives_six_metres(results):
    assert results["raising"]["vehicle_travel"] == pytest.approx(6.0, abs=1e-6)


def test_front_wire_is_longer_to_its_anchor_than_to_the_tip(results):
    front = next(wire for wire in results["wires"] if wire["name"] == "front")
    assert front["change_over"] == pytest.approx(12.5 - math.hypot(10, 5), abs=1e-9)


def test_side_wires_and_stays_do_not_change(report):
    assert len(report.raised.side_wires) == 2
    assert len(report.raised.side_stays) == 2
    for wire in (*report.raised.side_wires, *report.raised.side_stays):
        assert wire.tightest[1] == pytest.approx(0.0, abs=1e-9)
        assert wire.slackest[1] == pytest.approx(0.0, abs=1e-9)


def test_back_wire_has_ten_metres_of_slack_at_the_start(report):
    (back,) = report.raised.back_wires
    assert back.slackest[1] == pytest.approx(2.5 - 12.5, abs=1e-6)


def test_fall_zone_areas(results):
    zone = results["fall_zone"]
    assert zone["total_height"] == pytest.approx(12.5)
    assert zone["circle_area"] == pytest.approx(math.pi * 12.5**2, rel=1e-9)
    # a polygon through 360 points of a circle is smaller than it by 1 in 20 000
    assert zone["contact_area"] == pytest.approx(math.pi * (12.5**2 - 0.5**2), rel=6e-5)


def test_clearances_to_the_shed(results):
    distance = {item["part"]: item["distance"] for item in results["clearances"]}
    assert distance["mast"] == pytest.approx(15 - 0.05, abs=1e-3)
    assert distance["wire left"] == pytest.approx(7.5 - 0.003, abs=1e-3)


def test_nothing_stops(report):
    assert not report.stops
