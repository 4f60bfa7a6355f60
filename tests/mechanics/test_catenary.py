"""Hanging wires: laws that need no table."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from visual.mechanics.catenary import (
    Catenary,
    conductor_points_for_error,
    conductor_shape,
    slack_shape,
    solve_by_length,
    solve_by_tension,
)

SPANS = st.floats(0.01, 60)
RISES = st.floats(-40, 40)
WEIGHTS = st.floats(0.1, 60)
STIFFNESSES = st.floats(1e4, 1e8)
SLACKS = st.floats(-2e-3, 0.5)  # length over chord, less one


def hang(span: float, rise: float, slack: float, weight: float, stiffness: float) -> Catenary:
    return solve_by_length(
        span=span,
        rise=rise,
        unstressed_length=math.hypot(span, rise) * (1 + slack),
        weight=weight,
        stiffness=stiffness,
    )


any_wire = given(span=SPANS, rise=RISES, slack=SLACKS, weight=WEIGHTS, stiffness=STIFFNESSES)


@any_wire
def test_the_wire_ends_where_it_should(
    span: float, rise: float, slack: float, weight: float, stiffness: float
) -> None:
    """Irvine's two equations as printed, not in the form the program uses."""
    wire = hang(span, rise, slack, weight, stiffness)
    length, h, v = wire.unstressed_length, wire.horizontal, wire.vertical_lower
    assume(h > 1e-3)  # the printed form loses its digits for a plumb loop
    top = v + weight * length
    x = h * length / stiffness + h / weight * (math.asinh(top / h) - math.asinh(v / h))
    z = (v * length + weight * length**2 / 2) / stiffness
    z += h / weight * (math.sqrt(1 + (top / h) ** 2) - math.sqrt(1 + (v / h) ** 2))
    # the printed form subtracts numbers of the size tension/weight
    rounding = 1e-13 * (1 + wire.tension_upper + wire.tension_lower) / weight
    assert x == pytest.approx(span, abs=1e-8 + rounding)
    assert z == pytest.approx(rise, abs=1e-8 + rounding)
    assert wire.vertical_upper - wire.vertical_lower == pytest.approx(weight * length)


@any_wire
def test_swapping_the_ends_swaps_the_tensions(
    span: float, rise: float, slack: float, weight: float, stiffness: float
) -> None:
    wire = hang(span, rise, slack, weight, stiffness)
    mirror = hang(span, -rise, slack, weight, stiffness)
    assert mirror.tension_lower == pytest.approx(wire.tension_upper, rel=1e-6)
    assert mirror.horizontal == pytest.approx(wire.horizontal, rel=1e-6)
    assert mirror.stretched_length == pytest.approx(wire.stretched_length, rel=1e-9)


@settings(max_examples=40)
@any_wire
def test_tension_and_length_are_each_others_answer(
    span: float, rise: float, slack: float, weight: float, stiffness: float
) -> None:
    wire = hang(span, rise, min(slack, 0.0), weight, stiffness)
    assume(wire.tension_lower > weight * math.hypot(span, rise))  # surely on the taut side
    again = solve_by_tension(
        span=span,
        rise=rise,
        tension_lower=wire.tension_lower,
        weight=weight,
        stiffness=stiffness,
    )
    assert again.unstressed_length == pytest.approx(wire.unstressed_length, rel=1e-9)


@any_wire
def test_points_lie_between_the_eyes_and_below_the_chord(
    span: float, rise: float, slack: float, weight: float, stiffness: float
) -> None:
    wire = hang(span, rise, slack, weight, stiffness)
    points = wire.points(33)
    assert points.shape == (33, 2)
    assert points[0].tolist() == [0, 0]
    assert points[-1] == pytest.approx((span, rise), abs=1e-8)
    depth = rise / span * points[:, 0] - points[:, 1]
    scale = 1e-9 * (1 + abs(rise / span))
    assert depth.min() > -1e-6 * scale - 1e-8 * (1 + abs(rise / span))
    assert depth.max() <= wire.sag + scale
    pieces = np.linalg.norm(np.diff(points, axis=0), axis=1).sum()
    assert pieces <= wire.stretched_length + 1e-8


