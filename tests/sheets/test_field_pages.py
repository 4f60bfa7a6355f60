"""Field, raise, findings and methods sheets as PDF: what is on them, and that nothing runs off."""

import datetime as dt
import io
import re
import shutil
from pathlib import Path
from typing import NamedTuple

import pytest
from pypdf import PdfReader

from visual.checks import Report, assess
from visual.crew.wire_schedule import wire_schedule
from visual.model import load_model
from visual.sheets.document import Document, Heading
from visual.sheets.field_sheet import draw_field_sheet
from visual.sheets.findings_sheet import draw_findings_sheet
from visual.sheets.methods_sheet import draw_methods_sheet
from visual.sheets.paper import MARGIN, PAPERS, POINT
from visual.sheets.raise_chart_sheet import TITLE as CHARTS
from visual.sheets.raise_order_sheet import draw_raise_order
from visual.sheets.raise_plan_sheet import draw_raise_plan
from visual.sheets.raise_sheet import draw_raise_sheet
from visual.units import format_length

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"
PAPER = "A4"  # with feet and inches: the least room there is


class Page(NamedTuple):
    text: str
    places: list[tuple[float, float]]  # of the beginning of each text [mm]
    source: bytes


def read(content: bytes) -> list[Page]:
    found = []
    for page in PdfReader(io.BytesIO(content)).pages:
        places: list[tuple[float, float]] = []

        def note(text, cm, tm, font, size, places=places):
            if text.strip():
                x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
                y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
                places.append((x * POINT, y * POINT))

        text = " ".join(page.extract_text(visitor_text=note).split())
        found.append(Page(text, places, page.get_contents().get_data()))
    return found


def drawn(report: Report, *draws) -> list[Page]:
    section = report.model.site.site
    heading = Heading(site=section.name, date=dt.date(2026, 6, 1), units=section.units)
    document = Document(paper=PAPERS[PAPER], heading=heading)
    for draw in draws:
        draw(document, report)
    return read(document.content())


@pytest.fixture(scope="module")
def pages(judged) -> list[Page]:
    draws = (draw_field_sheet, draw_raise_sheet, draw_findings_sheet, draw_methods_sheet)
    return drawn(judged("terrace"), *draws)


def named(pages: list[Page], title: str) -> list[Page]:
    """Return the pages whose title block holds a title."""
    return [page for page in pages if title in page.text.rpartition("Quarry Terrace")[2]]


def test_nothing_is_written_outside_of_the_frame(pages):
    size = PAPERS[PAPER]
    for page in pages:
        assert len(page.places) > 10
        for x, y in page.places:
            assert MARGIN - 0.1 <= x <= size.width - MARGIN
            assert MARGIN - 0.1 <= y <= size.height - MARGIN


def test_every_wire_is_on_the_field_sheet_with_where_to_cut_it(judged, pages):
    field = " ".join(page.text for page in named(pages, "Field sheet"))
    for row in wire_schedule(judged("terrace").model).rows:
        assert format_length(row.marks.cut, "imperial") in field
    assert "PROVISIONAL" in field


def test_every_finding_is_there_and_headings_are_repeated(judged, pages):
    found = named(pages, "Findings")
    whole = " ".join(page.text for page in found)
    for finding in judged("terrace").findings:
        assert " ".join(finding.subject.split()[:2]) in whole
    assert len(found) > 1
    assert all("what to do, and where the limit comes from" in page.text for page in found)


def test_the_charts_are_vectors(pages):
    (charts,) = named(pages, CHARTS)
    assert len(re.findall(rb"\bc\b", charts.source)) > 500  # letters and marks are curves
    assert b" Do\n" not in charts.source  # no picture is put on


def test_holds_are_on_the_order_of_work_with_their_angle(pages):
    order = " ".join(page.text for page in named(pages, "order of work"))
    assert "At 51°, 16 ft 5 7/16 in driven: gin pole pulled" in order
    assert order.count("STOP") >= 12
    assert "Rotor released last." in order


def test_methods_end_the_set(pages):
    assert "how well the source is known" in named(pages, "Inputs and methods")[-1].text


def test_a_site_with_unknown_anchor_height_says_so_instead_of_numbers(tmp_path):
    shutil.copytree(SAMPLES / "flat_yard", tmp_path / "yard")
    file = tmp_path / "yard" / "site.toml"
    text = file.read_text(encoding="utf-8")
    far = "[anchors.left]\nposition = [960.0, 2040.0]\n\n[gin_pole]"
    file.write_text(text.replace("[gin_pole]", far), encoding="utf-8")
    report = assess(load_model(file))
    pages = drawn(report, draw_field_sheet, draw_raise_plan, draw_raise_order, draw_findings_sheet)
    assert "Nothing can be measured off yet" in pages[0].text
    assert "the ground at its anchor is not known" in " ".join(page.text for page in pages)
