"""Tables: what is in them, and how one row is drawn; cells wrap, are ticked or written in."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from visual.scene.style import INK, RGB
from visual.sheets.page import Pen, Sheet
from visual.sheets.text import Align, line_height
from visual.sheets.way_down import HEAD_FILL, RULE

_FIRM = Pen(width=0.3)
OVER = 0.8
"""Free space over and under the text of a cell. [mm]"""

_SIDE = 1.2  # and beside it [mm]
_BOX = 1.15  # side of a box to tick, in lines of type


@dataclass(frozen=True)
class Column:
    """One column.

    Parameters
    ----------
    head : str
        Its word; a line break starts a new line.
    share : float
        Its part of the width, against the other columns.
    align : {"left", "center", "right"}
        Where its text stands; numbers stand right.
    """

    head: str
    share: float = 1.0
    align: Align = "left"


@dataclass(frozen=True)
class Cell:
    """One cell that is more than a text.

    Parameters
    ----------
    text : str
        What it says.
    kind : {"text", "tick", "write"}
        ``"tick"``: an empty box before the text; ``"write"``: a line to write on after it.
    bold : bool
        Type.
    color : tuple of int
        Ink.
    fill : tuple of int or None
        Ground of the cell.
    """

    text: str = ""
    kind: Literal["text", "tick", "write"] = "text"
    bold: bool = False
    color: RGB = INK
    fill: RGB | None = None


Row = Sequence[str | Cell]


@dataclass(frozen=True)
class Table:
    """A table.

    Parameters
    ----------
    columns : sequence of Column
        Its columns.
    rows : sequence of rows
        As many cells as columns each.
    size : float
        Of type. [pt]
    head_size : float or None
        Of the heading; None: a little smaller than the rows. [pt]
    least : float
        Smallest height of a row, e.g. to write in. [mm]
    """

    columns: Sequence[Column]
    rows: Sequence[Row] = field(repr=False)
    size: float = 8.0
    head_size: float | None = None
    least: float = 0.0

    @property
    def heading_size(self) -> float:
        """Type of the heading. [pt]"""
        return self.head_size or 0.86 * self.size


def heading(table: Table) -> list[Cell]:
    """Return the row of the heading."""
    return [Cell(column.head, bold=True, fill=HEAD_FILL) for column in table.columns]


def column_places(
    columns: Sequence[Column], left: float, width: float
) -> list[tuple[float, float]]:
    """Return the left and right side of each column. [mm]"""
    whole = sum(column.share for column in columns)
    places = []
    for column in columns:
        right = left + width * column.share / whole
        places.append((left, right))
        left = right
    return places


def as_cell(cell: str | Cell) -> Cell:
    """Return a cell for what stands in a row."""
    return Cell(cell) if isinstance(cell, str) else cell


def row_lines(
    sheet: Sheet, row: Row, places: Sequence[tuple[float, float]], size: float
) -> list[list[str]]:
    """Return the lines of each cell of a row."""
    found = []
    for one, (left, right) in zip(row, places, strict=True):
        cell = as_cell(one)
        room = right - left - 2 * _SIDE
        if cell.kind == "tick":
            room -= (_BOX + 0.5) * line_height(size)
        found.append(sheet.letters.wrap(cell.text, room, size, bold=cell.bold))
    return found


def row_height(lines: Sequence[Sequence[str]], size: float, least: float) -> float:
    """Return how high a row is, from the lines of its cells. [mm]"""
    most = max((len(cell) for cell in lines), default=0)
    return max(least, most * line_height(size) + 2 * OVER)


def draw_row(
    sheet: Sheet,
    row: Row,
    lines: Sequence[Sequence[str]],
    places: Sequence[tuple[float, float]],
    table: Table,
    top: float,
    *,
    is_head: bool = False,
) -> float:
    """Draw one row and return the y below it. [mm]"""
    size = table.heading_size if is_head else table.size
    bottom = top + row_height(lines, size, 0.0 if is_head else table.least)
    for one, (left, right) in zip(row, places, strict=True):
        fill = as_cell(one).fill
        if fill is not None:
            corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
            sheet.area([corners], fill)
    for one, text, column, place in zip(row, lines, table.columns, places, strict=True):
        _drawas_cell(sheet, as_cell(one), text, column.align, place, (top, bottom), size)
    ends = (places[0][0], places[-1][1])
    if is_head:
        sheet.line(ends[0], top, ends[1], top, _FIRM)
    uprights = [[(x, top), (x, bottom)] for x in (ends[0], *(right for _, right in places))]
    sheet.lines(uprights, RULE)
    sheet.line(ends[0], bottom, ends[1], bottom, _FIRM if is_head else RULE)
    return bottom


def _drawas_cell(
    sheet: Sheet,
    cell: Cell,
    lines: Sequence[str],
    align: Align,
    place: tuple[float, float],
    rows: tuple[float, float],
    size: float,
) -> None:
    left, right = place[0] + _SIDE, place[1] - _SIDE
    line = line_height(size)
    high = len(lines) * line
    y = rows[0] + max(OVER, (rows[1] - rows[0] - high) / 2)
    if cell.kind == "tick":
        side = _BOX * line
        middle = y + line / 2 if cell.text else (rows[0] + rows[1]) / 2
        x = left if cell.text else (left + right - side) / 2
        sheet.tick_box(x, middle - side / 2, side)
        left += side + 0.5 * line
    if cell.kind == "write":
        start = left + (sheet.text_width(f"{cell.text} ", size=size) if cell.text else 0.0)
        foot = rows[1] - 1.4
        sheet.line(start, foot, right, foot, RULE)
    x = {"left": left, "center": (left + right) / 2, "right": right}[align]
    for text in lines:
        sheet.text(x, y, text, size=size, bold=cell.bold, color=cell.color, align=align)
        y += line
