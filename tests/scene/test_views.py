"""Where the pictures of the sample sites are taken from, and what they must show."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.errors import InputError
from visual.scene.attention import worst_clearance
from visual.scene.camera import ASPECT, project
from visual.scene.furniture import scale_text
from visual.scene.near import wide_plan
from visual.scene.pictures import draw_pictures
from visual.scene.sheet import Rect, Sheet
from visual.scene.sight import crossed, screens_of
from visual.scene.solids import box
from visual.scene.views import at_angle

EVERY = ["paddock", "moved", "terrace", "yard"]
SIZE = (round(890 * ASPECT), 890)


def in_frame(view, points, margin=0.0):
    pixels, _ = project(view, points, width=SIZE[0], height=SIZE[1])
    return ((pixels >= margin * SIZE[1]) & (pixels <= np.array(SIZE) - margin * SIZE[1])).all()


def anchors_of(model):
    return np.array([anchor.eye for anchor in model.anchors.values()])


@pytest.mark.parametrize("name", EVERY)
def test_the_overview_shows_fall_zone_anchors_and_laid_mast_with_a_margin(shots, judged, name):
    view, report = shots(name)["overview"].view, judged(name)
    model = report.model
    turn = np.radians(np.arange(0, 360, 5))
    rim = report.fall_zone.circle_radius * np.column_stack([np.sin(turn), np.cos(turn), 0 * turn])
    rim[:, 2] = model.ground.height(rim[:, 0], rim[:, 1])
    start = report.raised.first_angle
    t = -math.cos(start) * model.forward + math.sin(start) * model.upward
    laid = model.rig.mast.reach * t
    upright = [[0, 0, model.rig.mast.reach]]
    assert in_frame(view, np.concatenate([rim, anchors_of(model), [laid], upright]), margin=0.02)


@pytest.mark.parametrize("name", EVERY)
def test_nothing_hides_mast_or_anchors_in_the_overview(shots, judged, maker, name):
    view, model = shots(name)["overview"].view, judged(name).model
    mast = np.linspace(0.1, 1.0, 10)[:, None] * [0, 0, model.rig.mast.length]
    points = np.concatenate([mast, anchors_of(model) + np.array([0, 0, 0.2])])
    screens = screens_of(judged(name), maker(name).terrain, within=200.0)
    assert not screens.hidden(np.asarray(view.eye), points).any()


@pytest.mark.parametrize("name", EVERY)
def test_the_closest_view_shows_part_and_obstacle(shots, judged, maker, name):
    view, worst = shots(name)["closest"].view, worst_clearance(judged(name))
    ends = np.array([worst.closest.at_part, worst.closest.at_obstacle])
    assert in_frame(view, ends, margin=0.03)
    way = np.asarray(view.axes[2]) @ (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    assert abs(way) < 0.9, "it looks across the line, not along it"


@pytest.mark.parametrize("name", ["paddock", "moved", "terrace"])
def test_a_viewpoint_looks_level_from_the_height_of_its_eye(shots, judged, name):
    for viewpoint in judged(name).model.surroundings.viewpoints:
        found = [s.view for s in shots(name).values() if viewpoint.name in s.view.title]
        (view,) = found
        np.testing.assert_array_equal(view.eye, viewpoint.eye)
        assert view.axes[2][2] == pytest.approx(0.0, abs=1e-12)
        # points at the height of the eye lie on one level line: the horizon
        ahead = -view.axes[2]
        far = view.eye + 500 * ahead + np.array([[-80], [0], [80]]) * view.axes[0]
        pixels, _ = project(view, far, width=SIZE[0], height=SIZE[1])
        assert np.ptp(pixels[:, 1]) == pytest.approx(0.0, abs=1e-6)
        assert 0 < pixels[0, 1] < SIZE[1]


@pytest.mark.parametrize("name", ["paddock", "terrace"])
def test_uprights_stay_upright_in_a_viewpoint_view(shots, name):
    views = [s.view for s in shots(name).values() if s.view.eye_level]
    for view in views:
        away = view.eye - 30 * view.axes[2]
        pole = np.array([away + 5 * view.axes[0], away + 5 * view.axes[0] + [0, 0, 9.0]])
        pixels, _ = project(view, pole, width=SIZE[0], height=SIZE[1])
        assert pixels[0, 0] == pytest.approx(pixels[1, 0])


def test_the_stated_field_of_view_and_distance_are_those_of_the_picture(shots):
    view = shots("moved")["from-house-terrace"].view
    frame = Rect(0, 0, *SIZE)
    text = scale_text(view, Sheet(1600, 1000), frame)
    edge = view.eye - 10 * view.axes[2] + 10 * math.tan(math.radians(25.0)) * view.axes[0]
    pixels, _ = project(view, edge, width=SIZE[0], height=SIZE[1])
    assert pixels[0, 0] == pytest.approx(SIZE[0], abs=2.0)
    # 50 degrees wide; the drawing is 0.2135 m wide on paper: 0.2135 / 2 / tan 25° = 0.229 m
    assert text == "50° wide; look at an A4 print from 23 cm"
    feet = scale_text(view, Sheet(1600, 1000), frame, "imperial")
    assert feet == "50° wide; look at an A4 print from 9 in"


@pytest.mark.parametrize("name", EVERY)
def test_the_side_view_shows_the_whole_sweep_and_the_front_view_both_anchors(shots, judged, name):
    model, raised = judged(name).model, judged(name).raised
    frame = {"width": 1572, "height": 740}
    a = np.linspace(raised.first_angle, math.pi / 2, 30)[:, None]
    sweep = model.rig.mast.reach * (-np.cos(a) * model.forward + np.sin(a) * model.upward)
    pixels, _ = project(shots(name)["raising"].view, sweep, **frame)
    assert ((pixels >= 0) & (pixels <= [1572, 740])).all()
    assert in_frame(shots(name)["front"].view, anchors_of(model))


@pytest.mark.parametrize("name", ["paddock", "yard"])
def test_cuts_show_no_tube_behind_the_plane(shots, name):
    for view in ("raising", "front"):
        assert {"clearance", "hoops"} <= shots(name)[view].view.hidden


def test_an_angle_goes_to_every_view_that_can_show_it(shots):
    raising = at_angle(shots("paddock")["raising"], math.radians(45.0))
    assert raising.angle == math.radians(45.0)
    assert raising.view.title == "Raising, side view, mast at 45°"
    closest = shots("paddock")["closest"]
    assert at_angle(closest, 1.0) is closest
    assert at_angle(shots("terrace")["plan"], -0.07).view.title == "Plan, mast at −4°"


@pytest.mark.parametrize("angle", [-30.0, 2.0, 95.0])
def test_an_angle_that_the_mast_never_has_is_refused(judged, tmp_path, angle):
    with pytest.raises(InputError, match=r"turns from 3\.\d+ to 90 degrees"):
        draw_pictures(judged("paddock"), angle=angle, out=tmp_path)


@given(
    points=st.lists(st.tuples(*[st.floats(-8, 8)] * 3), min_size=1, max_size=20),
    eye=st.tuples(st.floats(9, 20), st.floats(-20, 20), st.floats(-5, 20)),
)
def test_a_sight_line_is_blocked_if_it_runs_through_a_box(points, eye):
    """Against slabs: a straight line is in a box where it is between all three pairs of sides."""
    half = np.array([2.0, 1.5, 2.5])
    vertices, faces = box(np.zeros(3), np.eye(3), half)
    where = np.array(points)
    where = where[(np.abs(where) > half + 0.05).any(axis=1)]
    way = np.array(eye) - where
    with np.errstate(divide="ignore", invalid="ignore"):
        a, b = (-half - where) / way, (half - where) / way
    first, last = np.minimum(a, b).max(axis=1), np.maximum(a, b).min(axis=1)
    deep = np.minimum(last, 1.0) - np.maximum(first, 0.0)
    clear = np.abs(deep) > 1e-6  # a line that only touches an edge may count either way
    ours = crossed(np.array(eye), where, vertices[faces])
    np.testing.assert_array_equal(ours[clear], (deep > 0)[clear])


@pytest.mark.parametrize("name", EVERY)
def test_the_plan_of_page_and_live_view_shows_fall_zone_anchors_and_what_stands_near(judged, name):
    report = judged(name)
    view, model = wide_plan(report), report.model
    assert np.allclose(np.asarray(view.eye)[:2], np.asarray(view.target)[:2]), "straight down"
    turn = np.radians(np.arange(0, 360, 5))
    rim = report.fall_zone.circle_radius * np.column_stack([np.sin(turn), np.cos(turn), 0 * turn])
    height = report.fall_zone.total_height
    near = [
        [x, y, 0.0]
        for building in model.surroundings.buildings
        for x, y in building.footprint.exterior.coords
        if building.footprint.distance(report.fall_zone.circle.centroid) < 1.8 * height
        and math.hypot(x, y) < 2.0 * height
    ]
    shown = np.concatenate([rim, anchors_of(model), np.reshape(near, (-1, 3))])[:, :2]
    assert (np.abs(shown - np.asarray(view.target)[:2]) < np.array(view.span) / 2).all()
    assert max(view.span) < 4.4 * height, "the rig does not get lost"
