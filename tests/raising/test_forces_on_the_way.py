"""Hands, side wires and loads across."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.raising import analyse_forces, analyse_raise, tow_path
from visual.raising.forces_across import loads_across
from visual.raising.forces_hand import walk_pole_up
from visual.raising.forces_run import run_raise
from visual.raising.forces_side import find_cure, wire_on_the_way
from visual.raising.forces_vehicle import vehicle_pull
from visual.raising.wires import wire_change
from visual.units import STANDARD_GRAVITY

ANGLES = np.radians(np.arange(0.0, 90.1, 2.0))


def right_eye(forward, height, right=8.0):
    return {"anchors": {"right": {"position": [right, forward], "height": 100.25 + height}}}


# --- hands -------------------------------------------------------------------------------------


def test_tip_of_a_flat_pole_carries_half_of_it(make_model):
    model = make_model()
    walk = walk_pole_up(model, lift_off_pull=2000.0)
    pole = model.rig.gin_pole.tube.mass
    wire = model.rig.wire_types["guy"].mass_per_metre
    lift = math.hypot(11.0, 5.0) / 2 * wire
    expected = STANDARD_GRAVITY * (pole / 2 + lift + 10.0 * wire)
    assert walk.tip_force[0] == pytest.approx(expected, rel=1e-6)
    assert walk.hand_force[0] == pytest.approx(expected, rel=1e-6)
    assert walk.tip_force[45] == pytest.approx(expected * math.cos(math.pi / 4), rel=0.01)
    # at 45° hands 1.5 m up are 2.12 m along a pole of 5 m
    assert walk.hand_force[45] == pytest.approx(
        walk.tip_force[45] * 5.0 / (1.5 * math.sqrt(2)), rel=1e-9
    )


def test_a_heavier_pole_takes_more_people(make_model):
    light = walk_pole_up(make_model(), lift_off_pull=2000.0)
    heavy = walk_pole_up(make_model(changes={"gin_pole": {"wall": 0.020}}), lift_off_pull=2000.0)
    assert light.people < heavy.people
    assert heavy.people * 23.0 * STANDARD_GRAVITY >= heavy.worst[0]
    assert (heavy.people - 1) * 23.0 * STANDARD_GRAVITY < heavy.worst[0]
    assert heavy.people_iso <= heavy.people


def test_the_line_takes_over_when_it_has_a_lever(make_model):
    walk = walk_pole_up(make_model(), lift_off_pull=2000.0)
    assert math.radians(30) < walk.take_over < math.radians(60)
    index = round(math.degrees(walk.take_over))
    assert walk.tow_lever[index] >= 2.5 > walk.tow_lever[index - 1]
    assert walk.tow_pull[index] < 2000.0
    assert walk.by_hand_to >= math.radians(45)


@pytest.mark.parametrize("pull", [1.0, math.nan])
def test_it_never_takes_over_if_the_pole_needs_more_than_the_mast(make_model, pull):
    walk = walk_pole_up(make_model(), lift_off_pull=pull)
    assert walk.take_over is None
    assert walk.by_hand_to == pytest.approx(math.pi / 2)


# --- side wires --------------------------------------------------------------------------------


def test_a_wire_to_the_hinge_axis_keeps_its_tension(make_model):
    model = make_model(changes=right_eye(0.0, 0.0))
    wire = wire_on_the_way(model, wire_change(model, "right", 0, ANGLES))
    # only its own weight hangs another way while it lies: 0.5 %
    np.testing.assert_allclose(wire.tension, 2000.0, rtol=0.01)
    assert wire.cure is None


def test_a_tight_wire_is_pulled_by_its_stretch(make_model):
    model = make_model(changes=right_eye(0.0, 0.05))
    change = wire_change(model, "right", 0, ANGLES)
    wire = wire_on_the_way(model, change)
    kind = model.rig.wire_types["guy"]
    expected = 2000.0 + kind.stiffness * change.change[0] / change.fitted_length
    assert wire.at_tightest == pytest.approx(expected, rel=0.01)
    assert wire.tightest[0] == pytest.approx(0.0)


def test_a_slack_wire_sags(make_model):
    model = make_model(changes=right_eye(0.0, -1.0))
    wire = wire_on_the_way(model, wire_change(model, "right", 0, ANGLES))
    assert wire.sag[0] > 0.5
    assert wire.tension[0] < 100.0
    assert wire.sag[-1] == 0.0
    assert wire.tension[-1] == pytest.approx(2000.0)


@given(forward=st.floats(-1.0, 1.0), height=st.floats(-0.5, 1.0), start=st.floats(-10.0, 10.0))
@settings(max_examples=15)
def test_each_cure_cures(make_model, forward, height, start):
    angles = np.radians(np.arange(start, 90.0, 1.0))
    angles = np.append(angles, math.pi / 2)

    def changed(ahead, up):
        model = make_model(changes=right_eye(ahead, up), spacing=60.0)
        return model, wire_change(model, "right", 0, angles)

    model, change = changed(forward, height)
    cure = find_cure(model, change)
    if cure is None:
        assert change.change.max() <= 0.005
        return
    assert changed(forward - cure.move_back, height)[1].change.max() <= 1e-9
    if cure.lower_eye is None:
        assert forward > 0
    else:
        assert changed(forward, height - cure.lower_eye)[1].change.max() <= 1e-9
    # with that much more wire it is never tight, and from `until` on it need not be longer
    assert (change.change - cure.pay_out).max() <= 1e-12
    assert change.change[angles >= cure.until - 1e-12].max() <= 0.005 + 1e-12
    assert cure.turns == pytest.approx(cure.pay_out / 0.004)


# --- across ------------------------------------------------------------------------------------


def test_gust_by_hand(make_model):
    model = make_model(changes=right_eye(0.0, 0.0) | {"tow": {"line_length": 20.0}})
    run = run_raise(model, tow_path(model, ANGLES), with_head=False)
    across = loads_across(model, run)
    tube = 1.2 * 0.613 * 100 * 0.1143 * 12.0
    lengths = 3 * math.hypot(11.15, 8.0) + math.hypot(11.0, 8.0)
    wires = 1.2 * 0.613 * 100 * 0.006 * lengths / 2
    assert across.mast_wind == pytest.approx(tube + wires, rel=1e-9)
    assert across.wind_moment == pytest.approx(tube * 6 + wires * 11, rel=1e-9)
    # upright, the left wire goes down to 0.15 m below the hinge, 8 m to the side
    expected = across.wind_moment / 11.0 * math.hypot(11.15, 8.0) / 8.0
    assert across.side_wire[-1] == pytest.approx(expected, rel=1e-9)


def test_no_gust_and_a_straight_lane_do_nothing(make_model):
    model = make_model()
    run = run_raise(model, tow_path(model, ANGLES), with_head=False)
    across = loads_across(model, run, gust=0.0, off_line=0.0)
    assert np.abs(across.side_wire).max() == 0.0
    assert np.abs(across.side_stay).max() == 0.0
    lane = loads_across(model, run, gust=0.0)
    eye = model.anchors["right"].eye
    share = 8.0 / np.linalg.norm(run.tow.tips[0] - eye)
    assert lane.side_stay[0] == pytest.approx(
        run.tow_tension[0] * math.sin(math.radians(5)) / share, rel=1e-9
    )


# --- vehicle -----------------------------------------------------------------------------------


def test_on_level_ground_by_hand(make_model):
    model = make_model(changes={"tow": {"grip": 0.35, "rolling": 0.06}})
    run = run_raise(model, tow_path(model, ANGLES), with_head=False)
    found = vehicle_pull(model, run)
    rise = math.asin(4.75 / 20.0)
    weight = 2000.0 * STANDARD_GRAVITY
    expected = 0.29 * weight / (math.cos(rise) + 0.29 * math.sin(rise))
    assert found.line_angle[0] == pytest.approx(rise)
    assert found.available[0] == pytest.approx(expected)
    assert found.lift[0] == pytest.approx(run.tow_tension[0] * 4.75 / 20.0)
    assert found.worst == 0


def test_a_winch_is_no_vehicle(make_model):
    model = make_model(changes={"tow": {"by": "winch"}})
    forces = analyse_forces(model, analyse_raise(model))
    assert forces.vehicle is None
    assert forces.known


def test_a_mast_let_go_is_caught_with_more_than_it_needs(make_model):
    model = make_model()
    forces = analyse_forces(model, analyse_raise(model))
    run = forces.loaded
    energy = np.trapezoid(np.maximum(-run.weight_moment, 0.0), run.angles)
    kind = model.rig.wire_types["guy"]
    stiffness = kind.stiffness / math.hypot(8.0, 11.15)
    assert forces.catch > run.hold_back[-1]
    # energy into the wire: (T − S)² = S² + 2 k E
    rest = run.hold_back[-1]
    assert (forces.catch - rest) ** 2 == pytest.approx(rest**2 + 2 * stiffness * energy, rel=0.01)


def test_the_first_raise_starts_lower_and_counts_for_the_wires(make_model):
    # the rotor keeps the mast up with the head on; without it the wires are even shorter
    head = {"mass": 60.0, "centre_above_top": 0.3, "rotor_diameter": 4.0}
    model = make_model(changes={"mast": {"head": head}} | right_eye(0.3, 0.5))
    raised = analyse_raise(model)
    forces = analyse_forces(model, raised)
    assert raised.start.without_head < raised.first_angle - math.radians(2.0)
    (right,) = [wire for wire in forces.wires if wire.change.side == "right"]
    assert right.change.angles[0] == pytest.approx(raised.start.without_head)
    alone = wire_change(model, "right", 0, np.array([raised.start.without_head]))
    assert right.change.tightest == (alone.angles[0], pytest.approx(alone.change[0]))
    assert right.cure.pay_out == pytest.approx(alone.change[0])
    with_head_only = wire_change(model, "right", 0, raised.angles)
    assert right.cure.pay_out > 1.05 * with_head_only.change.max()
    # the steps with the head on are still among them
    assert np.isin(raised.angles, right.change.angles).all()
    assert (np.diff(right.change.angles) > 0).all()
