"""Plumb: masts put out of plumb on purpose are put right again."""

import math

import numpy as np
import pytest

from visual.crew.balance import balanced_tensions, hang_by_tension, wire_ends
from visual.crew.plumb import find_lean, plumb
from visual.crew.plumb_readings import LeanReading, PlumbReadings, read_plumb_readings
from visual.crew.plumb_text import plumb_lines
from visual.crew.standing import collar_at, settled_tensions, stand, wire_keys
from visual.errors import InputError
from visual.rig import SIDES

TWO_LEVELS = {
    "mast": {
        "collar": [{"height": 6.0, "wire": "guy"}, {"height": 11.0, "wire": "guy"}],
        "head": {"mass": 50.0, "centre_above_top": 0.3},
    },
    "turnbuckle": {"per_turn": "3.5 mm"},
}
UPRIGHT = np.zeros(2)


def hill(x, y):
    return 100.0 + 0.12 * x + 0.2 * y


@pytest.fixture(scope="module")
def model(make_model):
    return make_model(hill, TWO_LEVELS)


def right_lengths(model):
    """Return the unstressed lengths of the upright, balanced mast."""
    lengths = {}
    for side, level in wire_keys(model):
        ends = wire_ends(model, side, collar_at(model, level, UPRIGHT))
        tension = balanced_tensions(model, level)[side]
        lengths[side, level] = hang_by_tension(model, level, ends, tension).unstressed_length
    return lengths


def seen(model, standing, *, tensions=True):
    """Return perfect readings of a standing mast, from the front and from the right."""
    leans = []
    for line, bearing in enumerate((-math.pi / 2, 0.0), start=2):
        direction = np.array([math.sin(bearing), math.cos(bearing)])
        lean = float(standing.lean @ direction)
        leans.append(LeanReading(line, f"row {line}", bearing, lean, 0.001))
    return PlumbReadings(tuple(leans), dict(standing.tensions) if tensions else {})


def test_right_lengths_stand_upright_at_the_balanced_tensions(model):
    lengths = right_lengths(model)
    standing = stand(model, lengths, near=np.array([0.003, -0.002]))
    assert standing.lean == pytest.approx(UPRIGHT, abs=1e-6)
    for (side, level), tension in standing.tensions.items():
        assert tension == pytest.approx(balanced_tensions(model, level)[side], rel=1e-3)


def test_mast_leans_to_the_wire_that_is_short(model):
    lengths = right_lengths(model)
    for side, toward in zip(SIDES, ([0, 1], [1, 0], [0, -1], [-1, 0]), strict=True):
        short = lengths | {(side, 1): lengths[side, 1] - 0.01}
        assert stand(model, short, near=UPRIGHT).lean @ np.array(toward) > 1e-4


def test_head_to_the_front_pulls_the_mast_to_the_front(make_model):
    head = {"mass": 80.0, "centre_above_top": 0.3, "centre_to_front": 1.0}
    model = make_model(changes={**TWO_LEVELS, "mast": {**TWO_LEVELS["mast"], "head": head}})
    lean = stand(model, right_lengths(model), near=UPRIGHT).lean
    assert lean[1] > 1e-5
    assert lean[0] == pytest.approx(0.0, abs=1e-8)


@pytest.mark.parametrize("seed", range(4))
def test_any_mast_is_put_right_and_keeps_its_mean_tension(model, seed):
    rng = np.random.default_rng(seed)
    crooked = {key: length + rng.normal(0.0, 0.008) for key, length in right_lengths(model).items()}
    standing = stand(model, crooked, near=UPRIGHT)
    found = plumb(model, seen(model, standing))
    assert found.lean == pytest.approx(standing.lean, abs=1e-9)
    # quarter turns of 3.5 mm: every wire is right to 0.44 mm
    assert found.top_after < 0.003
    if found.mean_kept:
        for level in (0, 1):
            before = np.mean([standing.tensions[side, level] for side in SIDES])
            after = np.mean([found.after.tensions[side, level] for side in SIDES])
            assert after == pytest.approx(before, rel=0.06)
    wanted = {wire.key: wire.wanted for wire in found.wires}
    for key, tension in found.after.tensions.items():
        assert tension == pytest.approx(wanted[key], rel=0.15)


def test_lean_alone_is_enough_to_come_upright(model):
    lean = np.array([0.006, -0.009])
    leans = seen(model, type("S", (), {"lean": lean, "tensions": {}})(), tensions=False)
    found = plumb(model, leans)
    assert found.lean == pytest.approx(lean)
    assert found.top_to_front == pytest.approx(-0.009 * 12.0)
    assert found.top_to_right == pytest.approx(0.006 * 12.0)
    assert not found.is_plumb
    assert found.top_after < 0.002
    assert found.mean_kept


