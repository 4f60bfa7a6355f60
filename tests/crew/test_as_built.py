"""As built: whole surveys, mirror images, heights from the ground, satellite receivers."""

import contextlib
import datetime as dt
import math
import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.crew.as_built import as_built, as_built_model
from visual.crew.as_built_text import as_built_lines, wire_lines
from visual.crew.built_anchors import refuse_if_doubtful
from visual.crew.readings import Reading
from visual.errors import InputError
from visual.model import installed_wires
from visual.rig import SIDES


def ground(x, y):
    return 100.0 + 0.1 * x + 0.03 * y


@pytest.fixture(scope="module")
def model(make_model):
    return make_model(ground)


@pytest.fixture(scope="module")
def places(model, true_places):
    return true_places(model, np.random.default_rng(11))


def survey_of(model, readings):
    return as_built(model, readings, file="readings.csv")


def text_of(survey, units="metric"):
    lines = as_built_lines(survey, units=units)
    assert max(map(len, lines)) <= 100
    return " ".join(lines)


def test_good_survey_is_trustworthy_and_near_the_truth(model, read, places, full_plan):
    survey = survey_of(model, read(full_plan, places, np.random.default_rng(1)))
    assert survey.trustworthy
    for anchor in survey.anchors:
        assert anchor.eye == pytest.approx(places[anchor.side], abs=0.15)
        assert 0.003 < anchor.accuracy < 0.03
        assert not anchor.from_ground
    text_of(survey, "imperial")
    refuse_if_doubtful(survey, file="readings.csv")


def test_wires_on_measured_anchors_are_final_and_right(model, read, places, full_plan):
    survey = survey_of(model, read(full_plan, places, np.random.default_rng(2)))
    measured = as_built_model(model, survey)
    assert not measured.provisional
    collar = model.rig.mast.collars[0].height * model.upward
    off = []
    for wire in installed_wires(measured):
        true = float(np.linalg.norm(collar - places[wire.side]))
        assert wire.final
        assert wire.straight_length_pm < 0.03
        off.append(abs(wire.straight_length - true) / wire.straight_length_pm)
    assert max(off) < 3.5
    assert max(map(len, wire_lines(installed_wires(measured), units="imperial"))) <= 100


def test_blunder_is_named_left_out_and_not_written(model, read, places, full_plan):
    readings = read(full_plan, places, np.random.default_rng(3))
    readings[9] = replace(readings[9], value=readings[9].value + 1.0)  # right – left, row 11
    survey = survey_of(model, readings)
    assert [s.reading.line for s in survey.suspects] == [11]
    assert re.search(
        r"SUSPECT row 11: slope right – left: off by about \+(0\.9|1\.[01])", text_of(survey)
    )
    assert not survey.trustworthy
    for anchor in survey.anchors:
        assert anchor.eye == pytest.approx(places[anchor.side], abs=0.15)
    with pytest.raises(InputError, match="row 11: slope right – left: this reading does not go"):
        refuse_if_doubtful(survey, file="readings.csv")


# The left anchor by tapes from hinge and right anchor only: it may be in front of their line or
# behind it. Everything else is fixed well.
def one_anchor_by_two_tapes():
    plan = [("bearing", "hinge", side) for side in ("front", "right", "back")]
    plan += [("slope", "hinge", side) for side in SIDES]
    plan += [("level", "hinge", side) for side in SIDES]
    return [*plan, ("slope", "right", "left")]


def behind(places):
    return {**places, "left": np.array([-7.9, -0.8, -0.9]), "right": np.array([8.0, 0.1, 0.6])}


def test_mirror_image_is_found_and_asked_for(model, read, places):
    survey = survey_of(model, read(one_anchor_by_two_tapes(), behind(places)))
    (mirror,) = survey.open_mirrors
    assert mirror.points == ("left",)
    other = mirror.unknowns[9:12] if survey.anchors[3].eye[1] < 0 else survey.anchors[3].eye
    assert other[1] > 0.4  # in front of the line instead of behind it
    text = text_of(survey)
    assert "MIRROR IMAGE: the readings fit as well with left" in text
    assert "add a compass bearing from the hinge to left" in text
    with pytest.raises(InputError, match="left: the readings fit a mirror image as well"):
        refuse_if_doubtful(survey, file="readings.csv")


@pytest.mark.parametrize("more", [("slope", "front", "left"), ("bearing", "hinge", "left")])
def test_the_missing_reading_settles_it(model, read, places, more):
    true = behind(places)
    survey = survey_of(model, read([*one_anchor_by_two_tapes(), more], true))
    assert survey.mirrors == ()
    assert survey.anchors[3].eye == pytest.approx(true["left"], abs=1e-5)


