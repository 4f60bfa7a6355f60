import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.raising import find_line_ground, tow_path
from visual.raising.motion import gin_tip

ANGLES = np.radians([0.0, 20.0, 45.0, 70.0, 90.0])


def test_level_ground_by_pythagoras(make_model):
    path = tow_path(make_model(), ANGLES)
    tip_out, tip_up = 5.0 * np.sin(ANGLES), 5.0 * np.cos(ANGLES)
    # The hinge is 0.25 m and the hitch 0.5 m above the ground.
    drop = tip_up - 0.25
    np.testing.assert_allclose(path.distance, tip_out + np.sqrt(20.0**2 - drop**2), atol=1e-9)
    np.testing.assert_allclose(path.travel, path.distance - path.distance[0], atol=1e-9)


@given(slope=st.floats(-0.25, 0.25), bearing=st.floats(0.0, 359.0))
def test_the_line_keeps_its_length_on_any_slope(make_model, slope, bearing):
    model = make_model(lambda x, y: 100.0 + slope * y, {"mast": {"front": bearing}}, spacing=60.0)
    path = tow_path(model, ANGLES)
    lengths = np.linalg.norm(path.tips - path.ends, axis=1)
    np.testing.assert_allclose(lengths, 20.0, atol=1e-9)
    hitch = path.ends
    ground = model.ground.height(hitch[:, 0], hitch[:, 1])
    np.testing.assert_allclose(hitch[:, 2] - ground, 0.5, atol=1e-9)


def test_through_a_block_both_pieces_add_up(make_model):
    model = make_model(changes={"tow": {"through_front_anchor": True}})
    path = tow_path(model, ANGLES)
    block = model.anchors["front"].eye
    pieces = np.linalg.norm(path.tips - block, axis=1) + np.linalg.norm(path.ends - block, axis=1)
    np.testing.assert_allclose(pieces, 20.0, atol=1e-9)
    assert path.line_at(0).shape == (3, 3)


def test_a_winch_takes_in_what_the_tip_gives(make_model):
    model = make_model(changes={"tow": {"by": "winch"}})
    path = tow_path(model, ANGLES)
    eye = model.anchors["front"].eye
    taken = np.linalg.norm(gin_tip(model, 0.0) - eye) - np.linalg.norm(
        gin_tip(model, math.pi / 2) - eye
    )
    assert path.travel[-1] == pytest.approx(taken)


def test_on_unknown_ground_the_vehicle_has_no_place(make_model):
    path = tow_path(make_model(reach=15.0, spacing=5.0), ANGLES)
    assert np.isnan(path.distance).all()
    assert np.isnan(path.travel).all()


def test_travel_is_driven_on_the_slope(make_model):
    path = tow_path(make_model(lambda x, y: 100.0 - 0.2 * y, spacing=60.0), ANGLES)
    moved = path.distance[-1] - path.distance[0]
    assert path.travel[-1] == pytest.approx(moved * math.hypot(1.0, 0.2))


def test_a_hump_lifts_the_line(make_model):
    def hump(x, y):
        return 100.0 + 1.2 * np.exp(-(((y - 12.0) / 1.5) ** 2))

    angles = np.radians(np.arange(0.0, 90.5, 5.0))
    model = make_model(hump, spacing=0.5, reach=30.0)
    assert find_line_ground(model, tow_path(model, angles)).least_room < 0.0
    level = make_model()
    assert find_line_ground(level, tow_path(level, angles)).least_room > 0.0
