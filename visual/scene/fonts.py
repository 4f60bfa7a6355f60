"""Type: DejaVu Sans, as it comes with matplotlib, so that pictures look alike everywhere.

Only the font files are used here; matplotlib itself is loaded when charts are drawn.
"""

import functools
import importlib.util
from pathlib import Path

from PIL import ImageFont

from visual.errors import DrawingError

Font = ImageFont.FreeTypeFont

_FILES = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}


@functools.cache
def font(pixels: int, *, bold: bool = False) -> Font:
    """Return the typeface at a size in pixels.

    Raises
    ------
    DrawingError
        If the font files are missing.
    """
    path = font_file(bold=bold)
    # the basic layout engine gives the same bytes with and without libraqm
    return ImageFont.truetype(str(path), pixels, layout_engine=ImageFont.Layout.BASIC)


def font_file(*, bold: bool) -> Path:
    """Return the file of the typeface.

    Raises
    ------
    DrawingError
        If it is missing.
    """
    path = _folder() / _FILES[bold]
    if not path.is_file():
        message = f"the font {path.name} is missing: reinstall matplotlib"
        raise DrawingError(message)
    return path


@functools.cache
def _folder() -> Path:
    spec = importlib.util.find_spec("matplotlib")
    if spec is None or spec.origin is None:
        message = "the fonts are missing: install matplotlib"
        raise DrawingError(message)
    return Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"


def text_size(text: str, typeface: Font) -> tuple[float, float]:
    """Return width and height of a text of one or more lines. [px]"""
    lines = text.split("\n")
    return max(typeface.getlength(line) for line in lines), line_height(typeface) * len(lines)


def line_height(typeface: Font) -> float:
    """Return the distance from line to line. [px]"""
    return round(typeface.size * 1.22)


def wrap(text: str, typeface: Font, width: float) -> list[str]:
    """Break a text at blanks so that each line fits a width where it can. [px]"""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and typeface.getlength(longer) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines
