import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.raising import analyse_raise
from visual.raising.wires import change_over, stay_change, wire_change

ANGLES = np.radians(np.arange(0.0, 90.5, 0.5))


def eye_at(forward, right, height):
    """Return the site-file entries that put the right anchor's eye there, front to the north."""
    return {"anchors": {"right": {"position": [right, forward], "height": 100.25 + height}}}


def closed_form(*, collar, forward, right, height, angle):
    """D(θ) − D(90°) from the law of cosines, written independently of vectors."""
    square = forward**2 + right**2 + height**2 + collar**2
    along = -math.cos(angle) * forward + math.sin(angle) * height
    return math.sqrt(square - 2 * collar * along) - math.sqrt(square - 2 * collar * height)


@given(forward=st.floats(-2.0, 2.0), right=st.floats(4.0, 12.0), height=st.floats(-3.0, 3.0))
def test_change_against_the_closed_form(make_model, forward, right, height):
    model = make_model(changes=eye_at(forward, right, height), spacing=60.0)
    change = wire_change(model, "right", 0, ANGLES).change
    expected = [
        closed_form(collar=11.0, forward=forward, right=right, height=height, angle=float(a))
        for a in ANGLES
    ]
    np.testing.assert_allclose(change, expected, atol=1e-11)


@given(right=st.floats(4.0, 12.0))
def test_an_eye_on_the_hinge_axis_never_changes(make_model, right):
    model = make_model(changes=eye_at(0.0, right, 0.0), spacing=60.0)
    np.testing.assert_allclose(wire_change(model, "right", 0, ANGLES).change, 0.0, atol=1e-12)


def test_an_anchor_above_the_hinge_line_goes_tight_on_the_way(make_model):
    wire = wire_change(make_model(changes=eye_at(0.0, 8.0, 1.0)), "right", 0, ANGLES)
    # Lying level the collar is farther from the raised eye than upright, by this much:
    expected = math.sqrt(11**2 + 8**2 + 1) - math.sqrt(10**2 + 8**2)
    assert wire.tightest == (pytest.approx(0.0), pytest.approx(expected))
    assert expected > 0.8


def test_an_anchor_below_the_hinge_line_goes_slack(make_model):
    wire = wire_change(make_model(changes=eye_at(0.0, 8.0, -1.0)), "right", 0, ANGLES)
    assert wire.tightest[1] == pytest.approx(0.0, abs=1e-12)
    assert wire.slackest[1] < -0.5


def test_an_anchor_forward_of_the_hinge_line_is_tight_while_the_mast_lies(make_model):
    assert wire_change(make_model(changes=eye_at(0.5, 8.0, 0.0)), "right", 0, ANGLES).change[0] > 0


def test_change_over_by_pythagoras(make_model):
    over = change_over(make_model(), 0)
    # Collar 11 m up; tip 5 m out at hinge height; eye 8 m out, 0.15 m below the hinge.
    assert over.at_tip == pytest.approx(math.hypot(11.0, 5.0))
    assert over.at_anchor == pytest.approx(math.hypot(11.15, 8.0))
    assert over.difference == pytest.approx(over.at_anchor - over.at_tip)


def test_a_stay_to_the_hinge_axis_fits_all_the_way(make_model):
    model = make_model(changes=eye_at(0.0, 8.0, 0.0))
    np.testing.assert_allclose(stay_change(model, "right", ANGLES).change, 0.0, atol=1e-12)


def test_mirrored_ground_swaps_left_and_right(make_model):
    def ground(x, y):
        return 100.0 + 0.12 * x + 0.05 * y

    def mirrored(x, y):
        return ground(-x, y)

    one = analyse_raise(make_model(ground, spacing=60.0))
    other = analyse_raise(make_model(mirrored, spacing=60.0))
    left, right = one.side_wires
    left_mirrored, right_mirrored = other.side_wires
    np.testing.assert_allclose(left.change, right_mirrored.change, atol=1e-9)
    np.testing.assert_allclose(right.change, left_mirrored.change, atol=1e-9)
    assert one.start.angle == pytest.approx(other.start.angle, abs=1e-9)


def raise_turned(make_model, turn):
    """Return the raise on one slope, mast and slope turned together about the base."""
    angle = math.radians(turn) + 0.7
    east, north = math.sin(angle), math.cos(angle)
    ground = lambda x, y: 100.0 - 0.1 * (east * x + north * y)  # noqa: E731
    return analyse_raise(make_model(ground, {"mast": {"front": turn}}, spacing=60.0, reach=120.0))


@given(turn=st.floats(0.1, 359.0))
@settings(max_examples=15)
def test_turning_the_whole_site_changes_nothing(make_model, turn):
    one, other = raise_turned(make_model, 0.0), raise_turned(make_model, turn)
    assert other.start.angle == pytest.approx(one.start.angle, abs=1e-7)
    assert other.tow.travel[-1] == pytest.approx(one.tow.travel[-1], abs=1e-7)
    for before, after in zip(one.side_wires, other.side_wires, strict=True):
        assert after.tightest[1] == pytest.approx(before.tightest[1], abs=1e-9)
        assert after.slackest[1] == pytest.approx(before.slackest[1], abs=1e-9)
