"""The raise sheet: who stands where, order of work, table and charts of the raise."""

from dataclasses import replace

from visual.checks import Report
from visual.sheets.document import Document
from visual.sheets.field_table import draw_field_table, field_table_height
from visual.sheets.raise_chart_sheet import draw_raise_charts
from visual.sheets.raise_order_sheet import draw_raise_order
from visual.sheets.raise_plan_sheet import draw_raise_plan
from visual.sheets.raise_rows import raise_rows

TITLE = "Raise sheet: angle, travel and pull"
_SIZES = (0.8, 0.74, 0.68, 0.62)  # of type; the largest with which all is on one sheet


def draw_raise_sheet(document: Document, report: Report) -> None:
    """Draw the raise sheet, on as many sheets as it needs."""
    draw_raise_plan(document, report)
    draw_raise_order(document, report)
    draw_raise_table(document, report)
    draw_raise_charts(document, report)


def draw_raise_table(document: Document, report: Report) -> None:
    """Draw the table of the raise."""
    sheet = document.sheet(TITLE)
    table = raise_rows(report, units=document.heading.units)
    room = sheet.body.height - 5.0
    fitting = [
        one
        for one in (replace(table, size=size) for size in _SIZES)
        if field_table_height(sheet, one) <= room
    ]
    draw_field_table(
        sheet,
        fitting[0] if fitting else table,
        top=sheet.body.top + 3.0,
        next_sheet=lambda: document.sheet(f"{TITLE}, continued"),
    )
