"""The printed table of the raise, and the same as CSV."""

import csv
import io
import math
import re

import numpy as np
import pytest

from visual.checks import assess, raise_csv, raise_table
from visual.checks.hand_actions import hand_actions
from visual.checks.raise_table import MARK, raise_columns
from visual.units import format_force

HEAD = {"mass": 60.0, "centre_above_top": 0.3, "rotor_diameter": 2.0}
COLLARS = [{"height": h, "wire": "guy"} for h in (4.0, 6.0, 8.0, 11.0)]


@pytest.fixture(scope="module")
def report(make_model):
    return assess(make_model(changes={"mast": {"head": HEAD}}, spacing=20.0))


@pytest.fixture(scope="module")
def bare(make_model):
    """A mast without head, with one level of wires."""
    return assess(make_model(spacing=20.0))


@pytest.fixture(scope="module")
def two_levels(make_model):
    changes = {"mast": {"head": HEAD, "collar": COLLARS[2:]}}
    return assess(make_model(changes=changes, spacing=20.0))


def with_eye_at(make_model, height):
    """Return a mast with its head whose right eye stands too high."""
    anchor = {"right": {"position": [8.0, 0.0], "height": height}}
    changes = {"mast": {"head": HEAD}, "anchors": anchor}
    return assess(make_model(changes=changes, spacing=20.0))


@pytest.fixture(scope="module")
def tight(make_model):
    return with_eye_at(make_model, 100.75)


def rows(lines):
    """Cells of the rows between the two rules."""
    rules = [i for i, line in enumerate(lines) if line and set(line) == {"-"}]
    return [re.findall(r"[-\d.]+\*?|unknown", line) for line in lines[rules[0] + 1 : rules[1]]]


@pytest.mark.parametrize(
    "changes",
    [
        {"mast": {"head": HEAD}},
        {"mast": {"collar": COLLARS}, "site": {"units": "imperial"}},
        {"mast": {"collar": COLLARS[:3]}, "tow": {"by": "winch", "parts": 4}},
        {"tow": {"through_front_anchor": True}},
        {"anchors": {"right": {"position": [8.0, 0.3], "height": 101.0}}},
    ],
)
def test_no_line_is_wider_than_a_hundred(make_model, changes):
    lines = raise_table(assess(make_model(changes=changes, spacing=20.0)))
    assert max(map(len, lines)) <= 100
    assert len({len(row) for row in rows(lines)}) == 1


def test_the_numbers_are_those_of_the_forces(report):
    run = report.forces.loaded
    for row in rows(raise_table(report)):
        step = int(np.argmin(np.abs(np.degrees(run.angles) - float(row[0]))))
        shown = [float(cell.rstrip(MARK)) for cell in row[1:]]
        exact = [
            run.tow.travel[step],
            run.tow_tension[step] / 1e3,
            run.lift_wires[step, 0] / 1e3,
            run.gin_compression[step] / 1e3,
            run.hinge[step, 0] / 1e3,
            run.hinge[step, 1] / 1e3,
            run.mast_stress[step] / 1e6,
            run.hold_back[step] / 1e3,
        ]
        # 0.05 for what has one decimal; angles are shown to 0.1°, steps are half a degree apart
        np.testing.assert_allclose(shown, exact, atol=0.051)


def test_the_worst_is_shown_and_marked(report):
    run = report.forces.loaded
    table = rows(raise_table(report))
    marked = [float(row[2].rstrip(MARK)) for row in table if row[2].endswith(MARK)]
    assert marked == [pytest.approx(run.tow_tension.max() / 1e3, abs=0.005)]
    stress = [float(row[7].rstrip(MARK)) for row in table if row[7].endswith(MARK)]
    assert stress == [pytest.approx(run.mast_stress.max() / 1e6, abs=0.05)]


def test_the_first_raise_is_lighter(report):
    assert raise_table(report, first=True)[0] != raise_table(report)[0]
    assert "without a head" in raise_table(report, first=True)[0]


def test_what_is_done_by_hand(tight):
    text = " ".join(raise_table(tight))
    assert f"{tight.forces.hand.people} people walk it up" in text
    assert "slacken wire right by" in text
    (cure,) = [wire.cure for wire in tight.forces.wires if wire.cure is not None]
    assert f"until {math.degrees(cure.until):.0f}°" in text
    assert "wire right may have its length again" in text
    assert f"from {math.degrees(tight.forces.loaded.balance_angle):.1f}°" in text


def test_things_are_done_in_the_order_of_the_raise(tight):
    actions = list(hand_actions(tight, tight.forces.loaded))
    order = ["before lifting", "before lifting", "gin pole:", "at ", "from ", "at ", "from "]
    assert len(actions) == len(order) + 2
    for words, action in zip([*order, "upright: ", "going down: "], actions, strict=True):
        assert action.startswith(words)
    angles = [float(re.search(r"-?[\d.]+", action).group()) for action in actions[3:7]]
    assert angles == sorted(angles)


def test_a_wire_that_its_turnbuckle_cannot_give_is_tied_off_longer(make_model, tight):
    little = with_eye_at(make_model, 100.35)
    said = [next(hand_actions(one, one.forces.loaded)) for one in (tight, little)]
    assert "tie it off longer" in said[0]
    assert "turns)" not in said[0]
    assert "turns)" in said[1]


def test_a_single_front_wire_needs_a_second_line_before_it_is_moved(bare, two_levels):
    one, more = (" ".join(raise_table(report)) for report in (bare, two_levels))
    assert "a second line from its collar" in one
    assert "one at a time" not in one
    assert "a second line" not in more
    assert "one at a time" in more


@pytest.mark.parametrize(
    ("tow", "words"),
    [
        ({"by": "winch", "parts": 2, "winch_pull": 3000.0}, "winch's part of line; the winch can"),
        ({"through_front_anchor": True}, "at the hitch; the vehicle can pull"),
    ],
)
def test_lift_off_is_told_where_it_is_pulled(make_model, tow, words):
    report = assess(make_model(changes={"tow": tow}, spacing=20.0))
    run = report.forces.loaded
    (said,) = [one for one in hand_actions(report, run) if "lift-off" in one]
    on_pole, behind = (format_force(v, "metric") for v in (run.tow_tension[0], run.hauling[0]))
    assert on_pole != behind
    assert f"lift-off with {on_pole} on the pole, {behind} " in said
    assert words in said


def test_a_table_of_a_raise_that_is_stopped_says_so(tight, bare):
    stops = sum(finding.status == "stop" for finding in tight.findings)
    assert stops > 0
    assert raise_table(tight)[1].startswith("STOP: do not raise like this")
    assert f"{stops} stop" in raise_table(tight)[1]
    assert not any(finding.status == "stop" for finding in bare.findings)
    assert raise_table(bare)[1].startswith("hillmast check: nothing stops, ")


def test_limits_are_those_of_the_findings(two_levels):
    run = two_levels.forces.loaded
    limits = {c.title: c.limit for c in raise_columns(two_levels.model, run)}
    found = {(one.check, one.subject): one for one in two_levels.findings}
    wire = found["wire load", "tow line"].limit / 1e3
    assert wire == 20.0 / 5
    assert [limits[key] for key in ("pull", "lift 1", "lift 2", "hold back")] == [wire] * 4
    stress = next(one for key, one in found.items() if key[0] == "mast stress")
    assert limits["mast"] == pytest.approx(stress.limit / 1e6)
    strut = found["gin pole", "gin pole as a strut"]
    assert strut.limit == pytest.approx(23 / 12, rel=0.01)
    # Euler's load over its factor, own weight left out: pi² EI / L²
    tube = two_levels.model.rig.gin_pole.tube
    euler = math.pi**2 * tube.modulus * tube.second_moment / tube.length**2
    assert limits["gin pole"] == pytest.approx(euler / strut.limit / 1e3, rel=1e-3)
    assert all(math.isnan(limits[key]) for key in ("angle", "travel", "hinge fwd", "hinge up"))


def test_an_unknown_force_is_called_unknown(make_model):
    report = assess(make_model(reach=15.0, spacing=5.0))
    table = raise_table(report)
    assert all("unknown" in row for row in rows(table)[:5])
    assert "the pull at lift-off is unknown" in " ".join(table)
    written = list(csv.DictReader(io.StringIO(raise_csv(report))))
    assert written[0]["pull_N"] == ""


def test_csv_holds_every_step_unrounded(report):
    run = report.forces.loaded
    written = list(csv.DictReader(io.StringIO(raise_csv(report))))
    assert len(written) == run.angles.size
    assert [float(row["pull_N"]) for row in written] == list(run.tow_tension)
    assert [float(row["mast_Pa"]) for row in written] == list(run.mast_stress)
