"""Tables to be read in rain with gloves on: large values, boxes to tick, lines to write on."""

from collections.abc import Sequence

from visual.scene.style import FAINT_INK, INK, RGB
from visual.sheets.cells import Blank, Cell, FieldTable, Head, Tick, Value
from visual.sheets.field_type import Type
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.text import line_height
from visual.sheets.way_down import HEAD_FILL, RULE, NextSheet, WayDown, table_place

_BAND: RGB = (248, 247, 244)
_MARKED: RGB = (253, 236, 224)
_FIRM = Pen(width=0.35)
_WRITE = Pen(width=0.25)
_CLOSER = 1.0  # notes come so much nearer to the end of a sheet than rows [mm]
_MOST = 52.0  # a column of words is never wider than this [mm]
_LEAST_BLANK = 23.0  # nor a line to write on shorter [mm]
_APART = 0.4  # of the free width goes between columns
_SMALLEST = 0.62  # of the usual size of type; below that a table is too wide for its sheet


def draw_field_table(
    sheet: Sheet,
    table: FieldTable,
    *,
    top: float,
    next_sheet: NextSheet,
    left: float | None = None,
    width: float | None = None,
) -> tuple[Sheet, float]:
    """Draw a table with title and notes; it goes on to further sheets with headings repeated.

    Parameters
    ----------
    sheet : Sheet
        Where it starts.
    table : FieldTable
        What to draw.
    top : float
        Its top. [mm]
    next_sheet : callable
        Starts the next sheet.
    left, width : float or None
        Left side and width; None: the body less 3 mm on each side. [mm]

    Returns
    -------
    sheet : Sheet
        The sheet that it ends on.
    y : float
        Below its notes. [mm]
    """
    left, width = table_place(sheet, left, width)
    drawn, way = _Drawn(sheet, table, left, width), WayDown(sheet, next_sheet, y=top)
    way.y = drawn.heading(way.y)
    for number, row in enumerate(table.rows):
        if drawn.row_height(row) > way.room:
            way.turn_over()
            drawn.sheet = way.sheet
            way.y = drawn.heading(way.y, again=True)
        fill = _MARKED if number in table.marked else _BAND if number % 2 else None
        way.y = drawn.row(row, way.y, fill=fill)
    way.y += 1.0
    for note in table.notes:
        if way.sheet.paragraph_height(width, note, size=drawn.type.note) > way.room + _CLOSER:
            way.turn_over()
        way.y = way.sheet.paragraph(left, way.y, width, note, size=drawn.type.note)
    return way.sheet, way.y


def field_table_height(sheet: Sheet, table: FieldTable, *, width: float | None = None) -> float:
    """Return how high a table is with title and notes if nothing breaks it. [mm]"""
    wide = sheet.body.width - 6.0 if width is None else width
    drawn = _Drawn(sheet, table, sheet.body.left, wide)
    rows = sum(drawn.row_height(row) for row in table.rows)
    size = drawn.type.note
    notes = sum(sheet.paragraph_height(wide, note, size=size) for note in table.notes)
    return drawn.heading_height + rows + notes + 1.0