def test_mirror_of_the_whole_layout_is_told_by_the_names_and_said(model, read, places, full_plan):
    plan = [step for step in full_plan if step[0] != "compass"]
    survey = survey_of(model, read(plan, places))
    assert survey.open_mirrors == ()
    assert {"left", "right"} <= set(survey.mirrors[0].points)
    assert "only the names of the sides tell" in text_of(survey)
    assert survey.trustworthy


def test_compass_tells_the_whole_layout_from_its_mirror(model, read, places, full_plan):
    assert survey_of(model, read(full_plan, places)).mirrors == ()


def test_height_that_nobody_read_is_that_of_the_ground_and_stays_provisional(
    model, read, places, full_plan
):
    plan = [s for s in full_plan if not (s[0] == "level" and "left" in s)]
    survey = survey_of(model, read(plan, places))
    left = survey.anchors[3]
    assert left.from_ground
    assert left.sigmas[2] == pytest.approx(math.hypot(0.05, 0.05), rel=0.1)
    x, y = left.eye[:2]
    assert left.eye[2] == pytest.approx(0.1 * x + 0.03 * y + 0.1 - 0.25, abs=0.05)
    assert "No reading gives the height of left" in text_of(survey)
    wires = {w.name: w for w in installed_wires(as_built_model(model, survey))}
    assert wires["right"].final
    assert not wires["left"].final


def test_no_bearing_at_all_is_asked_for(model, read, places, full_plan):
    plan = [s for s in full_plan if s[0] in ("slope", "level")]
    with pytest.raises(InputError, match="free to turn about the base; add a compass or grid"):
        survey_of(model, read(plan, places))


def test_point_that_is_not_settled_is_named(model, read, places, full_plan):
    plan = [s for s in full_plan if not (s[0] in ("slope", "compass") and "back" in s)]
    with pytest.raises(InputError, match="'back': the readings do not settle where this point is"):
        survey_of(model, read(plan, places))


def test_misspelt_point_is_named(model, read, places, full_plan):
    readings = read(full_plan, places)
    readings[0] = replace(readings[0], end="frnt")
    with pytest.raises(InputError, match="'frnt': this point is no anchor"):
        survey_of(model, readings)


def test_station_between_serves_as_well(model, read, places, full_plan):
    true = {**places, "peg": np.array([-4.0, 5.0, 0.2])}
    plan = [s for s in full_plan if not (s[0] == "slope" and "left" in s)]
    plan += [("slope", "hinge", "peg"), ("bearing", "hinge", "peg"), ("level", "hinge", "peg")]
    plan += [("slope", "peg", "left"), ("bearing", "peg", "left"), ("slope", "peg", "front")]
    survey = survey_of(model, read(plan, true))
    assert survey.anchors[3].eye == pytest.approx(true["left"], abs=1e-5)


SITE = {"crs": "EPSG:32630", "date": dt.date(2026, 6, 1)}


@pytest.fixture(scope="module")
def placed(make_model):
    mast = {"position": [553210.0, 5912480.0]}
    return make_model(lambda x, y: 100.0 + 0.0 * x, {"site": SITE, "mast": mast})


def gps_of(model, places, *, shift=(0.0, 0.0, 0.0), points=("hinge", *SIDES)):
    readings = []
    for line, point in enumerate(points, start=40):
        x, y, z = places[point] + np.array(shift)
        easting, northing = model.frame.to_grid(x, y)
        place = (float(easting), float(northing), float(model.frame.height(z)))
        readings.append(Reading(line, "gps", point, point, math.nan, 0.02, place=place))
    return readings


def test_receiver_alone_is_enough_and_its_shift_goes_out(placed, true_places):
    places = true_places(placed, np.random.default_rng(5))
    survey = survey_of(placed, gps_of(placed, places, shift=(1.5, -0.7, 0.4)))
    assert survey.shift == pytest.approx((1.5, -0.7, 0.4), abs=1e-6)
    for anchor in survey.anchors:
        assert anchor.eye == pytest.approx(places[anchor.side], abs=1e-5)
        # the difference of two places, heights half as good
        assert anchor.sigmas == pytest.approx(0.02 * math.sqrt(2) * np.array([1, 1, 2]), rel=1e-6)
    assert "only differences to it were used" in text_of(survey)


