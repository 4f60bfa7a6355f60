"""The printed table of the raise, and the same as CSV."""

import csv
import io
import math
import re

import numpy as np
import pytest

from visual.checks import assess, raise_csv, raise_table
from visual.checks.raise_table import MARK

HEAD = {"mass": 60.0, "centre_above_top": 0.3, "rotor_diameter": 2.0}
COLLARS = [{"height": h, "wire": "guy"} for h in (4.0, 6.0, 8.0, 11.0)]


@pytest.fixture(scope="module")
def report(make_model):
    return assess(make_model(changes={"mast": {"head": HEAD}}, spacing=20.0))


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


def test_what_is_done_by_hand(make_model):
    changes = {
        "mast": {"head": HEAD},
        "anchors": {"right": {"position": [8.0, 0.0], "height": 100.75}},
    }
    report = assess(make_model(changes=changes, spacing=20.0))
    text = " ".join(raise_table(report))
    assert f"{report.forces.hand.people} people walk it up" in text
    assert "slacken wire right by" in text
    assert f"from {math.degrees(report.forces.loaded.balance_angle):.1f}°" in text
    assert "one at a time" in text


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