def test_changes_are_those_of_the_jacobian(model):
    # to first order a wire must change by how much the lean brings its collar nearer to its eye
    lean = np.array([0.0004, -0.0003])
    found = plumb(
        model, seen(model, type("S", (), {"lean": lean, "tensions": {}})(), tensions=False)
    )
    for wire in found.wires:
        side, level = wire.key
        collar = model.rig.mast.collars[level].height * model.upward
        along = (model.anchors[side].eye - collar) / np.linalg.norm(
            model.anchors[side].eye - collar
        )
        first = float(along[:2] @ lean) * model.rig.mast.collars[level].height
        assert wire.change == pytest.approx(first, abs=2e-5)


def test_mast_that_stands_right_needs_no_turn(model):
    standing = stand(model, right_lengths(model), near=UPRIGHT)
    found = plumb(model, seen(model, standing))
    assert found.is_plumb
    assert all(wire.turns == 0 for wire in found.wires)
    assert found.rounds.count == 0
    assert "Nothing to turn." in plumb_lines(found, units="metric")


def test_slack_mast_is_brought_to_its_initial_tension(model):
    loose = {key: length + 0.008 for key, length in right_lengths(model).items()}
    found = plumb(model, seen(model, stand(model, loose, near=UPRIGHT)))
    assert not found.mean_kept
    assert all(wire.change < 0 for wire in found.wires)
    means = [np.mean([w.wanted for w in found.wires if w.key[1] == level]) for level in (0, 1)]
    assert means == pytest.approx([2000.0, 2000.0], rel=1e-3)


def test_no_side_is_ever_loose_on_the_way(model):
    lean = np.array([0.01, 0.012])
    found = plumb(
        model, seen(model, type("S", (), {"lean": lean, "tensions": {}})(), tensions=False)
    )
    rounds = found.rounds
    assert rounds.never_loose
    assert rounds.lowest > 0.7
    assert rounds.highest < 1.6
    signs = [change > 0 for _, change in rounds.steps]
    assert signs == sorted(signs)  # shorten first
    assert max(abs(change) for _, change in rounds.steps) <= 0.004 + 1e-9
    per_turn = model.rig.turnbuckle.per_turn
    for key, change in rounds.steps:
        wire = next(wire for wire in found.wires if wire.key == key)
        assert change * rounds.count == pytest.approx(wire.turns * per_turn)


def test_rounds_of_the_table_add_up(model):
    lean = np.array([0.01, 0.012])
    found = plumb(
        model, seen(model, type("S", (), {"lean": lean, "tensions": {}})(), tensions=False)
    )
    lines = plumb_lines(found, units="metric")
    first = next(n for n, line in enumerate(lines) if line.startswith("round "))
    rows = [line.split() for line in lines[first + 2 : first + 2 + found.rounds.count]]
    totals = np.array([[float(cell) for cell in row[1:]] for row in rows]).sum(axis=0)
    turns = {wire.key: wire.turns for wire in found.wires}
    assert totals == pytest.approx([turns[key] for key, _ in found.rounds.steps])


def test_gauges_that_contradict_the_standing_mast_are_named(model):
    standing = stand(model, right_lengths(model), near=UPRIGHT)
    wrong = dict(standing.tensions) | {("left", 1): 2 * standing.tensions["left", 1]}
    found = plumb(model, PlumbReadings(seen(model, standing).leans, wrong))
    assert found.contradiction > 0.15
    assert "as they were read the mast would not stand" in " ".join(
        plumb_lines(found, units="metric")
    )
    assert plumb(model, seen(model, standing)).contradiction < 0.001


def test_settled_tensions_hold_the_mast_where_it_is(model):
    lean = np.array([0.004, -0.002])
    rough = {key: 2000.0 + 150.0 * math.sin(7 * k) for k, key in enumerate(wire_keys(model))}
    settled = settled_tensions(model, rough, lean)
    lengths = {
        (side, level): hang_by_tension(
            model, level, wire_ends(model, side, collar_at(model, level, lean)), tension
        ).unstressed_length
        for (side, level), tension in settled.items()
    }
    standing = stand(model, lengths, near=UPRIGHT)
    assert standing.lean == pytest.approx(lean, abs=1e-7)
    assert standing.tensions == pytest.approx(settled, rel=1e-4)


def test_turn_that_nobody_stated_is_said_to_be_taken(make_model):
    model = make_model(hill, {**TWO_LEVELS, "turnbuckle": {}})
    lean = type("S", (), {"lean": np.array([0.01, 0.0]), "tensions": {}})()
    found = plumb(model, seen(model, lean, tensions=False))
    assert not found.per_turn_stated
    assert found.top_after < 0.002
    for units in ("metric", "imperial"):
        lines = plumb_lines(found, units=units)
        assert max(map(len, lines)) <= 100
        assert any("One turn is taken as 4.0 mm" in line for line in lines)


