import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from visual.checks import find_fall_zone

# The lowest hinge a site file allows nearly puts the hinge on the ground, as the formulas have it.
LOW = {"mast": {"hinge_height": 1e-6}}


def test_on_level_ground_both_zones_are_the_circle(make_model):
    zone = find_fall_zone(make_model(changes=LOW))
    assert zone.total_height == pytest.approx(12.0, abs=1e-5)
    assert zone.complete
    np.testing.assert_allclose(zone.reach, 12.0, atol=1e-5)
    assert zone.circle_area == pytest.approx(math.pi * 144.0, rel=1e-5)
    # A 360-gon is 0.005 % smaller than its circle.
    assert zone.contact_area == pytest.approx(zone.circle_area, rel=1e-4)


@given(slope=st.floats(0.0, 0.6), downhill=st.floats(0.0, 2 * math.pi))
@settings(max_examples=10)
def test_on_a_plane_the_contact_zone_is_an_ellipse(make_model, slope, downhill):
    """In plan: semi-axis H along the contour, H·cos(slope angle) up and down the fall line."""
    east, north = math.sin(downhill), math.cos(downhill)
    model = make_model(lambda x, y: 100.0 - slope * (east * x + north * y), LOW, spacing=60.0)
    zone = find_fall_zone(model)
    squeeze = math.cos(math.atan(slope))
    off = zone.bearings - downhill
    expected = 12.0 / np.sqrt((np.cos(off) / squeeze) ** 2 + np.sin(off) ** 2)
    np.testing.assert_allclose(zone.reach, expected, atol=1e-4)


def test_every_place_in_the_contact_zone_is_within_the_total_height(make_model):
    def rough(x, y):
        return 100.0 + np.sin(x / 3.0) + 0.1 * y

    model = make_model(rough, spacing=1.0, reach=20.0)
    zone = find_fall_zone(model)
    rng = np.random.default_rng(7)
    for x, y in rng.uniform(-14.0, 14.0, size=(300, 2)):
        away = math.sqrt(x**2 + y**2 + float(model.ground.height(x, y)) ** 2)
        if abs(away - zone.total_height) > 0.05:
            assert zone.contact.contains(Point(x, y)) == (away < zone.total_height)


def test_unknown_ground_is_drawn_at_the_total_height_and_said(make_model):
    zone = find_fall_zone(make_model(reach=10.0, spacing=5.0))
    assert not zone.complete
    assert zone.reach.max() == zone.total_height


def test_a_rule_can_ask_for_a_wider_circle(make_model):
    zone = find_fall_zone(make_model(changes={"limits": {"fall_zone_times": 1.1}}))
    assert zone.circle_radius == pytest.approx(1.1 * zone.total_height)