def test_shape_obeys_the_differential_equations() -> None:
    """A second way: integrate dx/ds, dz/ds and the stretch numerically from the lower end."""
    wire = hang(18, 12, 0.017, 1.6, 2e5)

    def slopes(s: float, _: np.ndarray) -> list[float]:
        vertical = wire.vertical_lower + wire.weight * s
        tension = math.hypot(wire.horizontal, vertical)
        stretch = 1 + tension / wire.stiffness
        return [wire.horizontal / tension * stretch, vertical / tension * stretch, stretch]

    length = wire.unstressed_length
    places = np.linspace(0, length, 9)
    path = solve_ivp(slopes, (0, length), [0, 0, 0], rtol=1e-11, atol=1e-12, t_eval=places)
    assert wire.points(9) == pytest.approx(path.y[:2].T, abs=1e-8)
    assert wire.stretched_length == pytest.approx(path.y[2, -1], abs=1e-8)


def test_sag_of_a_taut_level_wire_is_that_of_the_parabola() -> None:
    wire = solve_by_tension(span=30, rise=0, tension_lower=3000, weight=1.8, stiffness=4e12)
    assert wire.sag == pytest.approx(1.8 * 30**2 / (8 * 3000), rel=1e-4)


def test_taut_wire_is_a_straight_spring() -> None:
    """Weight small against tension: T = EA (chord/L0 − 1)."""
    wire = solve_by_tension(span=12, rise=16, tension_lower=5000, weight=1e-3, stiffness=2e6)
    assert wire.unstressed_length == pytest.approx(20 / (1 + 5000 / 2e6), rel=1e-8)
    assert wire.stretched_length == pytest.approx(20, rel=1e-9)


@pytest.mark.parametrize("rise", [30.0, -30.0])
@pytest.mark.parametrize("length", [29.99, 30.0, 30.02, 34.0])
def test_a_plumb_span_is_the_limit_of_a_narrow_one(rise: float, length: float) -> None:
    plumb, narrow = (
        solve_by_length(span=x, rise=rise, unstressed_length=length, weight=1.8, stiffness=4e6)
        for x in (0.0, 1e-9)
    )
    assert plumb.horizontal == 0
    assert narrow.tension_lower == pytest.approx(plumb.tension_lower, rel=1e-5, abs=1e-6)
    assert narrow.tension_upper == pytest.approx(plumb.tension_upper, rel=1e-5, abs=1e-6)
    assert narrow.stretched_length == pytest.approx(plumb.stretched_length, rel=1e-9)
    assert plumb.points(5)[-1] == pytest.approx((0, rise), abs=1e-9)


def test_depth_of_a_plumb_loop() -> None:
    loop = solve_by_length(span=0, rise=30, unstressed_length=34, weight=1.8, stiffness=1e12)
    assert loop.sag == pytest.approx(2, abs=1e-6)  # 34 m = 2 m down and 32 m up
    taut = solve_by_length(span=0, rise=30, unstressed_length=29.9, weight=1.8, stiffness=1e6)
    assert taut.sag == 0


def test_a_tension_below_the_own_weight_is_refused() -> None:
    # a level wire of 30 m pulls at least 0.7544 w X, at a sag of a third of the span
    low, high = 0.75 * 1.8 * 30, 0.76 * 1.8 * 30
    with pytest.raises(ValueError, match=r"a tension of 40\.5 N .*; give a higher tension"):
        solve_by_tension(span=30, rise=0, tension_lower=low, weight=1.8, stiffness=1e12)
    wire = solve_by_tension(span=30, rise=0, tension_lower=high, weight=1.8, stiffness=1e12)
    assert wire.tension_lower == pytest.approx(high, rel=1e-9)
    assert wire.sag < 30 / 3


@pytest.mark.parametrize(
    "change",
    [{"span": -1.0}, {"unstressed_length": 0.0}, {"weight": 0.0}, {"stiffness": math.nan}],
)
def test_impossible_wires_are_refused(change: dict[str, float]) -> None:
    wire = {"span": 3.0, "rise": 4.0, "unstressed_length": 5.0, "weight": 1.0, "stiffness": 1e6}
    with pytest.raises(ValueError, match="a wire needs a span of 0 or more"):
        solve_by_length(**(wire | change))


points_3d = st.tuples(st.floats(-200, 200), st.floats(-200, 200), st.floats(-30, 30))


