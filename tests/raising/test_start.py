import math

import numpy as np
import pytest

from visual.raising import find_start

TUBE_RADIUS = 0.1143 / 2
HEAD = {"mass": 60.0, "rotor_diameter": 2.4, "rotor_above_top": 0.5}


def start(model, *, trestle=0.5, head_clearance=0.3):
    return find_start(model, trestle=trestle, head_clearance=head_clearance)


def test_level_ground_the_trestle_sets_it(make_model):
    found = start(make_model())
    # The hinge is 0.25 m up, the axis at the top 0.5 m and a tube radius above the ground.
    rise = 0.5 + TUBE_RADIUS - 0.25
    assert found.limited_by == "trestle"
    assert found.angle == pytest.approx(math.asin(rise / 12.0), abs=1e-9)


@pytest.mark.parametrize("slope", [-0.3, -0.1, 0.05, 0.2])
def test_on_a_slope_the_start_turns_with_the_ground(make_model, slope):
    # Rising by `slope` to the north (the front), so falling away behind the mast.
    model = make_model(lambda x, y: 100.0 + slope * y, spacing=60.0)
    found = start(model, trestle=0.0)
    # The mast's axis then lies along a line through the hinge; at the top it is a radius above
    # the ground, measured upright: 12 sin θ + slope·12 cos θ + 0.25 = radius.
    left = 12.0 * math.sin(found.by_part["trestle"]) + slope * 12.0 * math.cos(
        found.by_part["trestle"]
    )
    assert left + 0.25 == pytest.approx(TUBE_RADIUS, abs=1e-9)


def test_a_falling_slope_behind_lets_it_lie_below_level(make_model):
    assert start(make_model(lambda x, y: 100.0 + 0.2 * y)).angle < 0.0


def test_a_rotor_free_to_turn_is_a_ball(make_model):
    found = start(make_model(changes={"mast": {"head": HEAD}}))
    # Level ground: the ball's centre, 12.5 m out, is a radius and the clearance up.
    rise = 1.2 + 0.3 - 0.25
    assert found.limited_by == "rotor"
    assert found.angle == pytest.approx(math.asin(rise / 12.5), abs=1e-6)
    assert found.without_head == pytest.approx(start(make_model()).angle)


def test_a_head_without_rotor_is_a_small_ball(make_model):
    head = {"mass": 30.0, "centre_above_top": 3.0}
    found = start(make_model(changes={"mast": {"head": head}}), trestle=0.0)
    # Level ground: its centre of mass, 15 m out, is 0.3 m and the clearance up.
    assert found.limited_by == "head"
    assert found.angle == pytest.approx(math.asin((0.3 + 0.3 - 0.25) / 15.0), abs=1e-6)


def test_a_bank_behind_holds_the_mast_up(make_model):
    def bank(x, y):
        return 100.0 + np.where(y <= -6.0, 2.0, 0.0)

    found = start(make_model(bank, spacing=1.0, reach=20.0))
    assert found.limited_by == "ground"
    # The brow is 6 m behind and 1.75 m above the hinge; the axis passes it a radius higher.
    assert math.tan(found.angle) == pytest.approx((1.75 + TUBE_RADIUS) / 6.0, rel=0.01)


def test_unknown_ground_behind_is_unknown_not_zero(make_model):
    found = start(make_model(reach=9.0, spacing=3.0))
    assert math.isnan(found.angle)


def test_more_trestle_never_lowers_the_start(make_model):
    model = make_model(lambda x, y: 100.0 + 0.08 * y - 0.05 * x)
    angles = [start(model, trestle=height).angle for height in (0.0, 0.3, 0.6, 1.2)]
    assert angles == sorted(angles)
