"""Tables and results document, read back with the standard library."""

import csv
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.exports.texts import no_formula, one_line, shortened
from visual.model import installed_wires


def rows(path):
    text = path.read_bytes().decode("utf-8-sig")
    return list(csv.DictReader(text.splitlines(keepends=True), strict=True))


def test_tables_are_marked_as_utf8_for_spreadsheets(full):
    for ending, path in full.files.items():
        if ending.endswith(".csv"):
            assert path.read_bytes().startswith(b"\xef\xbb\xbf")
            assert b"\r\r" not in path.read_bytes()


def test_anchors_of_the_table_are_those_of_the_model(full):
    for row, anchor in zip(
        rows(full.files["-anchors.csv"]), full.model.anchors.values(), strict=True
    ):
        assert row["name"] == anchor.side
        place = [float(row[key]) for key in ("easting", "northing", "height_m")]
        assert place == pytest.approx(full.grid(anchor.eye)[0], abs=1e-3)
        assert [float(row[key]) for key in ("x_m", "y_m", "z_m")] == pytest.approx(anchor.eye)


def test_unknown_north_is_empty(plain):
    for row in rows(plain.files["-anchors.csv"]):
        assert row["bearing_true_deg"] == row["bearing_magnetic_deg"] == ""
        assert row["bearing_grid_deg"] != ""


def test_wires_of_the_table_are_those_of_the_model(full):
    for row, wire in zip(rows(full.files["-wires.csv"]), installed_wires(full.model), strict=True):
        assert row["name"] == wire.name
        assert float(row["cut_length_m"]) == wire.cut_length


def test_findings_are_all_there_worst_first(full):
    found = rows(full.files["-findings.csv"])
    assert [row["check"] for row in found] == [one.check for one in full.report.findings]
    assert [row["status"] for row in found] == [one.status for one in full.report.findings]


def test_clearances_and_setbacks_are_all_there(full):
    clearances = rows(full.files["-clearances.csv"])
    assert len(clearances) == len(full.report.clearances)
    for row, one in zip(rows(full.files["-setbacks.csv"]), full.report.setbacks, strict=True):
        assert float(row["distance_m"]) == one.distance
        assert float(row["required_m"]) == one.required


def test_raise_goes_from_the_start_to_upright(full):
    found = rows(full.files["-raise.csv"])
    assert float(found[-1]["angle_deg"]) == pytest.approx(90.0)
    assert float(found[0]["pull_N"]) == pytest.approx(full.report.forces.loaded.tow_tension[0])


def test_no_cell_is_a_formula(full):
    """A cell is a number, or a text that does not begin like a formula."""
    for ending, path in full.files.items():
        for row in rows(path) if ending.endswith(".csv") else ():
            for cell in filter(None, row.values()):
                if cell.startswith(("=", "+", "-", "@")):
                    float(cell)


def test_formula_looking_names_are_still_read(full):
    things = {row["thing"] for row in rows(full.files["-clearances.csv"])}
    assert '\'=HYPERLINK("http://x")' in things
    assert {row["basis"] for row in rows(full.files["-setbacks.csv"])} == {"'=1+1", "'+rule"}


def test_results_are_those_of_check(full):
    document = json.loads(full.files["-results.json"].read_text(encoding="utf-8"))
    assert document["format"] == 1
    assert document["frame"]["origin"]["easting"] == 553210.0
    assert len(document["findings"]) == len(full.report.findings)
    assert document["wire_schedule"] is not None
    assert "line 2\tend" in "".join(row["obstacle"] for row in document["clearances"])


@given(st.text())
def test_one_line_is_one_line_and_stays_so(text):
    line = one_line(text)
    assert len(line.splitlines()) <= 1
    assert one_line(line) == line
    assert line.isprintable() or not text.isprintable()
    line.encode("utf-8")


@given(st.text())
def test_a_spreadsheet_never_sees_a_formula(text):
    assert not no_formula(text).lstrip().startswith(("=", "+", "-", "@"))
    assert no_formula(text).endswith(text)


@given(st.text(), st.integers(1, 50))
def test_shortened_is_short_and_says_so(text, most):
    found = shortened(text, most)
    assert len(found) <= most
    assert found == text or found.endswith("…")
