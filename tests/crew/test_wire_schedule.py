"""The wire schedule against hand numbers and laws."""

import math

import numpy as np
import pytest

from visual.crew.balance import balanced_tensions, hang_by_tension, wire_ends
from visual.crew.temperature import Cutting
from visual.crew.wire_schedule import wire_schedule
from visual.crew.wire_text import wire_schedule_lines
from visual.errors import HeightUnknownError
from visual.rig import SIDES

# Hinge, eyes and collar make a 6-8-10 triangle; eyes level with the hinge.
TRIANGLE = {
    "mast": {"hinge_height": 0.5, "collar": [{"height": 8.0, "wire": "guy"}]},
    "anchors": {"radius": 6.0, "eye_height": 0.5},
    "gin_pole": {"length": 6.0},
}


def test_triangle_of_six_eight_ten(make_model):
    for row in wire_schedule(make_model(changes=TRIANGLE)).rows:
        assert row.wire.straight_length == pytest.approx(10.0, abs=1e-9)
        # stretch by hand: 2000 N at the anchor, 4 m of height up 0.15 kg/m: + 5.9 N; 10 m, 1.6 MN
        unstressed = 10.0 - 2005.9 / 1.6e6 * 10.0
        assert row.wire.shape.unstressed_length == pytest.approx(unstressed, abs=1e-4)
        assert row.marks.latest == pytest.approx(unstressed, abs=1e-4)
        assert row.marks.lower_thimble == pytest.approx(unstressed - 0.15, abs=1e-4)
        assert row.marks.earliest == pytest.approx(unstressed - 0.30, abs=1e-4)
        assert row.marks.cut == pytest.approx(unstressed - 0.15 + 0.20, abs=1e-4)
        assert row.piece == pytest.approx(row.wire.cut_length)
        assert row.piece - row.marks.cut == pytest.approx(0.20)  # at the collar, before the zero


def test_level_ground_needs_equal_tensions(make_model):
    for row in wire_schedule(make_model(changes=TRIANGLE)).rows:
        assert row.balanced_tension == pytest.approx(2000.0, rel=1e-6)
        assert row.gauge == pytest.approx((1800.0, 2200.0), rel=1e-6)


def test_thick_wire_has_the_narrow_band(make_model):
    thick = {**TRIANGLE, "wire": {"guy": {"diameter": 0.026}}}
    low, high = wire_schedule(make_model(changes=thick)).rows[0].gauge
    assert (low, high) == pytest.approx((1900.0, 2100.0), rel=1e-6)


def slope(x, y):
    return 100.0 + 0.3 * y


def test_balanced_tensions_pull_nowhere_and_keep_the_mean(make_model):
    model = make_model(slope)
    tensions = balanced_tensions(model, 0)
    collar = model.rig.mast.collars[0].height * model.upward
    pull = np.zeros(2)
    for side in SIDES:
        ends = wire_ends(model, side, collar)
        pull += hang_by_tension(model, 0, ends, tensions[side]).horizontal * ends.outward
    assert np.linalg.norm(pull) < 0.01
    assert np.mean(list(tensions.values())) == pytest.approx(2000.0, rel=1e-6)
    # uphill in front: the front wire is flatter, pulls more sideways and is set slacker
    assert tensions["front"] < 1950 < 2050 < tensions["back"]
    assert tensions["left"] == pytest.approx(tensions["right"])


def test_slope_is_worth_a_word_only_where_it_matters(make_model):
    def text(model):
        return " ".join(wire_schedule_lines(wire_schedule(model), units="metric"))

    assert "out of plumb" not in text(make_model())
    assert "out of plumb" in text(make_model(lambda x, y: 100.0 + 0.45 * y))


def test_planned_anchor_is_provisional_and_measured_one_final(make_model):
    left = {"position": [-8.0, 0.5], "height": 100.3, "accuracy": 0.02}
    model = make_model(changes={"anchors": {"left": left}})
    rows = {row.wire.name: row for row in wire_schedule(model).rows}
    assert rows["left"].standing == "final"
    assert rows["left"].wire.straight_length_pm == 0.02
    assert rows["right"].standing == "provisional"
    assert rows["right"].wire.straight_length_pm > 0.05  # two heights of 0.05 m on a steep wire
    assert wire_schedule(model).provisional


