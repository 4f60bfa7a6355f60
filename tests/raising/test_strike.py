import math

import numpy as np
import pytest

from visual.raising import find_gin_strike

ANGLES = np.radians(np.arange(0.0, 90.25, 0.25))
POLE_RADIUS = 0.0889 / 2


def test_on_level_ground_the_pole_ends_at_hinge_height(make_model):
    strike = find_gin_strike(make_model(), ANGLES)
    assert strike.strikes_at is None
    assert strike.least_room == pytest.approx(0.25 - POLE_RADIUS)
    assert strike.at_angle == pytest.approx(math.pi / 2)


def test_a_rising_slope_in_front_stops_the_raise_before_upright(make_model):
    strike = find_gin_strike(make_model(lambda x, y: 100.0 + 0.15 * y, spacing=60.0), ANGLES)
    # The tip's underside meets the slope where 5 cos θ + 0.25 − radius = 0.15 · 5 sin θ.
    angle = next(
        a
        for a in np.radians(np.arange(0.0, 91.0, 0.001))
        if 5 * math.cos(a) + 0.25 - POLE_RADIUS - 0.75 * math.sin(a) <= 0
    )
    assert strike.strikes_at == pytest.approx(angle, abs=math.radians(0.26))
    assert strike.least_room == pytest.approx(0.25 - POLE_RADIUS - 0.75)


def test_a_smaller_angle_to_the_mast_keeps_the_pole_off(make_model):
    steep = lambda x, y: 100.0 + 0.15 * y  # noqa: E731
    model = make_model(steep, {"gin_pole": {"angle": 75.0}}, spacing=60.0)
    assert find_gin_strike(model, ANGLES).strikes_at is None


def test_unknown_ground_in_front_is_unknown(make_model):
    strike = find_gin_strike(make_model(reach=4.0, spacing=2.0), ANGLES)
    assert math.isnan(strike.least_room)
