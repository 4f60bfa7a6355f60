"""The raise sheet: who stands where, order of work, table and charts of the raise."""

from dataclasses import replace

from visual.checks import Report
from visual.sheets.document import Document
from visual.sheets.field_table import draw_field_table, field_table_height
from visual.sheets.field_type import Type
from visual.sheets.raise_chart_sheet import draw_raise_charts
from visual.sheets.raise_order_sheet import draw_raise_order
from visual.sheets.raise_plan_sheet import draw_raise_plan
from visual.sheets.raise_rows import raise_rows

TITLE = "Raise sheet: angle, travel and pull"
_SIZES = (0.8, 0.74, 0.68, 0.62, 0.56, 0.52)  # of type; the largest with which all is on one sheet
_LEAST = 9.5  # but never smaller than this [pt]


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
    kind = Type.on(sheet)
    sizes = [size for size in _SIZES if size * kind.value >= _LEAST]
    tries = [replace(table, size=size) for size in sizes]
    fitting = [one for one in tries if field_table_height(sheet, one) <= room]
    draw_field_table(
        sheet,
        fitting[0] if fitting else table,
        top=sheet.body.top + 3.0,
        next_sheet=lambda: document.sheet(f"{TITLE}, continued"),
    )
