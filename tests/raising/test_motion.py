import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.raising import gin_direction, mast_direction, mast_normal, pose_at
from visual.raising.motion import gin_tip


def test_level_mast_points_to_the_back_and_the_pole_up(make_model):
    model = make_model()
    np.testing.assert_allclose(mast_direction(model, 0.0), -model.forward, atol=1e-15)
    np.testing.assert_allclose(gin_direction(model, 0.0), model.upward, atol=1e-15)


def test_upright_mast_points_up_and_the_pole_to_the_front(make_model):
    model = make_model(changes={"mast": {"front": 215.0}})
    np.testing.assert_allclose(mast_direction(model, math.pi / 2), model.upward, atol=1e-15)
    np.testing.assert_allclose(gin_direction(model, math.pi / 2), model.forward, atol=1e-15)
    np.testing.assert_allclose(mast_normal(model, math.pi / 2), model.forward, atol=1e-15)


def test_front_bearing_215_points_south_west(make_model):
    model = make_model(changes={"mast": {"front": 215.0}})
    east, north, up = model.forward
    assert east == pytest.approx(math.sin(math.radians(215)))
    assert north == pytest.approx(math.cos(math.radians(215)))
    assert up == 0.0
    # Looking to the south-west, the right hand is to the north-west.
    assert model.rightward[0] < 0 < model.rightward[1]


def test_anchors_stand_clockwise_from_the_front(make_model):
    model = make_model()
    bearings = [math.degrees(model.anchors[s].bearing) for s in ("front", "right", "back", "left")]
    np.testing.assert_allclose(bearings, [0.0, 90.0, 180.0, 270.0], atol=1e-9)


def test_a_pole_at_60_degrees_stays_60_degrees_from_the_mast(make_model):
    model = make_model(changes={"gin_pole": {"angle": 60.0}})
    for angle in np.radians([-5.0, 0.0, 30.0, 90.0]):
        cosine = mast_direction(model, angle) @ gin_direction(model, angle)
        assert cosine == pytest.approx(0.5)
    # Upright, such a pole points 30 degrees above the horizontal, to the front.
    tip = gin_tip(model, math.pi / 2)
    np.testing.assert_allclose(
        tip, 5.0 * (math.cos(math.pi / 6) * model.forward + 0.5 * model.upward), atol=1e-12
    )


HEAD = {
    "mass": 60.0,
    "centre_above_top": 0.3,
    "centre_to_front": 0.2,
    "rotor_diameter": 2.4,
    "rotor_above_top": 0.5,
}


def test_head_and_rotor_upright(make_model):
    pose = pose_at(make_model(changes={"mast": {"head": HEAD}}), math.pi / 2)
    np.testing.assert_allclose(pose.head_centre, [0.0, 0.2, 12.3], atol=1e-12)
    np.testing.assert_allclose(pose.rotor_centre, [0.0, 0.0, 12.5], atol=1e-12)
    np.testing.assert_allclose(pose.collars, [[0.0, 0.0, 11.0]], atol=1e-12)


def test_a_bare_mast_has_no_head(make_model):
    pose = pose_at(make_model(), 0.3)
    assert pose.head_centre is None
    assert pose.rotor_centre is None


@given(angle=st.floats(-1.0, 1.6), step=st.floats(-0.5, 0.5))
def test_the_mast_turns_as_one_rigid_body(make_model, angle, step):
    model = make_model(changes={"mast": {"head": HEAD}}, spacing=60.0)
    first, second = pose_at(model, angle), pose_at(model, angle + step)
    for a, b in (("top", "tip"), ("head_centre", "tip"), ("head_centre", "rotor_centre")):
        before = np.linalg.norm(getattr(first, a) - getattr(first, b))
        after = np.linalg.norm(getattr(second, a) - getattr(second, b))
        assert after == pytest.approx(before, abs=1e-12)