@given(start=points_3d, end=points_3d, share=st.floats(1e-4, 0.4), n=st.integers(2, 12))
def test_conductor_hangs_by_its_sag(
    start: tuple[float, ...], end: tuple[float, ...], share: float, n: int
) -> None:
    a, b = np.array(start), np.array(end)
    span = math.hypot(*(b - a)[:2])
    assume(span > 1)
    sag = share * span
    shape = conductor_shape(a, b, sag, 2 * n + 1)
    assert shape[0].tolist() == a.tolist()
    assert shape[-1].tolist() == b.tolist()
    assert (a + b)[2] / 2 - shape[n, 2] == pytest.approx(sag, rel=1e-9)
    along = (shape - a)[:, :2] @ (b - a)[:2] / span
    assert along == pytest.approx(np.linspace(0, span, 2 * n + 1), abs=1e-9)
    swapped = conductor_shape(b, a, sag, 2 * n + 1)
    assert swapped[::-1] == pytest.approx(shape, abs=1e-7)


@settings(max_examples=30)
@given(
    span=st.floats(5, 400),
    rise=st.floats(-60, 60),
    share=st.floats(1e-3, 0.3),
    error=st.sampled_from([0.2e-3, 5e-3, 0.1]),
)
def test_conductor_pieces_keep_within_the_error(
    span: float, rise: float, share: float, error: float
) -> None:
    start, end, sag = np.zeros(3), np.array([span, 0, rise]), share * span
    n = conductor_points_for_error(sag, error)
    pieces = conductor_shape(start, end, sag, n)
    fine = conductor_shape(start, end, sag, 8 * (n - 1) + 1)
    piece = np.repeat(np.arange(n - 1), 8)
    along = np.diff(pieces, axis=0)[piece]
    away = fine[:-1] - pieces[piece]
    height = np.abs(along[:, 0] * away[:, 2] - along[:, 2] * away[:, 0])
    distance = height / np.linalg.norm(along, axis=1)
    assert distance.max() <= error * (1 + 1e-6) + 1e-9


def test_straight_conductors() -> None:
    start, end = np.array([0.0, 0, 8]), np.array([30.0, 40, 10])
    assert conductor_points_for_error(0.0, 1e-3) == 2
    assert conductor_shape(start, end, 0.0, 3)[1].tolist() == [15, 20, 9]
    plumb = conductor_shape(start, np.array([0.0, 0, 10]), 1.0, 3)
    assert plumb[1].tolist() == [0, 0, 9]


@pytest.mark.parametrize("sag", [-0.1, math.nan, math.inf])
def test_impossible_sags_are_refused(sag: float) -> None:
    with pytest.raises(ValueError, match=r"cannot be drawn; give 0 or more"):
        conductor_shape(np.zeros(3), np.array([30.0, 0, 0]), sag, 5)


@given(start=points_3d, end=points_3d, slack=st.floats(1e-6, 3))
def test_slack_wire_has_its_length(
    start: tuple[float, ...], end: tuple[float, ...], slack: float
) -> None:
    a, b = np.array(start), np.array(end)
    chord = float(np.linalg.norm(b - a))
    assume(math.hypot(*(b - a)[:2]) > 1e-3)
    length = chord * (1 + slack)
    shape = slack_shape(a, b, length, 801)
    assert shape[0].tolist() == a.tolist()
    assert shape[-1].tolist() == b.tolist()
    pieces = np.linalg.norm(np.diff(shape, axis=0), axis=1)
    assert pieces.sum() == pytest.approx(length, rel=5e-3)
    assert pieces.sum() <= length * (1 + 1e-9)
    line = a[2] + np.linalg.norm((shape - a)[:, :2], axis=1) * (b - a)[2] / math.hypot(*(b - a)[:2])
    assert (shape[:, 2] <= line + 1e-6 * (1 + np.abs(line))).all()


def test_slack_wire_is_the_elastic_one_without_stretch() -> None:
    wire = solve_by_length(span=12, rise=9, unstressed_length=16, weight=2, stiffness=1e14)
    shape = slack_shape(np.zeros(3), np.array([0.0, 12, 9]), 16.0, 21)
    assert shape[:, 1:] == pytest.approx(wire.points(21), abs=1e-7)


def test_a_wire_too_short_is_drawn_straight() -> None:
    shape = slack_shape(np.zeros(3), np.array([3.0, 0, 4]), 4.9, 3)
    assert shape.tolist() == [[0, 0, 0], [1.5, 0, 2], [3, 0, 4]]


def test_a_plumb_loop() -> None:
    shape = slack_shape(np.zeros(3), np.array([0.0, 0, 4]), 10.0, 11)
    assert shape[:, 2].tolist() == [0, -1, -2, -3, -2, -1, 0, 1, 2, 3, 4]
