"""The rows of the field, raise and findings sheets against the numbers they come from."""

import math

import numpy as np
import pytest

from visual.checks import Report, assess
from visual.crew.stake import stake_out
from visual.crew.wire_schedule import wire_schedule
from visual.rig import SIDES
from visual.sheets.cells import Blank, Tick, plain
from visual.sheets.field_rows import (
    as_built_table,
    set_out_table,
    signed,
    tape_table,
    wire_table,
)
from visual.sheets.findings_rows import (
    counts,
    finding_rows,
    not_checked_lines,
    standing_of,
    verdict,
)
from visual.sheets.raise_holds import TOGETHER, holds_on_the_way
from visual.sheets.raise_order import order_of_work, travel_at

PADDOCK, MOVED, TERRACE, YARD = "paddock", "moved", "terrace", "yard"
SITES = (PADDOCK, MOVED, TERRACE, YARD)


def units_of(report: Report) -> str:
    return report.model.site.site.units


# --- field sheet --------------------------------------------------------------------------------


def test_every_anchor_has_a_row_with_its_bearing_and_rise(judged):
    report = judged(MOVED)
    stake = stake_out(report.model, report.raised.start)
    rows = set_out_table(stake, units="metric").rows
    assert [plain(row[0]).split()[0] for row in rows] == list(SIDES)
    assert plain(rows[0][1]) == "135.4° grid 135.0°"  # magnetic first, as the compass shows it
    for row, anchor in zip(rows, stake.anchors, strict=True):
        assert plain(row[2]) == f"{anchor.horizontal:.2f} m"
        assert plain(row[4]).startswith("−" if anchor.rise < 0 else "+")


def test_heights_carry_their_sign_and_a_nought_none():
    assert [signed(z, "metric") for z in (0.5, -0.5, 0.0, -0.001)] == [
        "+0.50 m",
        "−0.50 m",
        "0.00 m",
        "0.00 m",
    ]
    assert [signed(z, "imperial") for z in (0.3048, -0.0254, 0.0)] == [
        "+1 ft 0 in",
        "−1 in",
        "0 in",
    ]
    assert signed(math.nan, "metric") == "unknown"


def test_a_site_without_north_gets_no_compass_bearings(judged):
    report = judged(YARD)
    table = set_out_table(stake_out(report.model, report.raised.start), units="metric")
    assert table.heads[1].title == "clockwise from front"
    assert [plain(row[1]).split()[0] for row in table.rows] == ["0.0°", "90.0°", "180.0°", "270.0°"]
    assert "Compass bearings are not known" in " ".join(table.notes)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_what_is_read_has_a_line_with_the_unit_and_what_is_done_a_box(judged, units):
    report = judged(TERRACE)
    table = wire_table(wire_schedule(report.model), units=units)
    blanks = {cell.unit for row in table.rows for cell in row if isinstance(cell, Blank)}
    assert blanks == ({"m", "kN"} if units == "metric" else {"ft  in", "lbf"})
    assert all(sum(isinstance(cell, Tick) for cell in row) == 2 for row in table.rows)
    assert all(len(row) == len(table.heads) for row in table.rows)


def test_wires_show_cut_gauge_band_and_where_to_hold_at_the_tip(judged):
    schedule = wire_schedule(judged(MOVED).model)
    table = wire_table(schedule, units="metric")
    front = dict(zip([head.title for head in table.heads], table.rows[0], strict=True))
    assert plain(front["cut at"]).startswith("15.011 m")
    assert plain(front["hold at gin tip"]) == "11.800 m"
    assert plain(front["gauge at the anchor"]) == "4.12 kN 3.71 kN … 4.53 kN"
    assert [plain(row[3]) for row in table.rows[2:]] == [
        ""
    ] * 6  # side and back wires never go there


def test_tapes_between_pegs_are_those_of_the_stake_out(judged):
    report = judged(TERRACE)
    stake = stake_out(report.model, report.raised.start)
    rows = tape_table(stake, units="metric").rows
    assert [plain(row[1]) for row in rows] == [f"{tape.straight:.2f} m" for tape in stake.tapes]


def test_as_built_readings_are_the_ten_tapes_eight_levels_and_four_bearings_of_the_manual(judged):
    report = judged(MOVED)
    rows = as_built_table(report.model, units="metric").rows
    written = [[isinstance(row[k], Blank) for k in (2, 4, 5)] for row in rows]
    assert [sum(column) for column in zip(*written, strict=True)] == [10, 8, 4]
    eye = report.model.anchors["right"].eye
    right = next(row for row in rows if plain(row[0]) == "hinge – right")
    assert plain(right[1]) == f"{np.linalg.norm(eye):.2f} m"
    uphill = report.model.anchors["back"].eye[2]
    back = next(row for row in rows if plain(row[0]) == "hinge – back")
    assert uphill > 0.0
    assert plain(back[3]) == f"+{uphill:.2f} m"  # the second point above the first


# --- holds and order ----------------------------------------------------------------------------


@pytest.mark.parametrize("site", SITES)
def test_holds_begin_at_lift_off_end_upright_and_keep_apart(judged, site):
    report = judged(site)
    for run in report.forces.runs:
        holds = holds_on_the_way(report, run, units=units_of(report))
        angles = np.array([hold.angle for hold in holds])
        assert holds[0].title.startswith("A hand-width up")
        assert run.angles[0] <= angles[0] < run.angles[0] + math.radians(1.0)
        assert holds[-1].title.startswith("Upright")
        assert angles[-1] == pytest.approx(math.pi / 2)
        assert (np.diff(angles[:-1]) > TOGETHER).all()


