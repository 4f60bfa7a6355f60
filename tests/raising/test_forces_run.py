"""Forces of the raise: virtual work, equilibrium, limits, mirror and turn."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.raising import analyse_raise, tow_path
from visual.raising.forces import analyse_forces
from visual.raising.forces_run import run_raise
from visual.raising.weights import find_weights
from visual.units import STANDARD_GRAVITY

ANGLES = np.radians(np.arange(0.0, 90.1, 5.0))
WEIGHTLESS = {
    "diameter": 0.006,
    "mass_per_metre": 1e-5,
    "stiffness": 1.6e6,
    "breaking_load": 20e3,
}
HEAD = {"mass": 60.0, "centre_above_top": 0.3, "centre_to_front": 0.15, "rotor_diameter": 2.0}


def run(model, *, angles=ANGLES, with_head=True):
    return run_raise(model, tow_path(model, angles), with_head=with_head)


def slope(east, north):
    return lambda x, y: 100.0 + east * x + north * y


# --- work done is energy gained ----------------------------------------------------------------


@given(
    north=st.floats(-0.2, 0.1),
    gin=st.floats(70.0, 100.0),
    turn=st.floats(-20.0, 20.0),
    radius=st.floats(7.0, 14.0),
    offset=st.floats(-0.3, 0.3),
    parts=st.integers(1, 4),
)
@settings(max_examples=6)
def test_work_of_a_winch_is_the_energy_gained(make_model, north, gin, turn, radius, offset, parts):
    """Line wound in at its tension, with the winch off the line of the front and on a slope."""
    changes = {
        "tow": {"by": "winch", "line": "rope", "parts": parts},
        "wire": {"rope": WEIGHTLESS},
        "gin_pole": {"angle": gin},
        "anchors": {"front": {"radius": radius, "turn": turn}},
        "mast": {"head": HEAD | {"centre_to_front": offset}},
    }
    model = make_model(slope(0.05, north), changes, spacing=60.0)
    angles = np.radians(np.arange(2.0, 60.01, 1.0))
    found = run(model, angles=angles)
    length = np.linalg.norm(found.tow.tips - found.tow.ends, axis=1)
    work = np.sum((found.tow_tension[1:] + found.tow_tension[:-1]) / 2 * -np.diff(length))
    energy = np.diff(found.weights.energy(angles[[0, -1]]))[0]
    assert work == pytest.approx(energy, rel=2e-4)


@given(north=st.floats(-0.2, 0.1), east=st.floats(-0.1, 0.1), bearing=st.floats(0.0, 359.0))
@settings(max_examples=6)
def test_work_of_a_vehicle_is_the_energy_gained(make_model, north, east, bearing):
    """Pull on the hitch along its way over the slope, not along the line."""
    changes = {
        "mast": {"head": HEAD, "front": bearing},
        "tow": {"line": "rope"},
        "wire": {"rope": WEIGHTLESS},
    }
    model = make_model(slope(east, north), changes, spacing=60.0)
    angles = np.radians(np.arange(2.0, 60.01, 1.0))
    found = run(model, angles=angles)
    line = found.tow.ends - found.tow.tips
    pull = found.tow_tension[:, None] * line / np.linalg.norm(line, axis=1)[:, None]
    driven = np.diff(found.tow.ends, axis=0)
    work = np.sum((pull[1:] + pull[:-1]) / 2 * driven)
    energy = np.diff(found.weights.energy(angles[[0, -1]]))[0]
    assert work == pytest.approx(energy, rel=2e-4)


# --- equilibrium -------------------------------------------------------------------------------


@given(
    north=st.floats(-0.2, 0.1),
    east=st.floats(-0.15, 0.15),
    gin=st.floats(75.0, 100.0),
    low=st.floats(3.0, 6.0),
    block=st.booleans(),
)
@settings(max_examples=6)
def test_nothing_is_left_over_at_any_step(make_model, north, east, gin, low, block):
    changes = {
        "mast": {
            "head": HEAD,
            "collar": [{"height": h, "wire": "guy"} for h in (11.5, 8.0, low)],
        },
        "gin_pole": {"angle": gin},
        "tow": {"through_front_anchor": block, "line_length": 24.0},
    }
    model = make_model(slope(east, north), changes, spacing=60.0)
    found = run(model, angles=np.radians(np.arange(0.0, 90.1, 7.5)))
    known = np.isfinite(found.tow_tension)
    assert known.sum() >= 8
    assert found.unstable == ()
    assert np.nanmax(found.imbalance) < 1e-9
    # the structure asks of the line what virtual work says
    pull = np.where(found.weight_moment > 0, found.tow_tension, found.hold_back)
    asked = np.array([math.nan if m is None else m.holding for m in found.mast])
    np.testing.assert_allclose(asked[known], pull[known], rtol=1e-7, atol=1e-4)


def test_hinge_answers_everything_else(make_model):
    model = make_model(changes={"mast": {"head": HEAD}})
    found = run(model)
    line = found.tow.ends - found.tow.tips
    unit = line / np.linalg.norm(line, axis=1)[:, None]
    rope = model.rig.wire_types["guy"].mass_per_metre * 20.0 / 2
    down = (found.weights.mass + rope) * STANDARD_GRAVITY
    before = found.weight_moment > 0
    pull = found.tow_tension[:, None] * unit
    np.testing.assert_allclose(found.hinge[before, 0], -(pull @ model.forward)[before], atol=1e-6)
    np.testing.assert_allclose(found.hinge[before, 1], (down - pull[:, 2])[before], atol=1e-6)
    np.testing.assert_allclose(found.hinge[:, 2], 0.0, atol=1e-9)


# --- second formulas ---------------------------------------------------------------------------


def test_one_level_by_levers(make_model):
    """Lying level: wire lever 5·11/√(5² + 11²), line lever by similar triangles."""
    model = make_model(changes={"mast": {"head": HEAD}})
    found = run(model)
    mast = 2 * model.rig.mast.sections[0].mass
    wires = next(w for w in found.weights.on_mast if w.name.startswith("wires"))
    on_mast = (mast * 6.0 + wires.mass * 11.0 + 60.0 * 12.3) * STANDARD_GRAVITY
    lift = on_mast / (5.0 * 11.0 / math.hypot(5.0, 11.0))
    assert found.lift_wires[0, 0] == pytest.approx(lift, rel=1e-9)
    # Tip 5 m above the hinge, hitch 0.25 m above the hinge and √(20² − 4.75²) away.
    out = math.sqrt(20.0**2 - 4.75**2)
    lever = 5.0 * out / 20.0
    assert found.tow_tension[0] == pytest.approx(found.weight_moment[0] / lever, rel=1e-9)


def test_the_pole_is_pressed_by_wire_and_line(make_model):
    model = make_model()
    found = run(model)
    out = math.sqrt(20.0**2 - 4.75**2)
    down = found.tow_tension[0] * 4.75 / 20.0
    down += found.lift_wires[0, 0] * 5.0 / math.hypot(5.0, 11.0)
    kind = model.rig.wire_types["guy"].mass_per_metre
    on_top = (found.weights.at_tip + kind * 10.0) * STANDARD_GRAVITY
    own = found.weights.pole.mass * STANDARD_GRAVITY
    assert out > 19
    # at its foot it carries all of its own weight
    assert found.gin_compression[0] == pytest.approx(down + on_top + own, rel=1e-6)


def test_a_weightless_pole_far_from_the_hitch(make_model):
    """Line nearly level, nothing but the mast: pull = moment over pole length at lift-off."""
    light = {"density": 1e-6, "modulus": 210e9, "yield": 235e6}
    changes = {
        "gin_pole": light,
        "wire": {"guy": WEIGHTLESS},
        "tow": {"line_length": 400.0},
        "mast": {"hinge_height": 0.5},
    }
    model = make_model(changes=changes, reach=500.0, spacing=500.0)
    found = run(model)
    mast = sum(tube.mass for tube in model.rig.mast.sections) * 6.0 * STANDARD_GRAVITY
    assert found.tow_tension[0] == pytest.approx(mast / 5.0, rel=2e-4)
    # Moment falls with the cosine and so does the lever: the pull stays.
    assert found.tow_tension[12] == pytest.approx(mast / 5.0, rel=0.02)
    assert found.balance_angle is None or found.balance_angle > math.radians(89.99)


# --- balance -----------------------------------------------------------------------------------


def test_past_the_balance_the_back_wire_holds(make_model):
    found = run(make_model(changes={"mast": {"head": HEAD}}))
    balance = found.balance_angle
    assert math.radians(75) < balance < math.radians(89)
    over = found.angles > balance
    assert (found.tow_tension[over] == 0).all()
    assert (found.hold_back[over] > 0).all()
    assert (found.hold_back[~over] == 0).all()
    # upright: moment over the lever of the wire from 11 m up to 8 m out, 0.15 m below the hinge
    lever = 11.0 * 8.0 / math.hypot(8.0, 11.15)
    assert found.hold_back[-1] == pytest.approx(-found.weight_moment[-1] / lever, rel=1e-9)


@given(offset=st.floats(-0.5, 0.5))
@settings(max_examples=4)
def test_a_head_to_the_front_goes_over_earlier(make_model, offset):
    def balance(to_front):
        head = HEAD | {"centre_to_front": to_front}
        model = make_model(changes={"mast": {"head": head}}, spacing=60.0)
        return run(model, angles=np.radians(np.arange(65.0, 90.1, 5.0))).balance_angle

    first, second = balance(offset), balance(offset + 0.1)
    assert second < (first if first is not None else math.pi)


# --- blocks and parts --------------------------------------------------------------------------


def test_a_block_costs_a_tenth(make_model):
    model = make_model(changes={"tow": {"through_front_anchor": True}})
    found = run(model)
    np.testing.assert_allclose(found.hauling, found.tow_tension * 1.1)
    np.testing.assert_allclose(found.letting_out, found.tow_tension / 1.1)
    # lying level: the tip is 5 m up and 8 m back from the eye, the hitch on the ground ahead
    to_tip = np.array([-8.0, 5.15]) / math.hypot(8.0, 5.15)
    ahead = math.sqrt((20.0 - math.hypot(8.0, 5.15)) ** 2 - 0.4**2)
    to_hitch = np.array([ahead, 0.4]) / math.hypot(ahead, 0.4)
    expected = found.tow_tension[0] * (to_tip + 1.1 * to_hitch)
    np.testing.assert_allclose(found.front_anchor[0][1:], expected, rtol=1e-9)


def test_parts_of_line(make_model):
    changes = {"by": "winch", "parts": 3}
    three, one = (
        run(make_model(changes={"tow": changes})),
        run(make_model(changes={"tow": {"by": "winch"}})),
    )
    np.testing.assert_allclose(three.hauling, three.tow_tension * 1.2 / 3)
    np.testing.assert_allclose(one.hauling, one.tow_tension)
    # two more parts of line weigh a little more
    np.testing.assert_allclose(three.tow_tension[:10], one.tow_tension[:10], rtol=0.01)


def test_a_winch_above_the_hinge_loses_its_lever(make_model):
    """The line from the tip passes over the hinge before the mast is upright."""
    eye = {"position": [0.0, 10.0], "height": 103.0}
    model = make_model(changes={"tow": {"by": "winch"}, "anchors": {"front": eye}})
    found = run(model)
    assert found.over_centre is not None
    assert math.degrees(found.angles[found.over_centre]) > 60
    assert np.isnan(found.tow_tension[found.over_centre])
    assert found.mast[found.over_centre] is None
    assert math.isnan(found.peak(found.tow_tension).value)


# --- mirror, turn, head ------------------------------------------------------------------------


def test_mirrored_ground_swaps_left_and_right(make_model):
    changes = {"mast": {"head": HEAD}}
    one = make_model(lambda x, y: 100.0 + 0.12 * x + 0.02 * y, changes, spacing=60.0)
    other = make_model(lambda x, y: 100.0 - 0.12 * x + 0.02 * y, changes, spacing=60.0)
    here, there = (analyse_forces(m, analyse_raise(m)) for m in (one, other))
    np.testing.assert_allclose(here.loaded.tow_tension, there.loaded.tow_tension, atol=1e-6)
    left, right, _ = here.wires
    left_there, right_there, _ = there.wires
    np.testing.assert_allclose(left.tension, right_there.tension, rtol=1e-6)
    np.testing.assert_allclose(right.tension, left_there.tension, rtol=1e-6)
    np.testing.assert_allclose(here.across.side_wire, there.across.side_wire, rtol=1e-9)


def test_the_bare_mast_pulls_less(make_model):
    model = make_model(changes={"mast": {"head": HEAD}})
    forces = analyse_forces(model, analyse_raise(model))
    assert len(forces.runs) == 2
    assert forces.bare.tow_tension.max() < forces.loaded.tow_tension.max()
    assert forces.bare.weights.mass == pytest.approx(forces.loaded.weights.mass - 60.0)
    bare = make_model()
    assert len(analyse_forces(bare, analyse_raise(bare)).runs) == 1


def test_weights_are_those_of_the_parts(make_model):
    model = make_model(changes={"mast": {"head": HEAD}})
    weights = find_weights(model, with_head=True)
    wire = model.rig.wire_types["guy"].mass_per_metre
    side = math.hypot(11.15, 8.0)
    lift = math.hypot(11.0, 5.0)
    expected = 2 * model.rig.mast.sections[0].mass + 60.0 + model.rig.gin_pole.tube.mass
    expected += wire * (3 * side / 2 + lift)
    assert weights.mass == pytest.approx(expected, rel=1e-9)


def test_where_the_lane_is_unknown_so_are_the_forces(make_model):
    found = run(make_model(reach=15.0, spacing=5.0))
    assert np.isnan(found.tow_tension[found.weight_moment > 0]).all()
    assert np.isfinite(found.weight_moment[:1]).all() or np.isnan(found.weight_moment[0])


def test_stress_along_the_mast_is_largest_at_a_collar_or_in_a_span(make_model):
    found = run(make_model(changes={"mast": {"head": HEAD}}))
    state = found.mast[0]
    assert state.places[0] == 0.0
    assert state.places[-1] == pytest.approx(12.0)
    assert state.moment[0] == pytest.approx(0.0, abs=1e-6)
    # above the collar: head and 1 m of tube, nothing else
    tube = 2 * found.weights.sections[0][1].mass / 12.0
    expected = STANDARD_GRAVITY * (60.0 * 1.3 + tube * 0.5)
    at_collar = np.abs(state.moment[np.isclose(state.places, 11.0)])
    assert at_collar.max() == pytest.approx(expected, rel=0.05)
    assert at_collar.min() == pytest.approx(expected, rel=1e-6)


def test_a_soft_line_lets_the_mast_run_ahead(make_model):
    """The hitch is above the hinge, so the lever shrinks towards the balance."""
    soft = WEIGHTLESS | {"stiffness": 4e4}
    angles = np.radians(np.arange(60.0, 90.1, 0.5))
    changes = {"mast": {"head": HEAD}, "wire": {"rope": soft}, "tow": {"line": "rope"}}
    loose = run(make_model(changes=changes), angles=angles)
    stiff = run(make_model(changes=changes | {"wire": {"rope": WEIGHTLESS}}), angles=angles)
    assert loose.runs_ahead is not None
    assert loose.runs_ahead < (stiff.runs_ahead or math.pi)
    assert loose.hold_from == loose.runs_ahead < loose.balance_angle
    # the forces at rest are the same
    np.testing.assert_allclose(loose.tow_tension, stiff.tow_tension, rtol=1e-6)
