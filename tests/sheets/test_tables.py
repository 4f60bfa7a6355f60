"""Tables on sheets: nothing is lost where they break, and the heading comes again."""

import io

import pytest
from pypdf import PdfReader

from visual.sheets.table import draw_table, table_height
from visual.sheets.table_rows import Cell, Column, Table

COLUMNS = [Column("No.", 0.4, "right"), Column("Action", 3.0), Column("Read", 1.0)]


def drawn(document, table, **places):
    sheet = document.sheet("First")
    last, y = draw_table(
        sheet, table, top=14.0, next_sheet=lambda: document.sheet("More"), **places
    )
    count = len(document.sheets)
    pages = PdfReader(io.BytesIO(document.content())).pages
    assert len(pages) == count
    return [" ".join(page.extract_text().split()) for page in pages], last, y


def test_rows_go_on_and_the_heading_is_repeated(new_document):
    document = new_document()
    rows = [[str(k), f"step-{k}-a step-{k}-b", Cell(kind="write")] for k in range(80)]
    pages, last, y = drawn(document, Table(COLUMNS, rows, least=7.0))
    assert len(pages) > 3
    assert all("No. Action Read" in page for page in pages)
    whole = " ".join(pages)
    places = [whole.index(f"step-{k}-a step-{k}-b") for k in range(80)]
    assert places == sorted(places)
    assert last.title == "More"
    assert y < last.body.bottom


def test_a_row_higher_than_a_sheet_is_broken_and_its_box_stands_once(new_document, paths_of):
    document = new_document()
    text = " ".join(f"w{k}" for k in range(700))
    table = Table(COLUMNS, [[Cell("1", kind="tick"), text, ""], ["2", "after", ""]], size=14.0)
    sheet = document.sheet("First")
    draw_table(sheet, table, top=14.0, next_sheet=lambda: document.sheet("More"))
    count, content = len(document.sheets), document.content()
    assert count > 2
    pages = PdfReader(io.BytesIO(content)).pages
    whole = " ".join(" ".join(page.extract_text().split()) for page in pages)
    assert all(f"w{k} " in f"{whole} " for k in range(0, 700, 13))
    assert "2 after" in whole
    boxes = [
        path
        for number in range(count)
        for path in paths_of(content, number)
        if path.closed and path.size == pytest.approx([7.1, 7.1], abs=0.1)
    ]
    assert len(boxes) == 1


def test_a_measured_table_is_as_high_as_it_is_drawn(new_document):
    document = new_document()
    table = Table(COLUMNS, [["1", "some words " * 12, "x"], ["2", "y", "z"]])
    sheet = document.sheet("One")
    _, y = draw_table(sheet, table, top=14.0, width=120.0, next_sheet=pytest.fail)
    assert y - 14.0 == pytest.approx(table_height(sheet, table, width=120.0))


def test_a_heading_without_room_for_rows_is_refused(new_document):
    document = new_document()
    with pytest.raises(ValueError, match="leaves no room"):
        drawn(document, Table(COLUMNS, [["1", "x", "y"]]), bottom=17.0, next_top=14.0)
