"""Tables on sheets: cells that wrap, boxes to tick, lines to write on, breaks between sheets."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from visual.scene.style import FAINT_INK, INK, RGB
from visual.sheets.page import Pen, Sheet
from visual.sheets.text import Align, line_height

NextSheet = Callable[[], Sheet]
"""Starts the sheet that a table goes on to."""

_HEAD_FILL: RGB = (236, 234, 230)
_RULE = Pen(width=0.13, color=FAINT_INK)
_FIRM = Pen(width=0.3)
_SIDE, _OVER = 1.2, 0.8  # free space beside and over the text of a cell [mm]
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


def draw_table(
    sheet: Sheet,
    table: Table,
    *,
    top: float,
    next_sheet: NextSheet,
    left: float | None = None,
    width: float | None = None,
    bottom: float | None = None,
    next_top: float | None = None,
) -> tuple[Sheet, float]:
    """Draw a table; where a sheet is full go on to the next one and repeat the heading there.

    Parameters
    ----------
    sheet : Sheet
        Where it starts.
    table : Table
        What to draw.
    top : float
        Its top. [mm]
    next_sheet : callable
        Starts the next sheet.
    left, width : float or None
        Left side and width; None: the body of the sheet less 3 mm on each side. [mm]
    bottom : float or None
        How far down rows may reach; None: 2 mm above the end of the body. [mm]
    next_top : float or None
        Top on the following sheets; None: 4 mm below the top of the body. [mm]

    Returns
    -------
    sheet : Sheet
        The sheet that it ends on.
    y : float
        Below its last row. [mm]
    """
    body = sheet.body
    left = body.left + 3.0 if left is None else left
    places = _places(table.columns, left, body.right - 3.0 - left if width is None else width)
    first = body.top + 4.0 if next_top is None else next_top
    low = body.bottom - 2.0 if bottom is None else bottom
    run = _Run(sheet, table, places, next_sheet, first=first, low=low, y=top)
    for row in table.rows:
        run.put(row)
    return run.sheet, run.y


class _Run:
    """A table on its way down the sheets."""

    def __init__(
        self,
        sheet: Sheet,
        table: Table,
        places: Sequence[tuple[float, float]],
        next_sheet: NextSheet,
        *,
        first: float,
        low: float,
        y: float,
    ) -> None:
        self.sheet, self.y = sheet, y
        self._table, self._places, self._next = table, places, next_sheet
        self._first, self._low = first, low
        self._heading = _heading(table)
        self._head_lines = _cells(sheet, self._heading, places, table.heading_size)
        self._head_high = _height(self._head_lines, table.heading_size, 0.0)
        self._headless = True  # the heading has yet to be drawn on this sheet

    def put(self, row: Row) -> None:
        """Draw a row, in pieces if it is higher than a sheet."""
        table = self._table
        rest = _cells(self.sheet, row, self._places, table.size)
        while any(rest):
            room = self._low - self.y - (self._head_high if self._headless else 0.0)
            high = _height(rest, table.size, table.least)
            lines = int((room - 2 * _OVER) / line_height(table.size))
            is_whole = high <= room
            if not is_whole and (lines < 1 or high <= self._low - self._first - self._head_high):
                self._turn_over()
                continue
            part = rest if is_whole else [cell[:lines] for cell in rest]
            rest = [] if is_whole else [cell[lines:] for cell in rest]
            self._draw(row, part)
            # boxes and lines to write on stand in the first piece only
            row = [Cell(bold=_cell(one).bold, color=_cell(one).color) for one in row]

    def _turn_over(self) -> None:
        if self._headless and self.y <= self._first:
            message = "the heading of a table leaves no room for its rows"
            raise ValueError(message)
        self.sheet, self.y, self._headless = self._next(), self._first, True

    def _draw(self, row: Row, lines: Sequence[Sequence[str]]) -> None:
        sheet, table, places = self.sheet, self._table, self._places
        if self._headless:
            self.y = _draw_row(
                sheet, self._heading, self._head_lines, places, table, self.y, is_head=True
            )
            self._headless = False
        self.y = _draw_row(sheet, row, lines, places, table, self.y)


def table_height(sheet: Sheet, table: Table, *, width: float) -> float:
    """Return how high a table is if nothing breaks it. [mm]"""
    places = _places(table.columns, 0.0, width)
    head = _height(
        _cells(sheet, _heading(table), places, table.heading_size), table.heading_size, 0.0
    )
    return head + sum(
        _height(_cells(sheet, row, places, table.size), table.size, table.least)
        for row in table.rows
    )


def _heading(table: Table) -> list[Cell]:
    return [Cell(column.head, bold=True, fill=_HEAD_FILL) for column in table.columns]


def _places(columns: Sequence[Column], left: float, width: float) -> list[tuple[float, float]]:
    """Return the left and right side of each column. [mm]"""
    whole = sum(column.share for column in columns)
    places = []
    for column in columns:
        right = left + width * column.share / whole
        places.append((left, right))
        left = right
    return places


def _cell(cell: str | Cell) -> Cell:
    return Cell(cell) if isinstance(cell, str) else cell


def _cells(
    sheet: Sheet, row: Row, places: Sequence[tuple[float, float]], size: float
) -> list[list[str]]:
    """Return the lines of each cell of a row."""
    found = []
    for one, (left, right) in zip(row, places, strict=True):
        cell = _cell(one)
        room = right - left - 2 * _SIDE
        if cell.kind == "tick":
            room -= (_BOX + 0.5) * line_height(size)
        found.append(sheet.letters.wrap(cell.text, room, size, bold=cell.bold))
    return found


def _height(lines: Sequence[Sequence[str]], size: float, least: float) -> float:
    most = max((len(cell) for cell in lines), default=0)
    return max(least, most * line_height(size) + 2 * _OVER)


def _draw_row(
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
    bottom = top + _height(lines, size, 0.0 if is_head else table.least)
    for one, (left, right) in zip(row, places, strict=True):
        fill = _cell(one).fill
        if fill is not None:
            corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
            sheet.area([corners], fill)
    for one, text, column, place in zip(row, lines, table.columns, places, strict=True):
        _draw_cell(sheet, _cell(one), text, column.align, place, (top, bottom), size)
    ends = (places[0][0], places[-1][1])
    if is_head:
        sheet.line(ends[0], top, ends[1], top, _FIRM)
    uprights = [[(x, top), (x, bottom)] for x in (ends[0], *(right for _, right in places))]
    sheet.lines(uprights, _RULE)
    sheet.line(ends[0], bottom, ends[1], bottom, _FIRM if is_head else _RULE)
    return bottom


def _draw_cell(
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
    y = rows[0] + max(_OVER, (rows[1] - rows[0] - high) / 2)
    if cell.kind == "tick":
        side = _BOX * line
        middle = y + line / 2 if cell.text else (rows[0] + rows[1]) / 2
        x = left if cell.text else (left + right - side) / 2
        sheet.tick_box(x, middle - side / 2, side)
        left += side + 0.5 * line
    if cell.kind == "write":
        start = left + (sheet.text_width(f"{cell.text} ", size=size) if cell.text else 0.0)
        foot = rows[1] - 1.4
        sheet.line(start, foot, right, foot, _RULE)
    x = {"left": left, "center": (left + right) / 2, "right": right}[align]
    for text in lines:
        sheet.text(x, y, text, size=size, bold=cell.bold, color=cell.color, align=align)
        y += line
