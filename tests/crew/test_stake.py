"""The stake-out against hand numbers and laws."""

import math

import numpy as np
import pytest

from visual.crew.stake import stake_out
from visual.crew.stake_text import stake_out_lines
from visual.raising import find_start


def start_of(model):
    limits = model.site.limits
    return find_start(
        model, trestle=limits.trestle.value, head_clearance=limits.head_clearance.value
    )


def staked(model):
    return {anchor.side: anchor for anchor in stake_out(model, start_of(model)).anchors}


# Anchors 4 m out on ground that rises 3 in 4 to the north: tapes of 3-4-5 triangles.
STEEP = {"anchors": {"radius": 4.0}}


def rising(x, y):
    return 100.0 + 0.75 * y


def test_three_four_five(make_model):
    anchors = staked(make_model(rising, STEEP))
    front, back, left = anchors["front"], anchors["back"], anchors["left"]
    assert front.horizontal == pytest.approx(4.0)
    assert front.rise == pytest.approx(3.0)
    assert front.straight == pytest.approx(5.0)
    assert front.along_ground == pytest.approx(5.0)
    assert front.vertical_angle == pytest.approx(math.atan(0.75))
    assert back.rise == pytest.approx(-3.0)
    assert left.straight == pytest.approx(4.0)
    assert front.eye_above_peg == pytest.approx(0.1)
    assert front.eye_above_hinge == pytest.approx(3.0 + 0.1 - 0.25)
    assert front.height == pytest.approx(103.0)
    assert (left.easting, left.northing) == pytest.approx((-4.0, 0.0))


def test_tapes_between_pegs_by_pythagoras(make_model):
    model = make_model(rising, STEEP)
    tapes = {(t.start, t.end): t for t in stake_out(model, start_of(model)).tapes}
    assert len(tapes) == 6
    assert tapes["front", "right"].straight == pytest.approx(math.sqrt(16 + 16 + 9))
    assert tapes["front", "right"].horizontal == pytest.approx(math.sqrt(32))
    assert tapes["front", "back"].straight == pytest.approx(10.0)
    assert tapes["front", "back"].opposite
    assert tapes["right", "left"].straight == pytest.approx(8.0)
    assert not tapes["left", "front"].opposite


def test_tape_on_the_ground_is_longer_over_a_ridge(make_model):
    # a ridge 2 m from the base, 1.5 m up and down again on a 2-1.5-2.5 triangle
    model = make_model(
        lambda x, y: 100.0 + np.maximum(0.0, 1.5 - 0.75 * abs(y - 2.0)), STEEP, spacing=2.0
    )
    front = staked(model)["front"]
    assert front.straight == pytest.approx(4.0)
    assert front.along_ground == pytest.approx(5.0)
    assert front.rise == pytest.approx(0.0, abs=1e-9)


def test_local_site_has_no_north_and_says_so(make_model):
    model = make_model()
    stake = stake_out(model, start_of(model))
    for anchor in stake.anchors:
        assert anchor.bearing_true is None
        assert anchor.bearing_magnetic is None
        assert anchor.longitude is None
    text = "\n".join(stake_out_lines(stake, units="metric"))
    assert "unknown" in text
    assert 'the site\'s crs is "local"' in text
    assert "no place on Earth" in text


def framingham(make_model, **changes):
    import datetime as dt

    site = {"crs": "EPSG:27700", "date": dt.date(2026, 6, 1)}
    mast = {"position": [626238.248, 302646.412], "front": 90.0}
    return make_model(lambda x, y: 30.0 + 0.0 * x, {"site": site, "mast": mast, **changes})


def test_published_convergence_is_between_true_and_grid(make_model):
    # Framingham, OS worked example: 52 34 26.8915 N 1 20 21.1080 E (read in public test code);
    # convergence 2 39 10.469 (from memory), grid north clockwise of true north
    model = framingham(make_model)
    stake = stake_out(model, start_of(model))
    longitude, latitude = stake.base_geographic
    # the published coordinates are OSGB36; WGS 84 is some hundred metres off
    assert latitude == pytest.approx(52 + 34 / 60 + 26.8915 / 3600, abs=0.002)
    assert longitude == pytest.approx(1 + 20 / 60 + 21.1080 / 3600, abs=0.003)
    convergence = math.radians(2 + 39 / 60 + 10.469 / 3600)
    for anchor in stake.anchors:
        difference = math.remainder(anchor.bearing_true - anchor.bearing_grid, math.tau)
        assert difference == pytest.approx(convergence, abs=math.radians(0.05 / 3600))
        east = math.remainder(anchor.bearing_true - anchor.bearing_magnetic, math.tau)
        assert east == pytest.approx(stake.declination[0])


def test_tape_agrees_with_the_ground_and_not_with_the_grid(make_model):
    # scale 1.0002296946 at Framingham (computed), height factor 1 + 30.25/6371000; over these
    # 40 m to the east the scale grows by 2e-7
    model = framingham(make_model, anchors={"radius": 40.0})
    front = staked(model)["front"]
    grid = math.hypot(front.easting - 626238.248, front.northing - 302646.412)
    assert front.horizontal == 40.0
    assert grid == pytest.approx(40.0 * 1.0002296946 / (1 + 30.25 / 6_371_000), abs=1e-5)


def test_bearing_error_moves_side_wires_by_the_closed_form(make_model):
    # D²(θ) − D²(90°) = 2 c (f cos θ + z (1 − sin θ)): on level ground one degree is f = r sin 1°
    model = make_model(changes={"mast": {"hinge_height": 0.1}})
    effect = staked(model)["left"].sensitivities[0]
    first = start_of(model).angle
    f, c, d = 8.0 * math.sin(math.radians(1.0)), 11.0, math.hypot(8.0, 11.0)
    largest = d - math.sqrt(d * d - 2 * c * f * math.cos(max(first, 0.0)))
    assert effect.error == "bearing"
    assert effect.side_wire == pytest.approx(largest, rel=1e-6)
    assert effect.wire_length == pytest.approx(0.0, abs=1e-9)


def test_distance_and_height_errors_move_the_length_by_their_share(make_model):
    effects = {e.error: e for e in staked(make_model())["front"].sensitivities}
    rise, straight = 11.15, math.hypot(8.0, 11.15)
    assert effects["distance"].wire_length == pytest.approx(0.1 * 8.0 / straight, rel=0.02)
    assert effects["eye height"].wire_length == pytest.approx(0.1 * rise / straight, rel=0.02)
    assert effects["distance"].side_wire is None


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_lines_fit_the_page(make_model, units):
    for model in (make_model(rising, STEEP), framingham(make_model)):
        lines = stake_out_lines(stake_out(model, start_of(model)), units=units)
        assert max(map(len, lines)) <= 100