class _Drawn:
    """One table on its way onto sheets."""

    def __init__(self, sheet: Sheet, table: FieldTable, left: float, width: float) -> None:
        self.sheet, self.table = sheet, table
        self.left, self.width = left, width
        self.type = Type(table.size * Type.on(sheet).k)
        # headings break over lines, so they need not shrink as much as the rows
        self.head_size = self.type.head / max(table.size, 0.6) ** 0.7
        self.small, self.widths = self._fit()

    def _fit(self) -> tuple[float, list[float]]:
        """Return a factor on the type of the cells with which all columns fit, and widths."""
        small = 1.0
        while True:
            least = [self._least(k, head, small) for k, head in enumerate(self.table.heads)]
            spare = self.width - sum(least)
            if spare >= 0 or small <= _SMALLEST:
                break
            small -= 0.04
        shares = [head.share for head in self.table.heads]
        whole = sum(shares)
        if spare < 0:  # too wide in any case: all columns give, and words are broken
            return small, [one * self.width / sum(least) for one in least]
        if not whole:
            return small, [one + spare / len(least) for one in least]
        # a part of what is left sets the columns of values apart, the rest is to write in
        apart = _APART * spare / len(least)
        least, spare = [one + apart for one in least], (1.0 - _APART) * spare
        return small, [
            one + spare * share / whole for one, share in zip(least, shares, strict=True)
        ]

    def _least(self, number: int, head: Head, small: float) -> float:
        words = max(self._text(word, self.head_size, True) for word in head.title.split())
        cells = [self._cell_width(row[number], small) for row in self.table.rows]
        return max([words, *cells]) + 2 * self.type.pad

    def _cell_width(self, cell: Cell, small: float) -> float:
        most = _MOST * self.type.k
        match cell:
            case Blank():
                return _LEAST_BLANK * self.type.k * (1.4 if "  " in cell.unit else 1.0)
            case Tick():
                return 7.0 * self.type.k
            case Value():
                large = self._text(cell.text, small * self.type.value, True)
                return min(most, max(large, self._text(cell.below, small * self.type.below)))
            case _:
                return min(most, self._text(cell, small * self.type.note))

    def _text(self, text: str, size: float, bold: bool = False) -> float:
        return self.sheet.text_width(text, size=size, bold=bold)

    # --- heights ---------------------------------------------------------------------------------

    @property
    def heading_height(self) -> float:
        """Height of title and heading. [mm]"""
        lines = max(len(one) for one in self._head_lines())
        title = self.sheet.paragraph_height(
            self.width, self.table.title, size=self.type.title, bold=True
        )
        return title + 0.8 + lines * line_height(self.head_size) + 1.6

    def row_height(self, row: Sequence[Cell]) -> float:
        """Return the height of a row. [mm]"""
        return max(self.type.row, max(self._high(cell, k) for k, cell in enumerate(row)) + 1.4)

    def _high(self, cell: Cell, number: int) -> float:
        return sum(len(lines) * line_height(size) for lines, size, _ in self._lines(cell, number))

    def _lines(self, cell: Cell, number: int) -> list[tuple[list[str], float, bool]]:
        """Return the lines of a cell with their size and whether they are bold."""
        room = self.widths[number] - 2 * self.type.pad
        match cell:
            case Value():
                size, under = self.small * self.type.value, self.small * self.type.below
                lines = [(self.sheet.letters.wrap(cell.text, room, size, bold=True), size, True)]
                if cell.below:
                    lines.append((self.sheet.letters.wrap(cell.below, room, under), under, False))
                return lines
            case Tick() | Blank():
                return []
            case _:
                size = self.small * self.type.note
                return [(self.sheet.letters.wrap(cell, room, size), size, False)] if cell else []

    def _head_lines(self) -> list[list[str]]:
        return [
            self.sheet.letters.wrap(
                head.title, width - 2 * self.type.pad, self.head_size, bold=True
            )
            for head, width in zip(self.table.heads, self.widths, strict=True)
        ]

    # --- drawing ---------------------------------------------------------------------------------

    def heading(self, top: float, *, again: bool = False) -> float:
        """Draw title and heading; return the y below them. [mm]"""
        title = self.table.title + (" (continued)" if again else "")
        y = self.sheet.paragraph(self.left, top, self.width, title, size=self.type.title, bold=True)
        y += 0.8
        lines = self._head_lines()
        high = max(len(one) for one in lines) * line_height(self.head_size) + 1.6
        self._ground(y, high, HEAD_FILL)
        left = self.left
        for head, width, text in zip(self.table.heads, self.widths, lines, strict=True):
            x = self._anchor(head.align, left, width)
            low = y + high - 0.8 - len(text) * line_height(self.head_size)
            words = "\n".join(text)
            self.sheet.text(x, low, words, size=self.head_size, bold=True, align=head.align)
            left += width
        right = self.left + self.width
        self.sheet.line(self.left, y, right, y, _FIRM)
        self.sheet.line(self.left, y + high, right, y + high, _FIRM)
        return y + high

    def _ground(self, top: float, high: float, fill: RGB) -> None:
        box = Box(self.left, top, self.left + self.width, top + high)
        self.sheet.area([box.outline[:-1]], fill)

    def _anchor(self, align: str, left: float, width: float) -> float:
        pad = self.type.pad
        return {"left": left + pad, "right": left + width - pad}.get(align, left + width / 2)

    def row(self, row: Sequence[Cell], top: float, *, fill: RGB | None) -> float:
        """Draw a row on a ground; return the y below it. [mm]"""
        high = self.row_height(row)
        left, right = self.left, self.left + self.width
        if fill is not None:
            self._ground(top, high, fill)
            self.sheet.line(left, top, right, top, RULE)
        for number, (cell, width) in enumerate(zip(row, self.widths, strict=True)):
            self._draw(cell, number, Box(left, top, left + width, top + high))
            left += width
        self.sheet.line(self.left, top + high, right, top + high, RULE)
        return top + high

    def _draw(self, cell: Cell, number: int, box: Box) -> None:
        if isinstance(cell, Tick):
            side = 5.2 * self.type.k
            x, y = box.middle
            self.sheet.tick_box(x - side / 2, y - side / 2, side)
            return
        if isinstance(cell, Blank):
            self._blank(cell, box)
            return
        align = self.table.heads[number].align
        x = self._anchor(align, box.left, box.width)
        y = box.top + (box.height - self._high(cell, number)) / 2
        for lines, size, bold in self._lines(cell, number):
            color = INK if bold or not isinstance(cell, Value) else FAINT_INK
            y = self.sheet.text(
                x, y, "\n".join(lines), size=size, bold=bold, color=color, align=align
            )

    def _blank(self, cell: Blank, box: Box) -> None:
        """Draw a line to write on, one for each part of the unit (feet and inches are two)."""
        units = cell.unit.split("  ")
        size, foot = self.type.head, box.bottom - 1.8 * self.type.k
        each = box.width / len(units)
        for number, unit in enumerate(units):
            right = box.left + (number + 1) * each - self.type.pad
            sign = self._text(unit, size) + 0.8
            start = box.left + number * each + self.type.pad
            self.sheet.line(start, foot, right - sign, foot, _WRITE)
            y = foot + 0.5 - line_height(size)
            self.sheet.text(right, y, unit, size=size, color=FAINT_INK, align="right")