def test_the_crew_stops_before_the_rotor_comes_near_the_line(judged):
    report = judged(PADDOCK)
    near = next(c for c in report.clearances if c.part == "rotor" and "kV" in c.obstacle.name)
    hold = next(
        hold
        for hold in holds_on_the_way(report, report.forces.loaded, units="metric")
        if "11 kV line" in hold.title
    )
    assert 0.0 < near.closest.angle - hold.angle < math.radians(5.0)
    assert "1.27 m" in " ".join(hold.looks)


def test_the_first_raise_stops_for_the_mast_and_not_for_the_rotor(judged):
    report = judged(PADDOCK)
    words = [
        " ".join(
            look for hold in holds_on_the_way(report, run, units="metric") for look in hold.looks
        )
        for run in report.forces.runs
    ]
    assert "Rotor comes within" in words[0]
    assert "Rotor comes within" not in words[1]


def test_tight_and_slack_wires_of_both_sides_are_named(judged):
    report = judged(PADDOCK)
    words = str(holds_on_the_way(report, report.forces.loaded, units="metric"))
    assert "Wires right 1 and right 2: up to 0.60 m too short" in words
    assert "Wires left 1 and left 2: up to 0.71 m slack" in words
    assert "too short" not in str(
        holds_on_the_way(judged(MOVED), judged(MOVED).forces.loaded, units="metric")
    )


@pytest.mark.parametrize("site", SITES)
def test_the_back_line_is_manned_before_the_mast_goes_over(judged, site):
    report = judged(site)
    for run in report.forces.runs:
        holds = holds_on_the_way(report, run, units=units_of(report))
        before = next(hold for hold in holds if "balance" in hold.title.lower())
        assert before.angle < run.hold_from - math.radians(2.0)


def test_order_follows_the_trade(judged):
    report = judged(MOVED)
    titles = [phase.title for phase in order_of_work(report, units="metric")]
    assert titles.index("Lay out") < titles.index("Gin pole up")
    assert titles.index("First raise, without the head") < titles.index("Raise with the head")
    assert "First raise, without the head" not in [
        phase.title for phase in order_of_work(judged(YARD), units="metric")
    ]
    last = order_of_work(report, units="metric")[-1].steps
    assert last[-1].text == "Rotor released last."


def test_every_front_wire_goes_over_on_its_own_and_a_single_one_is_never_off_alone(judged):
    several = order_of_work(judged(MOVED), units="metric")[-2]
    moved = [step.text for step in several.steps if "from the tip to the front anchor" in step.text]
    assert [text.split(" from")[0] for text in moved] == ["Front 1", "Front 2"]
    assert not any("second rated line" in step.text for step in several.steps)
    single = [step.text for step in order_of_work(judged(TERRACE), units="imperial")[-2].steps]
    spare = next(k for k, text in enumerate(single) if "second rated line" in text)
    assert "from the tip to the front anchor" in single[spare + 1]


def test_a_site_with_stops_says_so_before_anything_else(judged):
    first = order_of_work(judged(PADDOCK), units="metric")[0].steps[0]
    assert first.kind == "stop"
    assert first.text.startswith("Do not raise like this: 17 findings")
    assert all(
        "Do not raise" not in s.text for s in order_of_work(judged(MOVED), units="metric")[0].steps
    )


def test_stops_on_the_way_carry_the_travel_of_the_table(judged):
    report = judged(MOVED)
    run = report.forces.loaded
    step = int(np.argmin(np.abs(run.angles - math.radians(45.0))))
    assert travel_at(run, float(run.angles[step])) == pytest.approx(run.tow.travel[step])
    raising = next(
        p for p in order_of_work(report, units="metric") if p.title == "Raise with the head"
    )
    half = next(s for s in raising.steps if s.text.startswith("Half way"))
    assert half.travel == pytest.approx(4.52, abs=0.01)  # as printed by `hillmast raise`


# --- findings -----------------------------------------------------------------------------------


@pytest.mark.parametrize("site", SITES)
def test_every_finding_has_its_row_with_basis_and_standing(judged, site):
    report = judged(site)
    rows = finding_rows(report, units=units_of(report))
    assert [(row.check, row.subject) for row in rows] == [
        (f.check, f.subject) for f in report.findings
    ]
    assert all((row.standing == "") == (row.status == "not checked") for row in rows)
    assert all(row.basis for row in rows if row.status == "stop")
    assert sum(counts(report).values()) == len(rows)


def test_what_was_not_checked_is_told_again_with_the_reason(judged):
    report = judged(YARD)
    lines = not_checked_lines(report, units="metric")
    assert sum("what the anchor can hold was not given" in line for line in lines) == 3
    assert verdict(report).endswith("not everything was checked.")
    assert verdict(judged(PADDOCK)) == "Do not raise like this."


def test_a_measured_anchor_makes_its_own_findings_final(make_model):
    built = {"position": [8.0, 0.0], "height": 100.1}
    model = make_model(changes={"anchors": {"right": built}})
    report = assess(model)
    standing = {f.subject: standing_of(model, f) for f in report.findings}
    assert standing["wire right"] == "final"
    assert standing["wire left"] == "provisional"
    assert standing["mast on the ground"] == "provisional"