def test_measured_anchor_without_accuracy_or_height_claims_no_more_than_it_knows(make_model):
    def pm(**left):
        model = make_model(changes={"anchors": {"left": {"position": [-8.0, 0.5], **left}}})
        return {row.wire.name: row for row in wire_schedule(model).rows}["left"]

    assert pm(height=100.3).standing == "final"
    assert pm(height=100.3).wire.straight_length_pm == pytest.approx(
        math.hypot(0.05, 0.05) * 10.95 / math.hypot(10.95, math.hypot(8, 0.5)), rel=1e-3
    )
    assert pm(accuracy=0.02).standing == "provisional"  # its height is still that of the ground
    assert pm(accuracy=0.02).wire.straight_length_pm > 0.05


@pytest.mark.parametrize(
    ("travel", "said"), [(0.30, "enough"), (0.15, "perhaps not"), (0.05, "not enough")]
)
def test_take_up_is_held_against_the_uncertainty(make_model, travel, said):
    row = wire_schedule(make_model(changes={"turnbuckle": {"travel": travel}})).rows[0]
    assert 0.05 < row.wire.straight_length_pm < 0.06
    assert row.take_up == said


def test_temperature_by_hand(make_model):
    model = make_model(changes=TRIANGLE)
    plain, cold = (
        wire_schedule(model, cutting=Cutting(at=at)).rows[0].marks.latest for at in (20.0, -10.0)
    )
    assert cold - plain == pytest.approx(-30 * 11.7e-6 * plain)


def test_steel_tape_shrinks_with_the_wire():
    assert Cutting(at=-10.0, steel_tape=True).reading(10.0) == pytest.approx(10.0, abs=1e-12)
    assert Cutting(at=-10.0, rigging=-10.0).reading(10.0) == pytest.approx(10.0, abs=1e-12)
    warm = Cutting(at=20.0, rigging=30.0, steel_tape=True)
    assert warm.reading(10.0) == pytest.approx(10.0 - 10 * 11.7e-6 * 10)


def test_change_over_of_a_right_triangle(make_model):
    row = wire_schedule(make_model(changes=TRIANGLE)).rows[0]
    # gin pole of 6 m, level and to the front when the mast is upright: the tip is the eye
    assert row.change_over.at_tip == pytest.approx(10.0)
    assert row.change_over.difference == pytest.approx(0.0, abs=1e-9)
    assert row.marks.tip == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("pole", "said"), [(5.9, "by its turnbuckle"), (4.0, "take in"), (9.0, "rated extension")]
)
def test_change_over_names_its_piece(make_model, pole, said):
    model = make_model(changes={**TRIANGLE, "gin_pole": {"length": pole}})
    lines = wire_schedule_lines(wire_schedule(model), units="metric")
    assert any(line.startswith("front: ") and said in line for line in lines)


def test_totals_by_wire_type(make_model):
    schedule = wire_schedule(make_model(changes=TRIANGLE))
    (total,) = schedule.totals
    assert (total.kind, total.count) == ("guy", 4)
    assert total.length == pytest.approx(sum(row.piece for row in schedule.rows))


def test_unknown_ground_at_an_anchor_is_an_error_that_names_it(make_model, tmp_path):
    model = make_model(changes={"anchors": {"right": {"radius": 500.0}}})
    model.site._path = tmp_path / "site.toml"
    with pytest.raises(HeightUnknownError, match=r"anchors\.right"):
        wire_schedule(model)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_lines_fit_the_page(make_model, units):
    collars = [{"height": height, "wire": "guy"} for height in (6.0, 11.0)]
    model = make_model(slope, {"mast": {"collar": collars}})
    lines = wire_schedule_lines(wire_schedule(model), units=units)
    assert max(map(len, lines)) <= 100
    assert any("front 2" in line for line in lines)
