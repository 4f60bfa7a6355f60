"""How far things are from the mast: against the plan of the small site, worked out by hand."""

import math

import numpy as np
import pytest

from visual.page.nearby import find_nearby
from visual.page.sections import left_out


@pytest.fixture(scope="module")
def near(report):
    return {one.name.split(" <")[0]: one for one in find_nearby(report)}


@pytest.mark.parametrize(
    ("kind", "distance"),
    [
        ("building", math.hypot(12, 6)),  # the corner of the barn
        ("tree", math.hypot(14, 10) - 3.0),  # the crown of the oak is 3 m in radius
        ("overhead_line", 17.0),
        ("viewpoint", math.hypot(30, 25)),
        ("boundary", 40.0),  # the nearest side of the field that the mast stands in
        ("road", 30.0),
    ],
)
def test_distances_are_those_of_the_plan(report, kind, distance):
    one = next(one for one in find_nearby(report) if one.kind == kind)
    assert one.distance == pytest.approx(distance, abs=0.02)  # the crown is a polygon
    level = np.linalg.norm(one.ends[1, :2] - one.ends[0, :2])
    assert level == pytest.approx(one.distance, abs=1e-9)
    assert one.ends[0] == pytest.approx([0.0, 0.0, report.model.base_ground])


def test_lines_end_on_the_ground(report):
    for one in find_nearby(report):
        x, y, z = one.ends[1]
        assert z == pytest.approx(float(report.model.ground.height(x, y)), abs=1e-9)


def test_all_around_shows_the_nearest_place_of_everything_and_the_plan_too(data):
    around, plan = (next(v for v in data["views"] if v["name"] == n) for n in ("around", "plan"))
    fits = np.array(around["fits"])
    for one in data["nearby"]:
        assert np.linalg.norm(fits - np.array(one["ends"][1]), axis=1).min() < 1e-9
        off = np.abs(np.array(one["ends"][1][:2]) - np.array(plan["target"][:2]))
        assert (off <= np.array(plan["span"]) / 2).all()


def test_a_cut_names_what_it_leaves_out_with_how_far_behind_it_stands(report):
    """Looking south from the cut, the line 17 m behind is out of the rig's reach or in it."""
    south = np.array([0.0, -1.0, 0.0])
    found = left_out(report, at=np.zeros(3), normal=south)
    reach = max(report.fall_zone.total_height, report.fall_zone.circle_radius)
    expected = ["11 kV line"] if reach < 17.0 else []
    assert [one["name"] for one in found] == expected
    north = left_out(report, at=np.array([0.0, 60.0, 0.0]), normal=south)
    assert {"metric": "11 kV line 77 m behind", "imperial": "11 kV line 253 ft behind"} in [
        one["text"] for one in north
    ]


def test_a_setback_finding_carries_the_line_it_was_measured_along(report, data):
    setback = report.setbacks[0]
    found = [f for f in data["findings"] if f["check"] == "setback" and f["apart"]]
    assert len(found) == len(report.setbacks)
    ends = np.array(found[0]["apart"]["ends"])[:, :2]
    np.testing.assert_allclose(ends, setback.nearest, atol=1e-9)
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(setback.distance)
