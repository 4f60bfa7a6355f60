"""Lettering of sheets: embedded fonts, shaped text, widths and lines.

The base font is DejaVu Sans. Letters it lacks come from the fonts of the machine; where none has
them a replacement sign stands, and `Lettering.missing` tells which.
"""

import functools
import unicodedata
import weakref
from collections.abc import Iterator, Mapping
from typing import Literal

from fpdf import FPDF
from fpdf.fonts import TTFFont

from visual.scene.fonts import font_file
from visual.scene.style import INK, PAPER, RGB
from visual.sheets.fallback import MISSING, Face, face_for, lacking, letters_of
from visual.sheets.paper import POINT

Align = Literal["left", "center", "right"]

LEADING = 1.25
"""Distance from line to line, in sizes of type."""

_FAMILY = "sans"
_BASE = 100.0  # widths are measured at this size [pt]
_RISE = 0.93  # from the top of a line to its baseline, in sizes of type
_JOINERS = {0x200C, 0x200D, *range(0xFE00, 0xFE10)}  # shape neighbours, never drawn themselves


class Lettering:
    """Puts text on the pages of one PDF.

    Parameters
    ----------
    pdf : FPDF
        The document, in millimetres.
    """

    def __init__(self, pdf: FPDF) -> None:
        self._pdf = pdf
        self._known: list[frozenset[int]] = []
        # a letter that only the upright face has stands upright in bold text too
        self._families: list[str] = [_FAMILY]
        self.missing: list[str] = []
        for style, is_bold in (("", False), ("B", True)):
            path = font_file(bold=is_bold)
            pdf.add_font(_FAMILY, style, path)
            self._known.append(letters_of(Face(path)))
        pdf.set_fallback_fonts(self._families, exact_match=False)
        pdf.set_text_shaping(use_shaping_engine=True)
        self._width = functools.cache(self._measure)
        # the library reads font files bit by bit and leaves them open
        weakref.finalize(self, _close, pdf.fonts)

    def printable(self, text: str) -> str:
        """Return a text as it can be printed: one line, known letters, marks for the others."""
        composed = unicodedata.normalize("NFC", text)
        clean = "".join(_visible(letter) for letter in composed)
        for letter in lacking(clean, self._known):
            if ord(letter) in _JOINERS or letter == MISSING:
                continue
            face = face_for(letter)
            if face is not None:
                self._add(face)
                continue
            if letter not in self.missing:
                self.missing.append(letter)
            clean = clean.replace(letter, MISSING)
        return clean

    def width(self, text: str, size: float, *, bold: bool = False) -> float:
        """Return the width of a line of text at a size [pt]. [mm]"""
        return max((self._width(line, bold) for line in text.split("\n")), default=0.0) * size

    def put(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float,
        bold: bool = False,
        color: RGB = INK,
        align: Align = "left",
        halo: float = 0.0,
    ) -> None:
        """Write one line; `x` is its left end, middle or right end, `y` its top. [mm, pt]"""
        shown = self.printable(text)
        if not shown.strip():
            return
        left = x - {"left": 0.0, "center": 0.5, "right": 1.0}[align] * self.width(
            shown, size, bold=bold
        )
        if halo:
            with self._pdf.local_context(
                text_mode="STROKE",
                draw_color=PAPER,
                line_width=2 * halo,
                stroke_join_style="round",
            ):
                self._cell(left, y, shown, size, bold, PAPER)
        self._cell(left, y, shown, size, bold, color)

    def wrap(self, text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
        """Break a text so that every line fits a width; a word too long is broken too. [mm, pt]"""
        lines: list[str] = []
        for paragraph in text.split("\n"):
            lines += self._wrapped(self.printable(paragraph), width, size, bold)
        return lines

    def _wrapped(self, text: str, width: float, size: float, bold: bool) -> list[str]:
        # word by word, so that each is measured once; a blank is never kerned by more than a hair
        lines, used, blank = [""], 0.0, self.width(" ", size, bold=bold)
        for word in text.split(" "):
            long = self.width(word, size, bold=bold)
            if lines[-1] and used + blank + long <= width:
                lines[-1], used = f"{lines[-1]} {word}", used + blank + long
                continue
            pieces = [word] if long <= width else self._broken(word, width, size, bold)
            lines = [*lines, *pieces] if lines[-1] else [*lines[:-1], *pieces]
            used = self.width(lines[-1], size, bold=bold)
        return lines

    def _broken(self, word: str, width: float, size: float, bold: bool) -> list[str]:
        """Break one word between letters, never before a mark that belongs to the letter."""
        pieces = [""]
        for cluster in _clusters(word):
            if pieces[-1] and self.width(pieces[-1] + cluster, size, bold=bold) > width:
                pieces.append("")
            pieces[-1] += cluster
        return pieces

    def _add(self, face: Face) -> None:
        family = f"other{len(self._families)}"
        self._pdf.add_font(family, "", face.path, collection_font_number=face.number)
        self._families.append(family)
        self._pdf.set_fallback_fonts(self._families, exact_match=False)
        self._known.append(letters_of(face))

    def _measure(self, text: str, bold: bool) -> float:
        """Return the width of a line at 1 pt. [mm]"""
        shown = self.printable(text)
        self._pdf.set_font(_FAMILY, "B" if bold else "", _BASE)
        return float(self._pdf.get_string_width(shown)) / _BASE

    def _cell(self, left: float, y: float, text: str, size: float, bold: bool, color: RGB) -> None:
        pdf, height = self._pdf, LEADING * size * POINT
        pdf.set_font(_FAMILY, "B" if bold else "", size)
        pdf.set_text_color(*color)
        pdf.set_xy(left, y)
        pdf.cell(w=self.width(text, size, bold=bold) + 1.0, h=height, text=text)


def _close(fonts: Mapping[str, object]) -> None:
    """Close the font files of a document."""
    for font in fonts.values():
        if isinstance(font, TTFFont):
            font.ttfont.close()


def line_height(size: float) -> float:
    """Return the distance from line to line at a size of type [pt]. [mm]"""
    return LEADING * size * POINT


def _visible(letter: str) -> str:
    """Return a letter, a blank for any blank, and a mark for what only steers a machine."""
    if letter.isspace():
        return " "
    if unicodedata.category(letter) in ("Cc", "Cs", "Co", "Cn"):
        return MISSING
    if unicodedata.category(letter) == "Cf" and ord(letter) not in _JOINERS:
        return ""
    return letter


def _clusters(word: str) -> Iterator[str]:
    """Yield letters with the marks that belong to them."""
    cluster = ""
    for letter in word:
        belongs = unicodedata.category(letter) in ("Mn", "Me", "Mc") or ord(letter) in _JOINERS
        if cluster and not belongs:
            yield cluster
            cluster = ""
        cluster += letter
    if cluster:
        yield cluster
