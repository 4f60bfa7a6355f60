"""Many wires at once: the same as one each."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.mechanics.catenary import solve_by_length, solve_many_by_length

WIRE = st.tuples(
    st.one_of(st.just(0.0), st.floats(0.01, 60)),
    st.floats(-40, 40),
    st.one_of(st.floats(-2e-3, 0.5), st.floats(0.5, 4.0)),
    st.floats(0.1, 60),
    st.floats(1e4, 1e8),
)


@settings(max_examples=60, deadline=None)
@given(wires=st.lists(WIRE, min_size=1, max_size=8))
def test_many_are_one_each(wires):
    span, rise, slack, weight, stiffness = np.array(wires).T
    length = np.maximum(np.hypot(span, rise) * (1 + slack), 0.01)
    found = solve_many_by_length(
        span=span, rise=rise, unstressed_length=length, weight=weight, stiffness=stiffness
    )
    for i in range(len(wires)):
        alone = solve_by_length(
            span=float(span[i]),
            rise=float(rise[i]),
            unstressed_length=float(length[i]),
            weight=float(weight[i]),
            stiffness=float(stiffness[i]),
        )
        size = alone.tension_lower + alone.tension_upper
        assert found.horizontal[i] == pytest.approx(alone.horizontal, abs=1e-7 * size)
        assert found.vertical_lower[i] == pytest.approx(alone.vertical_lower, abs=1e-7 * size)
        assert found.tension_lower[i] == pytest.approx(alone.tension_lower, abs=1e-7 * size)
        assert found.sag[i] == pytest.approx(alone.sag, abs=1e-6)


def test_no_wire_at_all():
    none = np.empty(0)
    found = solve_many_by_length(
        span=none, rise=none, unstressed_length=1.0, weight=1.0, stiffness=1e6
    )
    assert found.tension_lower.size == found.sag.size == 0


@pytest.mark.parametrize(
    ("name", "value"), [("span", -1.0), ("weight", 0.0), ("rise", math.nan), ("span", math.inf)]
)
def test_what_is_no_wire_is_refused(name, value):
    good = {"span": 3.0, "rise": 4.0, "unstressed_length": 5.0, "weight": 2.0, "stiffness": 1e6}
    wires = {key: np.array([number, number]) for key, number in good.items()}
    wires[name][1] = value
    with pytest.raises(ValueError, match="a wire needs"):
        solve_many_by_length(**wires)
