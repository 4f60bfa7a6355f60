"""The whole set: who is given what, what the drawings say, and the command that makes it."""

import datetime as dt
import io
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from visual.cli import main
from visual.errors import DrawingError
from visual.scene.boxes import overlap
from visual.sheets import sheet_set, views_sheet
from visual.sheets.approaches import shown_in
from visual.sheets.elevation_places import apart, together
from visual.sheets.elevation_sheet import _across, _along
from visual.sheets.labelling import shortened
from visual.sheets.paper import PAPERS, Box
from visual.sheets.plan_setbacks import setback_table
from visual.sheets.table_rows import Cell
from visual.sheets.verdicts import WORDS, judged_approaches, judged_setbacks

SAMPLES = Path(__file__).parents[2] / "sample_sites"
DAY = dt.date(2026, 5, 1)


@pytest.fixture
def no_pictures(monkeypatch):
    def refuse():
        message = "no OpenGL here; install it"
        raise DrawingError(message)

    monkeypatch.setattr(views_sheet, "prepare_off_screen", refuse)


@pytest.fixture
def run(capsys):
    def call(*arguments):
        with pytest.raises(SystemExit) as ended:
            main([str(argument) for argument in arguments])
        shown = capsys.readouterr()
        return ended.value.code, shown.out, shown.err

    return call


# --- who is given what --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reader", "parts"),
    [
        (None, "plan elevations pictures field raise findings methods"),
        ("permit", "plan elevations pictures findings methods"),
        ("crew", "plan elevations field raise findings"),
        ("neighbour", "plan elevations pictures"),
    ],
)
def test_each_reader_is_given_their_sheets(reader, parts, judge, monkeypatch):
    drawn = []
    monkeypatch.setattr(sheet_set, "_draw", lambda part, document, *rest: drawn.append(part))
    monkeypatch.setattr(sheet_set.Document, "content", lambda self: b"")
    sheet_set.sheet_set(judge("metric"), reader=reader, date=DAY)
    assert " ".join(drawn) == parts


def test_the_set_says_on_every_sheet_if_something_stops(judge):
    report = judge("metric")
    assert any(finding.status == "stop" for finding in report.findings)
    assert sheet_set.stop_words(report).startswith("DO NOT RAISE LIKE THIS")
    assert sheet_set.stop_words(replace(report, findings=())) == ""


def test_units_are_those_asked_for_and_nothing_else_changes(judge):
    model = judge("metric").model
    other = model.in_units("imperial")
    assert other.site.site.units == "imperial"
    assert other.rig is model.rig
    assert other.site.mast == model.site.mast


# --- what the drawings say ----------------------------------------------------------------------


def test_every_setback_has_a_row_with_the_verdict_of_its_finding(judge):
    report = judge("metric")
    judged = judged_setbacks(report)
    findings = [finding for finding in report.findings if finding.check == "setback"]
    assert len(judged) == len(findings)
    rows = setback_table(judged, "metric", is_full=True).rows
    for one, row in zip(judged, rows, strict=True):
        words = [cell.text if isinstance(cell, Cell) else cell for cell in row]
        assert words[4] == WORDS[one.finding.status]
        if one.setback is not None:
            assert words[2] == f"{one.setback.distance:.2f} m".replace("-", "−")
    # the rule about water met nothing: nobody looked, and the table says so
    assert "NOT CHECKED" in [row[4].text for row in rows]


def test_every_obstacle_has_its_closest_approach_the_least_margin_first(judge):
    report = judge("metric")
    judged = judged_approaches(report)
    names = [one.clearance.obstacle.name for one in judged]
    assert sorted(names) == sorted({c.obstacle.name for c in report.clearances})
    margins = [one.clearance.margin for one in judged]
    assert margins == sorted(margins)
    for one in judged:
        of_this = [c for c in report.clearances if c.obstacle is one.clearance.obstacle]
        assert one.clearance.margin == min(c.margin for c in of_this)


def test_an_approach_that_needs_attention_is_drawn_where_it_is_seen_longest(judge):
    report = judge("metric")
    both = (_along(report), _across(report))
    places = together(both, PAPERS["A3"].frame, "metric")
    windows = [one.window(b, places.scale) for one, b in zip(both, places.boxes, strict=True)]
    shares = shown_in(judged_approaches(report), windows, most=4)
    assert {one.key for share in shares for one in share} <= {
        one.key
        for one in judged_approaches(report)
        if one.finding.status != "ok" or one.clearance.margin <= 5.0
    }
    assert not {one.key for one in shares[0]} & {one.key for one in shares[1]}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("arrange", [together, apart])
def test_elevations_fit_their_boxes_and_do_not_overlap(paper, arrange, judge):
    report = judge("metric")
    both, body = (_along(report), _across(report)), PAPERS[paper].frame
    places = arrange(both, body, "metric")
    for elevation, box in zip(both, places.boxes, strict=True):
        width, height = elevation.size
        assert width * 1000 / places.scale <= box.width
        assert height * 1000 / places.scale <= box.height
        assert box.bottom <= body.bottom + 1e-9
    first, second = places.boxes
    assert places.is_apart or first.right <= second.left + 1e-9
    assert second.right <= places.rest.left or second.bottom <= places.rest.top


