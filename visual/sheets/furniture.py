"""What stands beside a drawing: scale bar, north arrow, facts, legend."""

from collections.abc import Mapping, Sequence

import numpy as np

from visual.scene.layers import MarkShape
from visual.scene.legend import blend
from visual.scene.style import FAINT_INK, INK, PAPER, ROLES, Role
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.scales import bar_length, scale_words
from visual.sheets.text import line_height
from visual.units import UnitSystem

_SMALL = 6.2  # of type [pt]
_FINE = Pen(width=0.18)
_SWATCH = 7.5  # width of a swatch [mm]
_PLOT = 0.72  # lines against those of a picture, as in `drawing`


def draw_scale_bar(
    sheet: Sheet, x: float, y: float, room: float, *, denominator: float, units: UnitSystem
) -> float:
    """Draw a scale bar with its scale in words; return the y below it. [mm]"""
    parts, part, unit = bar_length(denominator, room - 8.0, units)
    mm = part * 1000.0 / denominator
    words = scale_words(denominator, units)
    sheet.text(x, y, words, size=9.0, bold=True)
    y += line_height(9.0)
    size = part / (1.0 if unit == "m" else 0.3048)
    for k in range(parts + 1):
        text = f"{round(k * size, 6):g}" + (f" {unit}" if k == parts else "")
        if k in (0, parts) or mm > 7.0:
            sheet.text(x + k * mm, y, text, size=_SMALL, align="left" if k == 0 else "center")
    y += line_height(_SMALL) + 0.3
    high = 1.6
    for k in range(parts):
        box = Box(x + k * mm, y, x + (k + 1) * mm, y + high)
        sheet.box(box, _FINE, fill=INK if k % 2 == 0 else PAPER)
    return y + high + 1.5


def draw_north(sheet: Sheet, x: float, y: float, size: float, word: str) -> None:
    """Draw a north arrow, up, about a middle; `word` says which north. [mm]"""
    r = size / 2
    light = np.array([[0, -1.0], [0.36, 0.68], [0, 0.42]]) * r + [x, y]
    dark = np.array([[0, -1.0], [-0.36, 0.68], [0, 0.42]]) * r + [x, y]
    turn = np.linspace(0, 2 * np.pi, 49)
    circle = np.column_stack([np.cos(turn), np.sin(turn)]) * r * 0.72 + [x, y + 0.05 * r]
    sheet.lines([circle], Pen(width=0.13, color=FAINT_INK))
    sheet.area([light], PAPER, outline=_FINE)
    sheet.area([dark], INK, outline=_FINE)
    sheet.text(x, y - r - line_height(9.0), "N", size=9.0, bold=True, align="center")
    sheet.text(x, y + r * 0.78, word, size=_SMALL, align="center", color=FAINT_INK)


def draw_heading(sheet: Sheet, x: float, y: float, width: float, text: str) -> float:
    """Write the heading of a block over a rule; return the y below it. [mm]"""
    y = sheet.text(x, y, text, size=7.2, bold=True) + 0.2
    sheet.line(x, y, x + width, y, _FINE)
    return y + 0.8


def draw_facts(
    sheet: Sheet, x: float, y: float, width: float, facts: Sequence[tuple[str, str]]
) -> float:
    """Write names and values in two columns; return the y below them. [mm]"""
    share = 0.36 * width
    for name, value in facts:
        sheet.text(x, y, name, size=_SMALL, color=FAINT_INK)
        lines = sheet.letters.wrap(value, width - share, _SMALL)
        y = sheet.text(x + share, y, "\n".join(lines), size=_SMALL) + 0.35
    return y + 1.2


# --- legend -------------------------------------------------------------------------------------

Entry = tuple[str, list[Role], MarkShape]


def legend_entries(roles: Mapping[str, MarkShape]) -> list[Entry]:
    """Return word, looks and sign of each thing drawn, in the order of `ROLES`."""
    words: dict[str, Entry] = {}
    for key, look in ROLES.items():
        if key in roles and look.word:
            words.setdefault(look.word, (look.word, [], roles[key]))[1].append(look)
    return list(words.values())


def legend_height(sheet: Sheet, entries: Sequence[Entry], width: float, columns: int) -> float:
    """Return how high a legend will be. [mm]"""
    column = width / columns
    heights = [_entry_height(sheet, entry, column) for entry in entries]
    per = -(-len(entries) // columns) or 1
    return max((sum(heights[k : k + per]) for k in range(0, len(heights), per)), default=0.0)


def draw_legend(
    sheet: Sheet, x: float, y: float, width: float, entries: Sequence[Entry], columns: int = 1
) -> float:
    """Draw a legend in columns; return the y below it. [mm]"""
    column = width / columns
    per = -(-len(entries) // columns) or 1
    lowest = y
    for number, entry in enumerate(entries):
        if number % per == 0:
            left, at = x + number // per * column, y
        _draw_entry(sheet, entry, left, at, column)
        at += _entry_height(sheet, entry, column)
        lowest = max(lowest, at)
    return lowest


def _words(sheet: Sheet, entry: Entry, column: float) -> list[str]:
    return sheet.letters.wrap(entry[0], column - _SWATCH - 3.5, _SMALL)


def _entry_height(sheet: Sheet, entry: Entry, column: float) -> float:
    return max(1, len(_words(sheet, entry, column))) * line_height(_SMALL) + 0.7


def _draw_entry(sheet: Sheet, entry: Entry, x: float, y: float, column: float) -> None:
    _, looks, shape = entry
    high = line_height(_SMALL)
    box = Box(x, y + 0.1, x + _SWATCH, y + high - 0.1)
    has_area = any(look.swatch in ("area", "solid") for look in looks)
    for look in sorted(looks, key=lambda look: look.swatch in ("line", "comb")):
        _draw_swatch(sheet, look, shape, box, has_area=has_area)
    sheet.text(box.right + 1.8, y, "\n".join(_words(sheet, entry, column)), size=_SMALL)


def _draw_swatch(sheet: Sheet, look: Role, shape: MarkShape, box: Box, *, has_area: bool) -> None:
    x, y = box.middle
    pen = Pen(_PLOT * look.width, blend(look), look.dash)
    if look.swatch in ("area", "solid"):
        sheet.area([box.outline[:-1]], look.color, opacity=look.opacity)
    elif look.swatch == "tree":
        sheet.mark("dot", x, y, box.height, look.color)
    elif look.swatch == "mark":
        sheet.mark(shape, x, y, 0.8 * look.width, look.color)
    elif look.swatch == "comb":
        starts = np.arange(box.left + 0.5, box.right - 0.4, 1.4)
        sheet.lines([[(s, y), (s + 0.7, box.bottom)] for s in starts], pen)
    elif has_area:
        sheet.lines([box.outline], pen)
    else:
        sheet.line(box.left, y, box.right, y, pen)
