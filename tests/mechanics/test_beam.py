"""The beam on wires: textbook beams, and laws that need no number."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.mechanics.beam import (
    Beam,
    Member,
    UnstableError,
    buckling_factor,
    direction,
    solve,
    within,
)
from visual.mechanics.column import Strut, uniform_load_moment

EA, EI, LENGTH, LOAD = 3e8, 4.9e5, 18.0, -120.0
PROP = 1e9  # [N/m] a prop so stiff that it counts as rigid


def straight_beam(elements, *, joints=0):
    places = np.linspace(0.0, LENGTH, elements + 1)
    return Beam(places, np.full(elements, EA), np.full(elements, EI), joints)


def prop(beam, node, stiffness=PROP):
    """A wire straight up from a node to something fixed above."""
    return Member(direction(beam, 3 * node, np.array([0.0, -1.0])), stiffness)


def spread(beam, across=LOAD, along=0.0):
    return np.tile([along, across], (beam.lengths.size, 1))


def solved(beam, members, **loads):
    loads = {"point_loads": np.zeros(beam.size), "spread_loads": spread(beam, 0.0)} | loads
    return solve(beam, members, **loads)


def test_simply_supported_beam():
    """M = w L²/8, V = w L/2, deflection 5 w L⁴/(384 EI): any handbook."""
    beam = straight_beam(4)
    state = solved(beam, [prop(beam, 4)], spread_loads=spread(beam))
    w = -LOAD
    assert state.moment.max() == pytest.approx(w * LENGTH**2 / 8)
    assert state.shear[0, 0] == pytest.approx(w * LENGTH / 2)
    assert state.forces[0] == pytest.approx(w * LENGTH / 2)
    middle = state.displacement[3 * 2 + 1] - state.displacement[3 * 4 + 1] / 2
    assert middle == pytest.approx(-5 * w * LENGTH**4 / 384 / EI, rel=1e-6)


def test_two_equal_spans():
    """Middle support 5/8 of the load, moment over it −w l²/8: any handbook."""
    beam = straight_beam(8)
    state = solved(beam, [prop(beam, 4), prop(beam, 8)], spread_loads=spread(beam))
    assert state.forces[0] == pytest.approx(-LOAD * LENGTH * 5 / 8, rel=1e-3)
    assert state.moment[4, 0] == pytest.approx(LOAD * (LENGTH / 2) ** 2 / 8, rel=2e-3)


def test_overhang_and_moment_at_the_top():
    beam = straight_beam(6)
    load = np.zeros(beam.size)
    load[3 * 6 + 1], load[3 * 6 + 2] = -1000.0, 300.0
    state = solved(beam, [prop(beam, 4)], point_loads=load)
    assert state.moment[-1, 1] == pytest.approx(300.0)
    assert state.moment[3, 1] == pytest.approx(300.0 - 1000.0 * 6.0)


@given(elements=st.integers(2, 12))
def test_element_size_changes_nothing(elements):
    coarse, fine = straight_beam(elements), straight_beam(2 * elements)
    one = solved(coarse, [prop(coarse, elements, 3e4)], spread_loads=spread(coarse))
    two = solved(fine, [prop(fine, 2 * elements, 3e4)], spread_loads=spread(fine))
    np.testing.assert_allclose(one.moment[:, 0], two.moment[::2, 0], atol=1e-6)
    np.testing.assert_allclose(one.forces, two.forces, rtol=1e-9)


def test_a_parabola_inside_the_element():
    beam = straight_beam(1)
    state = solved(beam, [prop(beam, 1)], spread_loads=spread(beam))
    inside = within(
        beam,
        state.moment[:, 0],
        state.shear[:, 0],
        spread(beam)[:, 1],
        shares=np.array([0.5, 1.0]),
    )
    np.testing.assert_allclose(inside, [[-LOAD * LENGTH**2 / 8, 0.0]], atol=1e-6)


def test_a_wire_does_not_push():
    beam = straight_beam(8)
    load = np.zeros(beam.size)
    load[3 * 8 + 1] = -1000.0
    # A load at the free end lifts the beam near the foot: that wire goes slack.
    members = [prop(beam, 2), prop(beam, 6)]
    state = solved(beam, members, point_loads=load)
    np.testing.assert_allclose(state.forces, [0.0, 1000.0 * 18.0 / 13.5])
    pushed = solved(beam, [Member(members[0].stretch, PROP, False), members[1]], point_loads=load)
    assert pushed.forces[0] < 0.0


def test_nothing_holds_it():
    beam = straight_beam(4)
    load = np.zeros(beam.size)
    load[3 * 4 + 1] = 1000.0  # up, and the wire only pulls up
    with pytest.raises(UnstableError, match="turning"):
        solved(beam, [prop(beam, 4)], point_loads=load)


def test_a_strut_and_wires_at_a_free_joint():
    """A pole from the foot holds a wire's joint: the joint's forces add up to nothing."""
    beam = straight_beam(4, joints=1)
    pole, wire = np.array([0.0, 1.0]), np.array([-18.0, 7.0]) / math.hypot(18.0, 7.0)
    members = [
        Member(direction(beam, beam.joint(0), pole), 1e7, False),
        Member(
            direction(beam, beam.joint(0), wire) + direction(beam, 3 * 4, -wire),
            2e5,
        ),
        Member(direction(beam, beam.joint(0), np.array([1.0, 0.0])), 2e5),
    ]
    state = solved(beam, members, spread_loads=spread(beam))
    strut, lift, tow = state.forces
    total = strut * pole + lift * wire + tow * np.array([1.0, 0.0])
    np.testing.assert_allclose(total, 0.0, atol=1e-6)
    assert strut < 0 < lift
    # Moment about the foot: lift wire's lever 18 · 7/√(18² + 7²).
    assert lift * 18.0 * 7.0 / math.hypot(18.0, 7.0) == pytest.approx(-LOAD * LENGTH**2 / 2)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.8])
def test_thrust_bends_it_further(share):
    """Second order against the closed form of the pinned strut under uniform load."""
    beam = straight_beam(8)
    strut = Strut(length=LENGTH, flexural=EI)
    thrust = share * strut.euler_load
    state = solved(beam, [prop(beam, 8)], spread_loads=spread(beam), thrust=np.full(8, thrust))
    expected = uniform_load_moment(strut, load=-LOAD, thrust=thrust)
    assert state.moment.max() == pytest.approx(expected, rel=2e-3)


def test_eulers_load_is_found():
    beam = straight_beam(8)
    factor = buckling_factor(beam, [prop(beam, 8)], thrust=np.full(8, 1000.0))
    assert factor * 1000.0 == pytest.approx(math.pi**2 * EI / LENGTH**2, rel=1e-4)
    assert buckling_factor(beam, [prop(beam, 8)], thrust=np.full(8, -1000.0)) == math.inf


def test_beyond_eulers_load_it_does_not_stand():
    beam = straight_beam(8)
    thrust = np.full(8, 1.01 * math.pi**2 * EI / LENGTH**2)
    with pytest.raises(UnstableError, match="buckling"):
        solved(beam, [prop(beam, 8)], spread_loads=spread(beam), thrust=thrust)


@given(scale=st.floats(0.1, 10.0), along=st.floats(-200.0, 200.0))
def test_forces_scale_with_loads_and_balance(scale, along):
    beam = straight_beam(6)
    anchor = np.array([-1.0, -1.0]) / math.sqrt(2)
    members = [Member(direction(beam, 3 * 6, anchor), 1e5)]
    one = solved(beam, members, spread_loads=spread(beam, along=along))
    more = solved(beam, members, spread_loads=scale * spread(beam, along=along))
    np.testing.assert_allclose(more.moment, scale * one.moment, atol=1e-6)
    # At the foot: what the loads and the wire leave over.
    pull = -one.forces[0] * anchor
    assert -one.axial[0, 0] == pytest.approx(-(along * LENGTH + pull[0]), abs=1e-6)
    assert one.shear[0, 0] == pytest.approx(-(LOAD * LENGTH + pull[1]), abs=1e-6)