def test_receiver_that_was_not_at_the_base_is_taken_at_its_word(placed, true_places):
    places = true_places(placed, np.random.default_rng(5))
    survey = survey_of(placed, gps_of(placed, places, points=SIDES))
    assert survey.shift is None
    assert survey.anchors[0].sigmas == pytest.approx(0.02 * np.array([1, 1, 2]), rel=1e-6)


def test_compass_is_magnetic_and_its_error_is_common(placed, read, true_places):
    places = true_places(placed, np.random.default_rng(6))
    plan = [("slope", "hinge", side) for side in SIDES] + [("level", "hinge", s) for s in SIDES]
    readings = read(plan, places)
    off = math.radians(1.5)  # iron in the belt
    for line, side in enumerate(SIDES, start=30):
        grid = math.atan2(places[side][0], places[side][1])
        read_at = (placed.frame.magnetic_bearing(grid) + off) % math.tau
        readings.append(Reading(line, "compass", "hinge", side, read_at, math.radians(0.5)))
    gps = gps_of(placed, places, points=("front", "back"))
    survey = survey_of(placed, [*readings, *gps])
    # computed = bearing + convergence − declination − turn
    # between nothing, as the magnetic model says, and all of it, as the receiver says
    assert -off < survey.turn < -0.4 * off
    for anchor in survey.anchors:
        assert anchor.eye == pytest.approx(places[anchor.side], abs=0.12)


def test_compass_alone_orients_a_site_with_a_place_on_earth(placed, read, true_places):
    places = true_places(placed, np.random.default_rng(6))
    plan = [("slope", "hinge", side) for side in SIDES] + [("level", "hinge", s) for s in SIDES]
    readings = read(plan, places)
    for line, side in enumerate(SIDES, start=30):
        grid = math.atan2(places[side][0], places[side][1])
        value = float(placed.frame.magnetic_bearing(grid))
        readings.append(Reading(line, "compass", "hinge", side, value, math.radians(0.5)))
    survey = survey_of(placed, readings)
    for anchor in survey.anchors:
        assert anchor.eye == pytest.approx(places[anchor.side], abs=1e-5)
    uncertainty = placed.frame.declination.uncertainty
    # sideways: the compass and, for all alike, the magnetic model
    sideways = math.hypot(math.radians(0.5), uncertainty) * 8.0
    assert survey.anchors[0].sigmas[1] == pytest.approx(sideways, rel=0.1)


def test_place_in_another_grid_is_refused(placed, true_places):
    places = true_places(placed, np.random.default_rng(6))
    readings = gps_of(placed, places)
    readings[2] = replace(readings[2], place=(-2.2, 53.36, 100.0))
    with pytest.raises(InputError, match="more than a kilometre from the base; write easting"):
        survey_of(placed, readings)


def test_names_mixed_up_are_noticed(model, read, places, full_plan):
    mixed = {**places, "left": places["right"], "right": places["left"]}
    survey = survey_of(model, read(full_plan, mixed))
    assert {anchor.side for anchor in survey.misplaced} == {"left", "right"}
    assert "WRONG SIDE: right, left more than 45°" in text_of(survey)
    with pytest.raises(InputError, match="left: this anchor is more than 45 degrees off its side"):
        refuse_if_doubtful(survey, file="readings.csv")


def test_readings_of_another_layout_are_noticed(model, read, places, full_plan):
    turn = math.radians(80.0)
    spun = np.array([[math.cos(turn), math.sin(turn), 0], [-math.sin(turn), math.cos(turn), 0]])
    there = {name: np.append(spun @ place, place[2]) for name, place in places.items()}
    survey = survey_of(model, read(full_plan, there))
    assert len(survey.misplaced) == 4
    assert not survey.trustworthy


@settings(max_examples=15)
@given(st.sets(st.integers(0, 22), max_size=23), st.integers(0, 2))
def test_any_part_of_a_survey_gives_places_or_asks_for_more(
    model, read, places, full_plan, dropped, noise
):
    rng = np.random.default_rng(noise) if noise else None
    plan = [step for number, step in enumerate(full_plan) if number not in dropped]
    survey = None
    with contextlib.suppress(InputError):
        survey = survey_of(model, read(plan, places, rng))
    if survey is not None:
        text_of(survey)
        assert all(np.isfinite(anchor.eye).all() for anchor in survey.anchors)
        if survey.trustworthy and noise == 0:
            for anchor in survey.anchors:
                high = 0.5 if anchor.from_ground else 1e-4
                assert anchor.eye == pytest.approx(places[anchor.side], abs=high)
