"""Mast on tension-only lift wires and a hinged gin pole, against the frame program PyNiteFEA.

Standing: computed by PyNiteFEA (general library), first order and second order (P-Δ).  Both use
Euler–Bernoulli members; what is left is the stiffness given to what counts as rigid.
"""

import math
import warnings

import numpy as np
import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the library warns on import about optional parts
    from Pynite import FEModel3D

from visual.mechanics.beam import Beam, Member, direction, solve

pytestmark = pytest.mark.reference

E, G = 210e9, 80e9
AREA, INERTIA = 1.552e-3, 2.343e-6  # 114.3 × 4.5 mm tube
POLE_AREA = 1.067e-3
WIRE_EA, TOW_EA = 2.87e6, 4.49e6
MAST, POLE = 18.0, 7.0
COLLARS = (9.5, 17.4)
TOW_FAR = np.array([-22.0, -1.0])  # fixed end of the tow line: along, across
WEIGHT = -119.5  # [N/m] across, mast level
HEAD = -735.0  # [N] at the top


def ours(second_order, *, across=WEIGHT, along=0.0, head=HEAD):
    places = np.array([0.0, 2.4, 4.8, 7.2, 9.5, 11.5, 13.5, 15.5, 17.4, 18.0])
    beam = Beam(places, np.full(9, E * AREA), np.full(9, E * INERTIA), 1)
    tip = np.array([0.0, POLE])
    members = []
    for collar in COLLARS:
        step = tip - np.array([collar, 0.0])
        length = float(np.linalg.norm(step))
        unit = step / length
        stretch = direction(beam, beam.joint(0), unit)
        stretch += direction(beam, 3 * beam.node(collar), -unit)
        members.append(Member(stretch, WIRE_EA / length))
    pole = direction(beam, beam.joint(0), np.array([0.0, 1.0]))
    members.append(Member(pole, E * POLE_AREA / POLE, False))
    tow = tip - TOW_FAR
    length = float(np.linalg.norm(tow))
    members.append(Member(direction(beam, beam.joint(0), tow / length), TOW_EA / length))
    point = np.zeros(beam.size)
    point[3 * 9 + 1] = head
    case = {"point_loads": point, "spread_loads": np.tile([along, across], (9, 1))}
    first = solve(beam, members, **case)
    if not second_order:
        return beam, first
    return beam, solve(beam, members, **case, thrust=-first.axial.mean(axis=1))


def theirs(second_order, *, across=WEIGHT, along=0.0, head=HEAD):
    frame = FEModel3D()
    frame.add_material("steel", E, G, 0.3, 1e-6)
    frame.add_section("mast", AREA, INERTIA, INERTIA, 2 * INERTIA)
    frame.add_section("pole", POLE_AREA, INERTIA, INERTIA, 2 * INERTIA)
    frame.add_section("lift", WIRE_EA / E, INERTIA, INERTIA, INERTIA)
    frame.add_section("tow", TOW_EA / E, INERTIA, INERTIA, INERTIA)
    spots = {"foot": (0, 0), "low": (9.5, 0), "high": (17.4, 0), "top": (18.0, 0)}
    spots |= {"tip": (0, POLE), "far": tuple(TOW_FAR)}
    for name, (x, y) in spots.items():
        frame.add_node(name, float(x), float(y), 0.0)
    frame.def_support("foot", True, True, True, True, True, False)
    frame.def_support("far", True, True, True, True, True, True)
    for name in ("low", "high", "top"):
        frame.def_support(name, False, False, True, True, True, False)
    frame.def_support("tip", False, False, True, True, True, True)
    mast = [("m1", "foot", "low"), ("m2", "low", "high"), ("m3", "high", "top")]
    for name, i, j in mast:
        frame.add_member(name, i, j, "steel", "mast")
        frame.add_member_dist_load(name, "Fy", across, across)
        frame.add_member_dist_load(name, "Fx", along, along)
    wires = [
        ("w1", "tip", "low", "lift"),
        ("w2", "tip", "high", "lift"),
        ("t", "tip", "far", "tow"),
    ]
    for name, i, j, section in wires:
        frame.add_member(name, i, j, "steel", section, tension_only=True)
        frame.def_releases(name, Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    frame.add_member("pole", "foot", "tip", "steel", "pole")
    frame.def_releases("pole", Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    frame.add_node_load("top", "FY", head)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        frame.analyze_PDelta() if second_order else frame.analyze()
    return frame


def compared(second_order, **loads):
    beam, state = ours(second_order, **loads)
    frame = theirs(second_order, **loads)
    wires = [-frame.members[name].max_axial() for name in ("w1", "w2", "pole", "t")]
    # their axial force is positive in compression; wires have one sign all along
    theirs_forces = [w if abs(w) > 1e-9 else 0.0 for w in wires]
    moments = [
        (at, frame.members[name].moment("Mz", x))
        for name, at, x in [
            ("m1", 9.5, 9.5),
            ("m2", 17.4, 7.9),
            ("m1", 4.8, 4.8),
            ("m2", 13.5, 4.0),
        ]
    ]
    return beam, state, theirs_forces, moments


@pytest.mark.parametrize("head", [HEAD, 0.0])
def test_first_order(head):
    beam, state, forces, moments = compared(False, head=head)
    np.testing.assert_allclose(state.forces, forces, rtol=1e-6)
    for at, moment in moments:
        node = beam.node(at)
        mine = state.moment[node - 1, 1]
        assert abs(mine) == pytest.approx(abs(moment), rel=1e-6, abs=1e-3)


def test_raised_half_way():
    c, s = math.cos(math.radians(40)), math.sin(math.radians(40))
    loads = {"across": WEIGHT * c, "along": WEIGHT * s, "head": HEAD * c}
    _, state, forces, _ = compared(False, **loads)
    np.testing.assert_allclose(state.forces, forces, rtol=1e-6)


def test_second_order():
    """Theirs also counts how the wires and the pole turn as they stretch; ours bends the mast only.

    That difference is below 3 % of a force and 30 N m of moment here; without any second-order
    effect the moments would be 2 to 5 % lower.
    """
    beam, state, forces, moments = compared(True)
    np.testing.assert_allclose(state.forces, forces, rtol=0.03)
    for at, moment in moments:
        node = beam.node(at)
        assert abs(state.moment[node - 1, 1]) == pytest.approx(abs(moment), rel=0.03, abs=30.0)
