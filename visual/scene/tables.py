"""Tables in the panel beside a drawing."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from PIL import Image

from visual.scene.fonts import line_height, wrap
from visual.scene.layers import AnyLayer, TableLayer
from visual.scene.lettering import draw_lines, draw_text
from visual.scene.sheet import Rect, Sheet
from visual.scene.style import FAINT_INK, INK, RULE, TYPE

_GAP = 2.4  # between columns [mm]
_ABOVE = 2.0  # between legend and table, and between table and note [mm]


def tables_of(layers: Sequence[AnyLayer]) -> list[TableLayer]:
    """Return the tables among layers."""
    return [layer for layer in layers if isinstance(layer, TableLayer)]


def column_widths(table: TableLayer, sheet: Sheet) -> list[float]:
    """Return the width of each column. [px]"""
    lines = [*table.rows, *([table.head] if table.head else [])]
    return [
        max(sheet.small_font.getlength(line[k]) for line in lines)
        for k in range(len(table.rows[0]))
    ]


def table_width(table: TableLayer, sheet: Sheet) -> float:
    """Return the width of a table. [px]"""
    widths = column_widths(table, sheet)
    return sum(widths) + (len(widths) - 1) * sheet.px(_GAP)


def table_height(table: TableLayer, sheet: Sheet, width: float) -> float:
    """Return the height of a table and its note, broken to a width. [px]"""
    lines = 1 + bool(table.head) + len(table.rows) + len(_note(table, sheet, width))
    return lines * line_height(sheet.small_font) + sheet.px(2 * _ABOVE)


def tables_height(tables: Sequence[TableLayer], sheet: Sheet, width: float) -> float:
    """Return the height of tables one below the other, whole. [px]"""
    return sum(table_height(table, sheet, width) for table in tables)


def _note(table: TableLayer, sheet: Sheet, width: float) -> list[str]:
    return wrap(table.note, sheet.small_font, width) if table.note else []


def draw_table(
    image: Image.Image, table: TableLayer, sheet: Sheet, at: tuple[float, float], room: float
) -> None:
    """Draw a table whose upper left corner is given, its note broken to the room. [px]"""
    face, step = sheet.small_font, line_height(sheet.small_font)
    widths = column_widths(table, sheet)
    x, y = at[0], at[1] + sheet.px(_ABOVE)
    draw_text(image, (x, y), table.title, sheet.type(TYPE.small, bold=True))
    y += step
    if table.head:
        _row(image, table.head, table, sheet, (x, y), widths, faint=True)
        y += step
    rule = np.array([[x, y], [x + table_width(table, sheet), y]])
    draw_lines(image, [rule], width=max(1.0, sheet.px(0.2)), color=RULE)
    for row in table.rows:
        _row(image, row, table, sheet, (x, y), widths)
        y += step
    lines = _note(table, sheet, room)
    below = (x, y + sheet.px(_ABOVE / 2))
    draw_text(image, below, "\n".join(lines), face, color=FAINT_INK)


def _row(
    image: Image.Image,
    cells: Sequence[str],
    table: TableLayer,
    sheet: Sheet,
    at: tuple[float, float],
    widths: Sequence[float],
    *,
    faint: bool = False,
) -> None:
    x = at[0]
    for k, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        right = all(row[k][:1].isdigit() for row in table.rows)
        place = (x + width, at[1]) if right else (x, at[1])
        color, align = (FAINT_INK if faint else INK), "right" if right else "left"
        draw_text(image, place, cell, sheet.small_font, color=color, align=align)
        x += width + sheet.px(_GAP)


def draw_tables(
    image: Image.Image, tables: Sequence[TableLayer], sheet: Sheet, box: Rect, top: float
) -> int:
    """Draw tables one below the other from a height on; return how many found no room."""
    left_out = 0
    for whole in tables:
        table = _shortened(whole, sheet, box.width, box.bottom - top)
        tall = table_height(table, sheet, box.width)
        if top + tall > box.bottom or table_width(table, sheet) > box.width:
            left_out += 1
            continue
        draw_table(image, table, sheet, (box.left, top), box.width)
        top += tall
    return left_out


def _shortened(table: TableLayer, sheet: Sheet, width: float, room: float) -> TableLayer:
    """Return a table without the last rows that find no room, if it may do without them."""
    some = table
    while some.least is not None and table_height(some, sheet, width) > room:
        count = len(some.rows) - 1
        if count < some.least:
            return table
        note = f"first {count} of {len(table.rows)}; {table.note}"
        some = replace(some, rows=table.rows[:count], note=note)
    return some
