"""The findings sheet: verdict, what was not checked, and every finding with its basis."""

from collections.abc import Sequence

from visual.checks import Report
from visual.scene.style import FAINT_INK, INK, PAPER
from visual.sheets.document import Document
from visual.sheets.field_type import Type
from visual.sheets.findings_rows import (
    NEVER_CHECKED,
    SIGNS,
    FindingRow,
    counts,
    finding_rows,
    not_checked_lines,
    standing_words,
    verdict,
)
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.table import draw_table
from visual.sheets.table_rows import Cell, Column, Row, Table
from visual.sheets.text import line_height
from visual.units import UnitSystem

TITLE = "Findings"
_PAD = 3.0
_HEADS = (
    Column("status", 1.15),
    Column("check", 1.25),
    Column("what", 2.1),
    Column("found", 1.15, "right"),
    Column("limit", 1.15, "right"),
    Column("margin", 1.15, "right"),
    Column("at", 0.65, "right"),
    Column("standing", 1.1),
    Column("what to do, and where the limit comes from", 5.2),
)


def draw_findings_sheet(document: Document, report: Report) -> None:
    """Draw the findings, on as many sheets as they need."""
    sheet = document.sheet(TITLE)
    y = _verdict(sheet, document, report)
    y = _unchecked(sheet, y, report, document.heading.units)
    rows = finding_rows(report, units=document.heading.units)
    table = Table(_HEADS, [_row(row) for row in rows], size=7.4 * Type.on(sheet).k)
    draw_table(sheet, table, top=y + 1.0, next_sheet=lambda: document.sheet(f"{TITLE}, continued"))


def _verdict(sheet: Sheet, document: Document, report: Report) -> float:
    """Write the verdict in large type, with the count of each status; return the y below."""
    kind, body = Type.on(sheet), sheet.body
    x, y = body.left + _PAD, body.top + _PAD
    right = _count_boxes(sheet, y, report)
    size = 1.35 * kind.title
    y = sheet.paragraph(x, y, right - x - 4.0, verdict(report), size=size, bold=True)
    words = standing_words(report, units=document.heading.units)
    return max(sheet.paragraph(x, y + 0.5, right - x - 4.0, words, size=kind.note), y + 3.0) + 2.0


def _count_boxes(sheet: Sheet, top: float, report: Report) -> float:
    """Draw a box with the number of findings of each status; return the left side of them."""
    kind = Type.on(sheet)
    width, high = 29.0 * kind.k, 12.5 * kind.k
    found = counts(report)
    left = sheet.body.right - _PAD - len(found) * width
    for number, (status, count) in enumerate(found.items()):
        word, color = SIGNS[status]
        box = Box(left + number * width, top, left + (number + 1) * width - 1.5, top + high)
        is_none = count == 0
        ink = FAINT_INK if is_none else color
        sheet.box(box, Pen(width=0.4, color=ink), fill=PAPER)
        x = box.middle[0]
        size = 1.2 * kind.value
        sheet.text(x, top + 0.4, str(count), size=size, bold=True, color=ink, align="center")
        low = box.bottom - line_height(kind.below) - 0.6
        sheet.text(x, low, word, size=kind.below, bold=not is_none, color=ink, align="center")
    return left


def _unchecked(sheet: Sheet, top: float, report: Report, units: UnitSystem) -> float:
    """Write what nobody looked at, here and at all, in two columns; return the y below."""
    kind, body = Type.on(sheet), sheet.body
    middle = (body.left + body.right) / 2
    here = not_checked_lines(report, units=units) or (
        "Everything that can be checked was checked.",
    )
    columns = (
        (body.left + _PAD, "Not checked on this site, and why", here),
        (middle + _PAD, "Never checked: ask whoever knows", NEVER_CHECKED),
    )
    width = middle - body.left - 2 * _PAD
    lowest = top
    for left, title, lines in columns:
        y = sheet.text(left, top, title, size=kind.head, bold=True) + 0.3
        sheet.line(left, y, left + width, y, Pen(width=0.25))
        lowest = max(lowest, _listed(sheet, left, y + 0.8, width, lines))
    return lowest + 1.5


def _listed(sheet: Sheet, left: float, y: float, width: float, lines: Sequence[str]) -> float:
    size = 0.96 * Type.on(sheet).below
    for text in lines:
        sheet.mark("square", left + 0.9, y + line_height(size) / 2, 1.0)
        y = sheet.paragraph(left + 3.0, y, width - 3.0, text, size=size) + 0.25
    return y


def _row(row: FindingRow) -> Row:
    word, color = SIGNS[row.status]
    loud = row.status in ("stop", "not checked")
    status = Cell(word, bold=True, color=PAPER if loud else color, fill=color if loud else None)
    basis = f" [{row.basis}]" if row.basis else ""
    said = f"{row.message}{basis}" if row.status != "ok" else row.basis or row.message
    return (
        status,
        row.check,
        Cell(row.subject, bold=row.status == "stop"),
        row.found,
        row.limit,
        row.margin,
        row.angle,
        Cell(row.standing, color=INK),
        said,
    )
