"""Ink of the charts: an empty page, text, and lengths of the page, for matplotlib.

Only objects of matplotlib are used, never its ``pyplot``, and its settings are its own defaults
whatever a user has set, so that charts look alike everywhere and nothing global changes.
Places are in pixels, x right, y down, as on the other pictures.
"""

import math
from collections.abc import Iterator
from contextlib import contextmanager

from matplotlib import style
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from visual.scene.fonts import Font, line_height
from visual.scene.sheet import Sheet
from visual.scene.style import INK, PAGE_WIDTH, PAPER, RGB

_ASCENT = 0.928  # of DejaVu Sans, over its size
_SETTINGS = {
    "font.family": "DejaVu Sans",
    "svg.hashsalt": "hillmast",  # names inside the file do not change from run to run
    "svg.fonttype": "path",  # letters look alike where the typeface is missing
    "path.simplify": False,
    "hatch.linewidth": 0.5,
}


@contextmanager
def own_settings() -> Iterator[None]:
    """Draw with the defaults of matplotlib and ours; put back what was there."""
    with style.context(["default", _SETTINGS]):
        yield


def empty_page(sheet: Sheet) -> Figure:
    """Return an empty page that prints `PAGE_WIDTH` wide."""
    dots = sheet.width / PAGE_WIDTH * 25.4
    # a hair more, because the size in pixels is rounded down
    size = ((sheet.width + 1e-6) / dots, (sheet.height + 1e-6) / dots)
    return Figure(figsize=size, dpi=dots, facecolor=ink(PAPER))


def ink(color: RGB, opacity: float = 1.0) -> tuple[float, float, float, float]:
    """Return a colour as matplotlib wants it."""
    return color[0] / 255, color[1] / 255, color[2] / 255, opacity


def points(sheet: Sheet, pixels: float) -> float:
    """Return a length of the picture [px] in points of the printed page."""
    return pixels * 72 * PAGE_WIDTH / 25.4 / sheet.width


def pen(sheet: Sheet, millimetres: float) -> float:
    """Return a line width on the page [mm] in points, never too thin to be seen."""
    return points(sheet, max(0.8, sheet.px(millimetres)))


def put_text(
    figure: Figure,
    sheet: Sheet,
    at: tuple[float, float],
    text: str,
    face: Font,
    *,
    bold: bool = False,
    color: RGB = INK,
    align: str = "left",
    halo: bool = False,
) -> None:
    """Write a text of one or more lines; `at` is its upper left (or right, or middle) corner."""
    y = at[1] + (line_height(face) - 1.16 * face.size) / 2 + _ASCENT * face.size
    for line in text.split("\n"):
        figure.text(
            at[0] / sheet.width,
            1 - y / sheet.height,
            line,
            fontsize=points(sheet, face.size),
            fontweight="bold" if bold else "normal",
            color=ink(color),
            ha=align,
            va="baseline",
            parse_math=False,
            zorder=9,
            path_effects=_halo(sheet) if halo else [],
        )
        y += line_height(face)


def put_turned_text(
    figure: Figure,
    sheet: Sheet,
    middle: tuple[float, float],
    text: str,
    face: Font,
    *,
    turn: float,
    color: RGB = INK,
) -> None:
    """Write one line turned clockwise by `turn` about its middle. [rad]"""
    figure.text(
        middle[0] / sheet.width,
        1 - middle[1] / sheet.height,
        text,
        fontsize=points(sheet, face.size),
        color=ink(color),
        rotation=-math.degrees(turn),
        ha="center",
        va="center",
        parse_math=False,
        zorder=9,
        path_effects=_halo(sheet),
    )


def _halo(sheet: Sheet) -> list[withStroke]:
    return [withStroke(linewidth=pen(sheet, 0.9), foreground=ink(PAPER))]