def test_labels_touch_neither_each_other_nor_the_frame(drawn, layouts):
    drawn("plan", "A3", "metric")
    drawn("elevations", "A3", "metric")
    for frame, layout in layouts["plan A3"] + layouts["elevations A3"]:
        boxes = [place.box for place in layout.places]
        assert len(boxes) > 5
        for k, box in enumerate(boxes):
            assert (box >= frame[:2]).all()
            assert (box <= frame[2:]).all()
            assert not any(overlap(box, other) for other in boxes[k + 1 :])


def test_a_name_too_long_for_a_drawing_is_cut_there_and_whole_in_the_table(drawn, text_of):
    shown = text_of(drawn("plan", "A3", "metric")[0], 0)
    assert "The very long name of a shed that somebody" in shown
    assert "…" in shown
    assert "not named" not in shown
    assert shortened("short") == "short"
    assert shortened("x" * 90 + "\nshort") == "x" * 51 + "…\nshort"


def test_plan_and_elevations_hold_no_raster(drawn):
    for what in ("plan", "elevations"):
        for page in PdfReader(io.BytesIO(drawn(what, "A3", "metric")[0])).pages:
            assert "/XObject" not in page["/Resources"]


def test_the_plan_says_what_a_counter_asks(drawn, text_of):
    shown = text_of(drawn("plan", "A3", "metric")[0], 0)
    for part in (
        "fall zone of the rules, radius", "required clearance", "boundary of Ольгино field",
        "front anchor", "back anchor", "mast laid down", "print at 100 %", "Setbacks, horizontal",
        "grid", "Legend", "lane", "E ", "N ", "contours",
    ):  # fmt: skip
        assert part in shown


@pytest.mark.picture
def test_pictures_have_captions_and_each_viewpoint_has_one(
    judge, maker, new_document, text_of, monkeypatch
):
    monkeypatch.setattr(views_sheet, "_PX", 1.6)
    document = new_document("A3")
    assert views_sheet.draw_views_sheet(document, judge("metric"), maker("metric")) == ""
    content = document.content()
    shown = text_of(content, 0)
    for part in ("Overview", "Closest approach", "Seen from: gate", "perspective, not to scale"):
        assert part in shown
    assert "42.43 m from the mast" in shown
    assert len(PdfReader(io.BytesIO(content)).pages[0].images) == 3


# --- the command --------------------------------------------------------------------------------


def test_the_command_writes_the_same_file_twice_and_says_what_is_missing(
    run, tmp_path, no_pictures, monkeypatch
):
    monkeypatch.setitem(sheet_set.FOR, "neighbour", ("plan", "pictures"))
    files = [tmp_path / "one.pdf", tmp_path / "two.pdf"]
    for file in files:
        code, out, err = run(
            "sheets", SAMPLES / "flat_yard", "--paper", "a4", "--for", "Neighbour",
            "--date", "2026-05-01", "--revision", "A", "--units", "imperial", "-o", file,
        )  # fmt: skip
        assert code == 0
        assert str(file) in out
        assert "no pictures: no OpenGL here" in err
    assert files[0].read_bytes() == files[1].read_bytes()
    assert sorted(tmp_path.iterdir()) == files  # nothing half-written is left
    pages = PdfReader(files[0]).pages
    shown = [" ".join(page.extract_text().split()) for page in pages]
    assert "1 in = " in shown[0]
    assert "There are no pictures on this sheet" in shown[-1]
    assert all("2026-05-01" in page and f"of {len(pages)}" in page for page in shown)


@pytest.mark.parametrize(
    ("option", "value", "message"),
    [
        ("--paper", "A5", "take one of: A3, A4, letter, tabloid"),
        ("--for", "permits", "did you mean permit?"),
        ("--units", "si", "take one of: metric, imperial"),
        ("--date", "2026-02-30", "no day of the calendar"),
        ("--scale", "tiny", "write it like 1:250"),
        ("--out", "no/such/folder/set.pdf", "its folder is not there"),
        ("--out", ".", "this is a folder"),
    ],
)
def test_bad_options_end_with_code_2_and_a_way_out(option, value, message, run):
    code, out, err = run("sheets", SAMPLES / "flat_yard", option, value)
    assert code == 2
    assert out == ""
    assert message in err
    assert "Traceback" not in err


def test_a_set_that_fails_leaves_the_old_file_as_it_was(run, tmp_path, monkeypatch):
    file = tmp_path / "set.pdf"
    file.write_bytes(b"old")

    def fail(*arguments, **more):
        message = "no"
        raise DrawingError(message)

    monkeypatch.setattr(sheet_set, "_draw", fail)
    code, _, _ = run("sheets", SAMPLES / "flat_yard", "-o", file)
    assert code == 2
    assert file.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [file]


def test_a_box_knows_its_parts():
    box = Box(1.0, 2.0, 5.0, 8.0)
    assert (box.width, box.height, box.middle) == (4.0, 6.0, (3.0, 5.0))
    assert box.shrunk(1.0) == Box(2.0, 3.0, 4.0, 7.0)
    assert box.part(right=4.0) == Box(1.0, 2.0, 4.0, 8.0)
