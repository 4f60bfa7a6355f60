"""Tables on sheets: rows that break between sheets, with the heading repeated."""

from collections.abc import Sequence

from visual.sheets.page import Sheet
from visual.sheets.table_rows import (
    OVER,
    Cell,
    Row,
    Table,
    as_cell,
    column_places,
    draw_row,
    heading,
    row_height,
    row_lines,
)
from visual.sheets.text import line_height
from visual.sheets.way_down import NextSheet, WayDown, table_place


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
    left, width = table_place(sheet, left, width)
    places = column_places(table.columns, left, width)
    way = WayDown(sheet, next_sheet, y=top, first=next_top, low=bottom)
    run = _Run(way, table, places)
    for row in table.rows:
        run.put(row)
    return way.sheet, way.y


class _Run:
    """A table on its way down the sheets."""

    def __init__(self, way: WayDown, table: Table, places: Sequence[tuple[float, float]]) -> None:
        self._way, self._table, self._places = way, table, places
        self._heading = heading(table)
        self._head_lines = row_lines(way.sheet, self._heading, places, table.heading_size)
        self._head_high = row_height(self._head_lines, table.heading_size, 0.0)
        self._headless = True  # the heading has yet to be drawn on this sheet

    def put(self, row: Row) -> None:
        """Draw a row, in pieces if it is higher than a sheet."""
        table, way = self._table, self._way
        rest = row_lines(way.sheet, row, self._places, table.size)
        while any(rest):
            room = way.room - (self._head_high if self._headless else 0.0)
            high = row_height(rest, table.size, table.least)
            lines = int((room - 2 * OVER) / line_height(table.size))
            is_whole = high <= room
            if not is_whole and (lines < 1 or high <= way.most_room - self._head_high):
                self._turn_over()
                continue
            part = rest if is_whole else [cell[:lines] for cell in rest]
            rest = [] if is_whole else [cell[lines:] for cell in rest]
            self._draw(row, part)
            # boxes and lines to write on stand in the first piece only
            row = [Cell(bold=as_cell(one).bold, color=as_cell(one).color) for one in row]

    def _turn_over(self) -> None:
        if self._headless and self._way.at_the_top:
            message = "the heading of a table leaves no room for its rows"
            raise ValueError(message)
        self._way.turn_over()
        self._headless = True

    def _draw(self, row: Row, lines: Sequence[Sequence[str]]) -> None:
        way, table, places = self._way, self._table, self._places
        if self._headless:
            way.y = draw_row(
                way.sheet, self._heading, self._head_lines, places, table, way.y, is_head=True
            )
            self._headless = False
        way.y = draw_row(way.sheet, row, lines, places, table, way.y)


def table_height(sheet: Sheet, table: Table, *, width: float) -> float:
    """Return how high a table is if nothing breaks it. [mm]"""
    places = column_places(table.columns, 0.0, width)
    head = row_lines(sheet, heading(table), places, table.heading_size)
    return row_height(head, table.heading_size, 0.0) + sum(
        row_height(row_lines(sheet, row, places, table.size), table.size, table.least)
        for row in table.rows
    )
