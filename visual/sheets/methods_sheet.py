"""The sheet on inputs and methods, with sources."""

from collections.abc import Sequence

from visual.checks import Report
from visual.scene.style import FAINT_INK
from visual.sheets.document import Document
from visual.sheets.field_type import Type
from visual.sheets.methods import METHODS
from visual.sheets.methods_rows import InputRow, input_rows, limit_rows, place_rows
from visual.sheets.page import Sheet
from visual.sheets.table import draw_table, table_height
from visual.sheets.table_rows import Cell, Column, Row, Table

TITLE = "Inputs and methods"
_PAD = 3.0

_PLACE = (Column("what", 1.0), Column("value", 4.0))
_INPUTS = (
    Column("key of the site file", 2.1),
    Column("value", 1.6, "right"),
    Column("meaning", 3.6),
    Column("from", 2.6),
)
_METHODS = (
    Column("number", 1.5),
    Column("how it is made", 3.8),
    Column("source", 2.7),
    Column("how well the source is known", 2.0),
)


def draw_methods_sheet(document: Document, report: Report) -> None:
    """Draw inputs, limits and methods, on as many sheets as they need."""
    units = document.heading.units
    flow = _Flow(document)
    flow.table("Place and data", _PLACE, [list(row) for row in place_rows(report, units=units)])
    flow.table("Inputs", _INPUTS, [_row(row) for row in input_rows(report, units=units)])
    flow.table("Limits", _INPUTS, [_row(row) for row in limit_rows(report, units=units)])
    methods = [[one.what, one.how, one.source or "–", one.standing] for one in METHODS]
    flow.table("Methods", _METHODS, methods)


def _row(row: InputRow) -> Row:
    """Return a row; what is only a default is pale, what the site file states is bold."""
    value = Cell(row.value, bold=row.is_stated)
    origin = row.origin if row.is_stated else Cell(row.origin, color=FAINT_INK)
    return row.key, value, row.meaning, origin


class _Flow:
    """Tables one below the other, on as many sheets as they need."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.sheet = document.sheet(TITLE)
        self.y = self.sheet.body.top + _PAD
        self.type = Type.on(self.sheet)

    def _next(self) -> Sheet:
        return self.document.sheet(f"{TITLE}, continued")

    def table(self, title: str, columns: Sequence[Column], rows: Sequence[Row]) -> None:
        """Draw a table with its title; it starts on a new sheet where nothing of it would fit."""
        body, size = self.sheet.body, 0.92 * self.type.below
        table = Table(columns, rows, size=size)
        start = Table(columns, rows[:3], size=size)
        needed = 8.0 * self.type.k + table_height(self.sheet, start, width=body.width - 2 * _PAD)
        if self.y + needed > body.bottom - 2.0:
            self.sheet = self._next()
            self.y = self.sheet.body.top + _PAD
        y = self.sheet.text(body.left + _PAD, self.y, title, size=self.type.title, bold=True)
        self.sheet, y = draw_table(self.sheet, table, top=y + 0.8, next_sheet=self._next)
        self.y = y + 4.0
