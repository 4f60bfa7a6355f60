"""Many cases at once: the same as one solve each."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.mechanics.beam import (
    Beam,
    Member,
    UnstableError,
    buckling_factor,
    direction,
    solve,
)
from visual.mechanics.beam_cases import buckling_factors, solve_cases

EA, EI, ELEMENTS = 3e8, 4.9e5, 5
BEAM = Beam(
    np.linspace(0.0, 15.0, ELEMENTS + 1), np.full(ELEMENTS, EA), np.full(ELEMENTS, EI), joints=1
)


def members(turn):
    """A strut and two wires to a joint, held along a direction that differs from case to case."""
    tip = BEAM.joint(0)
    pole = Member(direction(BEAM, tip, np.array([0.0, 1.0])), 1e8, False)
    unit = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    wires = []
    for node in (3, ELEMENTS):
        step = np.array([-BEAM.places[node], 6.0])
        step /= np.hypot(*step)
        stretch = direction(BEAM, tip, step) + direction(BEAM, 3 * node, -step)
        wires.append(Member(stretch, 3e5))
    return [*wires, pole, Member(direction(BEAM, tip, -unit), 1e8, False)]


def one_of(held, case):
    return [Member(np.atleast_2d(m.stretch)[-1 if m.stretch.ndim == 1 else case], m.stiffness,
                   m.pulls_only) for m in held]  # fmt: skip


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), second=st.booleans())
def test_cases_are_one_solve_each(seed, second):
    rng = np.random.default_rng(seed)
    count = 6
    held = members(rng.uniform(-0.6, 0.6, count))
    point = rng.normal(0, 500, (count, BEAM.size))
    spread = rng.normal(-60, 60, (count, ELEMENTS, 2))
    thrust = rng.uniform(0, 8e3, (count, ELEMENTS)) if second else None
    found = solve_cases(BEAM, held, point_loads=point, spread_loads=spread, thrust=thrust)
    for i in range(count):
        loads = {"point_loads": point[i], "spread_loads": spread[i]}
        if second:
            loads["thrust"] = thrust[i]
        if not (found.holds[i] and found.settled[i]):
            with pytest.raises(UnstableError, match=r"nothing holds|could not be found"):
                solve(BEAM, one_of(held, i), **loads)
            continue
        alone = solve(BEAM, one_of(held, i), **loads)
        for name in ("displacement", "forces", "axial", "shear", "moment"):
            one, many = getattr(alone, name), getattr(found, name)[i]
            np.testing.assert_allclose(many, one, rtol=1e-7, atol=1e-7 * np.abs(one).max())


def test_a_case_that_nothing_holds_spoils_no_other():
    held = members(np.array([0.1, np.pi / 2, 0.2]))
    point = np.zeros((3, BEAM.size))
    point[:, 3 * ELEMENTS + 1] = [-1e3, 1e3, -1e3]
    none = np.zeros((3, ELEMENTS, 2))
    thrust = np.array([np.zeros(ELEMENTS), np.full(ELEMENTS, 1e9), np.zeros(ELEMENTS)])
    found = solve_cases(BEAM, held, point_loads=point, spread_loads=none, thrust=thrust)
    assert found.holds.tolist() == [True, False, True]
    assert np.isnan(found.displacement[1]).all()
    assert np.isfinite(found.displacement[[0, 2]]).all()


def test_buckling_of_cases():
    held = members(np.array([0.1, 0.2, 0.3]))
    thrust = np.array([np.full(ELEMENTS, 1e3), np.zeros(ELEMENTS), np.full(ELEMENTS, 2e3)])
    pulling = np.array([[True] * 4, [True] * 4, [False, True, True, True]])
    found = buckling_factors(BEAM, held, pulling, thrust=thrust)
    assert found[1] == np.inf
    for i in (0, 2):
        kept = [m for m, pulls in zip(one_of(held, i), pulling[i], strict=True) if pulls]
        assert found[i] == pytest.approx(buckling_factor(BEAM, kept, thrust=thrust[i]), rel=1e-9)


def test_buckling_of_a_pinned_column():
    """Euler: π² E I/L² for a column pinned at both ends."""
    top = Member(direction(BEAM, 3 * ELEMENTS, np.array([0.0, -1.0])), 1e12, False)
    joint = Member(direction(BEAM, BEAM.joint(0), np.array([1.0, 0.0])), 1e3, False)
    other = Member(direction(BEAM, BEAM.joint(0), np.array([0.0, 1.0])), 1e3, False)
    pulling = np.ones((1, 3), dtype=bool)
    found = buckling_factors(BEAM, [top, joint, other], pulling, thrust=np.ones((1, ELEMENTS)))
    assert found[0] == pytest.approx(np.pi**2 * EI / 15.0**2, rel=1e-3)