def test_turn_that_is_stated_is_not_questioned(model):
    standing = stand(model, right_lengths(model), near=UPRIGHT)
    found = plumb(model, seen(model, standing))
    assert found.per_turn_stated
    assert not any("One turn is taken" in line for line in plumb_lines(found, units="metric"))


# --- the file of readings -----------------------------------------------------------------------


def read(model, folder, text):
    (folder / "plumb.csv").write_text(
        "reading,from,to,value,sigma,height,distance\n" + text, encoding="utf-8"
    )
    return read_plumb_readings(folder / "plumb.csv", model)


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        # the front is north; the top is 0.12 m off, 12 m up
        ("offset,front,,0.12 m", (-0.01, 0.0)),  # right as seen from the north is west
        ("offset,back,,0.12 m", (0.01, 0.0)),
        ("offset,left,,0.12 m", (0.0, -0.01)),
        ("offset,right,,0.12 m", (0.0, 0.01)),
        ("offset,45,,0.12 m", (-0.01 * math.sqrt(0.5), 0.01 * math.sqrt(0.5))),
        ("offset,back,,0.06 m,,6 m", (0.01, 0.0)),
        ("lean,,right,0.5729", (0.01, 0.0)),
        ("bob,,front,0.06 m,,6 m", (0.0, 0.01)),
        ("angle,back,,0.22918,,,30 m", (0.01, 0.0)),  # 30 m × tan = 0.12 m
    ],
)
def test_signs_and_sizes(model, tmp_path, row, expected):
    # a second reading of nothing, square to the first
    other = "lean,,right,0" if expected[0] == 0 else "lean,,front,0"
    if "45" in row:
        other = "lean,,45,0"
    readings = read(model, tmp_path, f"{row}\n{other}\n")
    assert find_lean(readings.leans) == pytest.approx(expected, abs=1e-6)


def test_opposite_sides_average_an_instrument_that_is_off(model, tmp_path):
    rows = "offset,front,,0.05 m\noffset,back,,-0.03 m\noffset,left,,0\noffset,right,,0\n"
    found = plumb(model, read(model, tmp_path, rows))
    assert found.top_to_right == pytest.approx(-0.04)
    assert found.agree


def test_wrong_sign_is_named(model, tmp_path):
    rows = "offset,front,,0.10 m\noffset,back,,0.10 m\noffset,left,,0\n"
    found = plumb(model, read(model, tmp_path, rows))
    assert not found.agree
    assert "DOES NOT GO TOGETHER: row 2" in " ".join(plumb_lines(found, units="metric"))


def test_tensions_are_read_by_wire(model, tmp_path):
    rows = "offset,front,,0\noffset,left,,0\ntension,,front 2,2.1 kN\ntension,,Left 1,450 lbf\n"
    tensions = read(model, tmp_path, rows).tensions
    assert tensions["front", 1] == 2100.0
    assert tensions["left", 0] == pytest.approx(450 * 4.4482216152605)


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ("offset,front,,0.1\n", "from two sides"),
        ("offset,front,,0.1\noffset,back,,0.1\n", "from two sides"),
        ("offset,north,,0.1\n", "must be one of front, right, back, left, or a grid bearing"),
        ("offset,front,,9 m\n", "more than 1 in 5"),
        ("offset,front,,0.1,,99 m\n", "must be on the mast"),
        ("angle,front,,0.1\n", "column distance: is needed and missing"),
        ("tension,,front 3,2 kN\n", "there is no wire 'front 3'"),
        ("tension,,front 2,2000\n", "has no unit"),
        ("tension,,front 2,2 m\n", "is a unit of length"),
        ("look,front,,1\n", "must be one of offset, angle, lean, bob, tension"),
    ],
)
def test_wrong_files(model, tmp_path, rows, message):
    with pytest.raises(InputError) as caught:
        read(model, tmp_path, rows)
    assert message in str(caught.value)


def test_readings_that_nothing_can_stand_on_give_an_error_or_say_that_they_are_wrong(
    model, tmp_path
):
    rows = "lean,,right,11\nlean,,front,0\ntension,,left 2,1 N\ntension,,right 2,30 kN\n"
    found = plumb(model, read(model, tmp_path, rows), file="plumb.csv")
    assert not found.agree
    assert not all(wire.room for wire in found.wires)


def test_mast_that_cannot_stand_is_an_error(model, monkeypatch):
    def nowhere(*_args, **_kwargs):
        message = "the mast stands nowhere"
        raise ValueError(message)

    monkeypatch.setattr("visual.crew.plumb.stand", nowhere)
    lean = type("S", (), {"lean": np.array([0.01, 0.0]), "tensions": {}})()
    with pytest.raises(InputError, match="no mast can stand as these readings say"):
        plumb(model, seen(model, lean, tensions=False), file="plumb.csv")
