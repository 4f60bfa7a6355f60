"""The list of setbacks: short beside the plan, in full on a sheet of its own."""

from collections.abc import Sequence

from visual.sheets.document import Document
from visual.sheets.furniture import draw_heading
from visual.sheets.labelling import shortened
from visual.sheets.table import draw_table
from visual.sheets.table_rows import Cell, Column, Table
from visual.sheets.verdicts import WORDS, JudgedSetback, status_color
from visual.units import UnitSystem, format_length

_PAD = 3.0


def setback_table(setbacks: Sequence[JudgedSetback], units: UnitSystem, *, is_full: bool) -> Table:
    """Return the table of setbacks; in full with where each rule comes from."""
    wide = 0.95 if units == "metric" else 1.15
    columns = [
        Column("", 0.45),
        Column("from … to …", 1.4),
        Column("found", wide, "right"),
        Column("asked", wide, "right"),
        Column("verdict", 1.15),
    ]
    if is_full:
        columns.append(Column("rule", 4.0))
    rows = [_row(one, units, is_full=is_full) for one in setbacks]
    return Table(columns, rows, size=8.0 if is_full else 6.0, head_size=8.0 if is_full else 5.6)


def _row(one: JudgedSetback, units: UnitSystem, *, is_full: bool) -> list[str | Cell]:
    finding, setback = one.finding, one.setback
    row: list[str | Cell] = [Cell(one.key, bold=True)]
    if setback is None:
        row += [finding.subject, "–", "–"]
    else:
        origin = setback.measured_from.replace("_", " ")
        kind = setback.to.replace("_", " ")
        name = setback.name if kind in setback.name else f"{kind} {setback.name}"
        found = format_length(setback.distance, units)
        row += [
            f"{origin} to {name if is_full else shortened(name)}",
            found,
            format_length(setback.required, units),
        ]
    word, color = WORDS[finding.status], status_color(finding.status)
    row.append(Cell(word, bold=finding.status in ("stop", "not checked"), color=color))
    if is_full:
        row.append(finding.basis if setback is not None else finding.message.in_units(units))
    return row


def draw_setback_sheet(document: Document, title: str, setbacks: Sequence[JudgedSetback]) -> None:
    """Draw the list of setbacks on a sheet of its own, or several."""
    sheet = document.sheet(f"{title}: setbacks")
    x, width = sheet.body.left + _PAD, sheet.body.width - 2 * _PAD
    y = draw_heading(sheet, x, sheet.body.top + _PAD, width, "Setbacks, horizontal distances")
    draw_table(
        sheet,
        setback_table(setbacks, document.heading.units, is_full=True),
        top=y,
        next_sheet=lambda: document.sheet(f"{title}: setbacks, continued"),
    )
