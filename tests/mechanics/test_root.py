"""The root finder: known roots, hard functions, and how few looks it needs."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.mechanics.root import root_between


@given(root=st.floats(-50, 50), steep=st.floats(1e-3, 1e3), power=st.sampled_from([1, 3, 5]))
def test_finds_a_known_root(root, steep, power):
    def function(x):
        return steep * math.copysign(abs(x - root) ** power, x - root)

    found = root_between(function, -60.0, 70.0, tolerance=1e-12)
    assert found == pytest.approx(root, abs=1e-11)


@given(root=st.floats(-50, 50), up=st.booleans())
def test_not_below_stays_on_the_safe_side(root, up):
    def function(x):
        return (x - root) * (1 if up else -1)

    found = root_between(function, -60.0, 70.0, tolerance=1e-12, not_below=True)
    assert function(found) >= 0
    assert found == pytest.approx(root, abs=1e-11)


@given(jump=st.floats(0.1, 0.9))
def test_finds_a_jump(jump):
    found = root_between(lambda x: 1.0 if x > jump else -1.0, 0.0, 1.0, tolerance=1e-13)
    assert found == pytest.approx(jump, abs=1e-12)


def test_needs_few_looks():
    looks = []

    def function(x):
        looks.append(x)
        return math.exp(x) - 2

    assert root_between(function, 5.0, -5.0, tolerance=0.0) == pytest.approx(math.log(2), rel=1e-15)
    assert len(looks) < 25


def test_an_end_may_be_the_root():
    assert root_between(lambda x: x, 0.0, 3.0, tolerance=1e-9) == 0.0
    assert root_between(lambda x: x - 3, 0.0, 3.0, tolerance=1e-9) == 3.0


@pytest.mark.parametrize("value", [1.0, math.nan])
def test_refuses_what_is_no_bracket(value):
    with pytest.raises(ValueError, match="no change of sign"):
        root_between(lambda _: value, 0.0, 1.0, tolerance=1e-9)
