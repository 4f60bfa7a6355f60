"""Pivot, block, traction, hands, wind: second formulas and limits."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.mechanics.block import pull_behind_block, tackle_advantage
from visual.mechanics.handling import grip_distance, hand_force, people_needed, recommended_mass
from visual.mechanics.pivot import moment_of, pull_for_moment, units_between
from visual.mechanics.traction import largest_pull, wheels_lift
from visual.mechanics.wind import tube_load, velocity_pressure


@given(
    angle=st.floats(-1.0, 2.0),
    force=st.tuples(*[st.floats(-1e4, 1e4)] * 3),
    arm=st.floats(0.1, 20.0),
)
def test_virtual_work_is_force_times_lever(angle, force, arm):
    # A point turning in the plane x, z about the axis y.
    point = arm * np.array([math.cos(angle), 0.0, math.sin(angle)])
    rate = arm * np.array([-math.sin(angle), 0.0, math.cos(angle)])
    about_axis = -np.cross(point, force)[1]
    assert moment_of(np.array(force), rate) == pytest.approx(about_axis, abs=1e-6)


def test_a_lever_that_does_not_help_has_no_pull():
    pull = pull_for_moment(np.array([100.0, 100.0, -5.0]), lever=np.array([2.0, -2.0, 1.0]))
    np.testing.assert_array_equal(pull, [50.0, np.nan, 0.0])


def test_one_point_has_no_direction():
    assert np.isnan(units_between(np.zeros(3), np.zeros(3))).all()


@given(friction=st.floats(0.0, 0.5), pull=st.floats(1.0, 1e5))
def test_what_a_block_costs_up_it_gives_back_down(friction, pull):
    up = pull_behind_block(pull, friction=friction)
    assert up >= pull
    assert pull_behind_block(up, friction=friction, hauling=False) == pytest.approx(pull)


@pytest.mark.parametrize("parts", [1, 2, 3, 6])
def test_without_friction_a_tackle_multiplies_by_its_parts(parts):
    assert tackle_advantage(parts, friction=0.0) == pytest.approx(parts)
    assert tackle_advantage(parts, friction=0.1) <= parts


def balance(*, pull, slope, line, weight, grip, rolling):
    """Return grip left along the lane, by adding forces along and across it."""
    back = pull * np.array([-math.cos(line), math.sin(line)])
    along = np.array([math.cos(slope), math.sin(slope)])
    normal = np.array([-math.sin(slope), math.cos(slope)])
    down = np.array([0.0, -weight])
    on_wheels = -(back + down) @ normal
    return (grip - rolling) * on_wheels + (back + down) @ along


@given(
    slope=st.floats(-0.2, 0.15),
    line=st.floats(-0.4, 0.8),
    grip=st.floats(0.3, 0.8),
    rolling=st.floats(0.0, 0.1),
)
def test_at_the_largest_pull_no_grip_is_left(slope, line, grip, rolling):
    case = {"slope": slope, "line": line, "weight": 2e4, "grip": grip, "rolling": rolling}
    pull = float(
        largest_pull(np.array(slope), np.array(line), weight=2e4, grip=grip, rolling=rolling)
    )
    assert pull > 0
    assert balance(pull=pull, **case) == pytest.approx(0.0, abs=1e-6)


def test_uphill_pulls_less_and_a_rising_line_lifts_the_hitch():
    level, up, steep = largest_pull(
        np.array([0.0, 0.1, 0.0]), np.array([0.0, 0.0, 0.5]), weight=1.0, grip=0.35, rolling=0.06
    )
    assert up < level
    # A line at 30° pulls back with cos 30° only, but takes weight off: worked out by hand.
    assert steep == pytest.approx(0.29 / (math.cos(0.5) + 0.29 * math.sin(0.5)))


def test_too_steep_to_climb_is_no_pull():
    assert largest_pull(np.array(0.4), np.array(0.0), weight=1.0, grip=0.3, rolling=0.06) == 0.0


def test_hitch_lift():
    lift = wheels_lift(np.array([0.0, 0.0]), np.array([math.pi / 6, -0.1]), weight=100.0)
    np.testing.assert_allclose(lift, [200.0, math.inf])


def test_half_the_wheels_driven_pull_half_without_rolling():
    both = largest_pull(np.array(0.0), np.array(0.0), weight=1.0, grip=0.4, rolling=0.0)
    rear = largest_pull(np.array(0.0), np.array(0.0), weight=1.0, grip=0.4, rolling=0.0, driven=0.5)
    assert rear == pytest.approx(both / 2)


def test_hands_are_at_the_tip_until_it_is_out_of_reach():
    assert grip_distance(0.0, length=7.0) == 7.0
    assert grip_distance(math.radians(45), length=7.0) == pytest.approx(1.5 * math.sqrt(2))
    assert grip_distance(math.radians(45), length=1.0) == 1.0
    assert hand_force(70.0, distance=7.0) == 10.0


@pytest.mark.parametrize(("kilograms", "people"), [(1, 1), (23, 1), (23.1, 2), (46, 2), (100, 5)])
def test_people_share_a_load(kilograms, people):
    assert people_needed(kilograms * 9.80665, gravity=9.80665) == people


def test_lifting_equation_never_exceeds_its_constant():
    assert recommended_mass(horizontal=0.1, height=0.75, travel=0.1) == 23.0
    assert recommended_mass(horizontal=0.25, height=1.75, travel=0.25) == pytest.approx(23 * 0.7)


def test_wind():
    assert velocity_pressure(50.0) == pytest.approx(1532.5)
    assert velocity_pressure(50.0) == pytest.approx(0.5 * 1.225 * 50**2, rel=1e-3)
    assert tube_load(10.0, diameter=0.1) == pytest.approx(7.356)
