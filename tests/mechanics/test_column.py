import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from visual.mechanics.column import (
    Strut,
    amplification,
    bow_moment,
    edge_stress,
    uniform_load_moment,
)

STRUT = Strut(length=7.0, flexural=2.0e5)


def test_euler_load():
    assert STRUT.euler_load == pytest.approx(math.pi**2 * 2.0e5 / 49)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_moment_solves_the_equation_of_the_bent_strut(share):
    """EI y'' = −(P y + w x (L − x)/2), integrated numerically: a second way to the same number."""
    load, thrust, ei = 60.0, share * STRUT.euler_load, STRUT.flexural

    def bent(x, y):
        return np.vstack([y[1], -(thrust * y[0] + load * x * (7.0 - x) / 2) / ei])

    x = np.linspace(0.0, 7.0, 41)
    solved = solve_bvp(bent, lambda a, b: np.array([a[0], b[0]]), x, np.zeros((2, 41)), tol=1e-8)
    deflection = float(solved.sol(3.5)[0])
    expected = load * 49 / 8 + thrust * deflection
    assert uniform_load_moment(STRUT, load=load, thrust=thrust) == pytest.approx(expected, rel=1e-6)


def test_without_thrust_it_is_a_plain_beam():
    assert uniform_load_moment(STRUT, load=60.0, thrust=0.0) == pytest.approx(60 * 49 / 8)


def test_series_and_formula_meet():
    thrust = (2e-3 / 7.0) ** 2 * STRUT.flexural  # u = 1e-3
    below = uniform_load_moment(STRUT, load=1.0, thrust=thrust * 0.999)
    above = uniform_load_moment(STRUT, load=1.0, thrust=thrust * 1.001)
    assert 0 < (above - below) / above < 1e-8


@given(share=st.floats(1.0, 5.0))
def test_beyond_eulers_load_nothing_holds(share):
    thrust = share * STRUT.euler_load
    assert uniform_load_moment(STRUT, load=1.0, thrust=thrust) == math.inf
    assert bow_moment(STRUT, thrust=thrust) == math.inf


def test_a_bow_grows_as_the_thrust_nears_eulers_load():
    half = STRUT.euler_load / 2
    assert amplification(half, critical=STRUT.euler_load) == pytest.approx(2.0)
    assert bow_moment(STRUT, thrust=half, bow=0.002) == pytest.approx(half * 0.014 * 2)
    assert bow_moment(STRUT, thrust=-10.0) == 0.0


def test_edge_stress_adds_thrust_and_bending():
    assert edge_stress(thrust=-100.0, moment=-6.0, area=2.0, modulus=3.0) == pytest.approx(52.0)
