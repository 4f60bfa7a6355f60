"""The field sheet: stake-out, as-built readings and wire schedule, to be filled in by hand."""

from visual.checks import Report
from visual.crew.stake import StakeOut, stake_out
from visual.crew.wire_schedule import WireSchedule, wire_schedule
from visual.errors import HeightUnknownError
from visual.scene.style import FAINT_INK, VERMILION
from visual.sheets.cells import FieldTable
from visual.sheets.document import Document
from visual.sheets.field_rows import as_built_table, set_out_table, tape_table, wire_table
from visual.sheets.field_table import draw_field_table, field_table_height
from visual.sheets.field_type import Type
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.stake_sketch import draw_stake_sketch

TITLE = "Field sheet: stake-out and wires"
_GAP = 4.0  # between tables [mm]


def draw_field_sheet(document: Document, report: Report) -> None:
    """Draw the field sheet, on as many sheets as it needs."""
    sheet = document.sheet(TITLE)
    try:
        stake = stake_out(report.model, report.raised.start)
        schedule = wire_schedule(report.model)
    except HeightUnknownError as error:
        _unknown(sheet, str(error))
        return
    _Field(document, report, sheet).draw(stake, schedule)


def _unknown(sheet: Sheet, reason: str) -> None:
    kind = Type.on(sheet)
    text = f"Nothing can be measured off yet: {reason}."
    body = sheet.body.shrunk(6.0)
    sheet.paragraph(body.left, body.top, body.width, text, size=kind.title, bold=True)


class _Field:
    """The field sheet on its way onto paper."""

    def __init__(self, document: Document, report: Report, sheet: Sheet) -> None:
        self.document, self.report, self.sheet = document, report, sheet
        self.units = document.heading.units
        self.y = sheet.body.top + 3.0
        self.type = Type.on(sheet)

    def draw(self, stake: StakeOut, schedule: WireSchedule) -> None:
        """Draw everything."""
        self._standing(schedule)
        self._table(set_out_table(stake, units=self.units))
        self._tapes(stake)
        self._table(as_built_table(self.report.model, units=self.units))
        self._table(wire_table(schedule, units=self.units))
        self._signed()

    def _standing(self, schedule: WireSchedule) -> None:
        """Say in large type whether the numbers may be cut to."""
        text = "FINAL: anchors measured. Cut to these numbers."
        if schedule.provisional:
            text = "PROVISIONAL: anchors planned. Do not cut before they are in and measured."
        body, color = self.sheet.body, VERMILION if schedule.provisional else None
        x, size = body.left + 3.0, self.type.title
        if color:
            self.y = self.sheet.text(x, self.y, text, size=size, bold=True, color=color)
        else:
            self.y = self.sheet.text(x, self.y, text, size=size, bold=True)
        self.y += 1.5

    def _next(self) -> Sheet:
        return self.document.sheet(f"{TITLE}, continued")

    def _make_room(self, high: float) -> None:
        """Start a new sheet if so much does not fit on this one but would on a fresh one. [mm]"""
        body = self.sheet.body
        is_fresh = self.y < body.top + 5.0
        if self.y + high > body.bottom - 2.0 and not is_fresh and high <= body.height - 6.0:
            self.sheet = self._next()
            self.y = self.sheet.body.top + 3.0

    def _table(self, table: FieldTable) -> None:
        self._make_room(field_table_height(self.sheet, table))
        self.sheet, y = draw_field_table(self.sheet, table, top=self.y, next_sheet=self._next)
        self.y = y + _GAP

    def _tapes(self, stake: StakeOut) -> None:
        """Draw the tapes that check the pegs, with a sketch of them beside."""
        table = tape_table(stake, units=self.units)
        body = self.sheet.body
        width = 0.56 * body.width
        high = field_table_height(self.sheet, table, width=width)
        self._make_room(high)
        sheet, top = self.sheet, self.y
        self.sheet, y = draw_field_table(
            sheet, table, top=top, next_sheet=self._next, width=width, left=body.left + 3.0
        )
        if self.sheet is sheet:
            left = body.left + width + 9.0
            box = Box(left, top, body.right - 3.0, min(top + max(high, 60.0), body.bottom - 2.0))
            draw_stake_sketch(sheet, box, self.report.model, stake, units=self.units)
            y = max(y, box.bottom)
        self.y = y + _GAP

    def _signed(self) -> None:
        """Leave a line for who read, when, and with what."""
        self._make_room(12.0 * self.type.k)
        body, size = self.sheet.body, self.type.note
        parts = (
            "read by",
            "date",
            "tape",
            "gauge",
            "wire at °C" if self.units == "metric" else "wire at °F",
        )
        each = (body.width - 6.0) / len(parts)
        foot = self.y + 8.0 * self.type.k
        for number, name in enumerate(parts):
            left = body.left + 3.0 + number * each
            start = left + self.sheet.text_width(f"{name} ", size=size)
            self.sheet.text(left, foot - 0.9 * size * 25.4 / 72 - 0.4, name, size=size)
            self.sheet.line(start, foot, left + each - 4.0, foot)
        self._notes(foot + 6.0)

    def _notes(self, top: float) -> None:
        """Leave lines for whatever else there is to write down."""
        body, apart = self.sheet.body, 9.0 * self.type.k
        if top + 2 * apart > body.bottom - 2.0:
            return
        self.sheet.text(body.left + 3.0, top, "notes", size=self.type.note)
        y = top + apart
        while y <= body.bottom - 3.0:
            self.sheet.line(body.left + 3.0, y, body.right - 3.0, y, Pen(0.13, FAINT_INK))
            y += apart
