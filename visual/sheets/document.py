"""The document: sheets, each with frame, cautions, title block and page number."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from fpdf import FPDF

from visual import __version__
from visual.scene.furniture import NOT_A_DESIGN
from visual.scene.style import FAINT_INK, VERMILION
from visual.sheets.fallback import MISSING
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box, Paper
from visual.sheets.scales import scale_words
from visual.sheets.text import Lettering, line_height
from visual.units import UnitSystem

CAUTIONS = (
    "Loads, anchors, foundations and mast strength are for a licensed engineer; local code and "
    "the makers' instructions win. Keep everybody out of the fall zone during a raise. Treat "
    "every overhead line as live, and ask its owner before working near it. Light wind only. "
    "Rated rigging only. Never stand under or in line with a loaded rope. Raise first without "
    "the head. Move one front wire at a time."
)

_FRAME = Pen(width=0.5)
_RULE = Pen(width=0.18)
_BLOCK = 15.0  # height of the title block [mm]
_PAD = 1.6
_SMALL, _NAME, _VALUE = 6.2, 5.6, 9.0  # of type [pt]
_SHARES = (0.36, 0.22, 0.12, 0.10, 0.12, 0.08)  # widths of the fields of the title block


@dataclass(frozen=True)
class Heading:
    """What the title block of every sheet says.

    Parameters
    ----------
    site : str
        Name of the site.
    date : date
        Date of the set.
    revision : str
        Revision of the set; empty if it has none.
    standing : str
        How sure the numbers are.
    units : {"metric", "imperial"}
        Units of the set.
    warning : str
        What every sheet says in bold, such as that something stops the job; empty for nothing.
    """

    site: str
    date: dt.date
    revision: str = ""
    standing: str = ""
    units: UnitSystem = "metric"
    warning: str = ""


class Document:
    """A set of sheets on one size of paper.

    Parameters
    ----------
    paper : Paper
        The paper.
    heading : Heading
        What all title blocks say.
    """

    def __init__(self, *, paper: Paper, heading: Heading) -> None:
        self.paper = paper
        self.heading = heading
        self.sheets: list[Sheet] = []
        self._pdf = _empty_pdf(paper, heading)
        self.letters = Lettering(self._pdf)
        self._pdf.set_title(self.letters.printable(f"{heading.site}: sheet set"))

    @property
    def body(self) -> Box:
        """Where sheets are drawn on: the frame above cautions and title block. [mm]"""
        frame = self.paper.frame
        return frame.part(bottom=self._cautions.top)

    def sheet(self, title: str, *, scale: str = "") -> Sheet:
        """Start a sheet; `scale` is a text such as ``"1:200"``, empty if it has none."""
        self._pdf.add_page()
        made = Sheet(
            self._pdf, self.letters, paper=self.paper, body=self.body, title=title, scale=scale
        )
        self._pdf.start_section(self.letters.printable(title))
        self.sheets.append(made)
        return made

    def scale_words(self, denominator: float) -> str:
        """Return what the title block says of a scale, one to `denominator`."""
        words = scale_words(denominator, self.heading.units)
        return f"{words} at {self.paper.name}\nprint at 100 %, then check the bar"

    def content(self) -> bytes:
        """Finish all sheets and return the PDF; nothing can be added afterwards."""
        for number, sheet in enumerate(self.sheets, start=1):
            self._pdf.page = number
            # the page starts from a state that the document does not remember
            with self._pdf.local_context():
                self._furniture(sheet, number)
        self._pdf.page = len(self.sheets)
        return bytes(self._pdf.output())

    @property
    def _block(self) -> Box:
        frame = self.paper.frame
        return frame.part(top=frame.bottom - _BLOCK)

    @property
    def _cautions(self) -> Box:
        width = self.paper.frame.width - 2 * _PAD
        # one line more than the usual text needs, for a warning and for letters that are lacking
        lines = len(self.letters.wrap(f"{NOT_A_DESIGN}. {CAUTIONS}", width, _SMALL)) + 1
        block = self._block
        return block.part(top=block.top - lines * line_height(_SMALL) - _PAD, bottom=block.top)

    def _furniture(self, sheet: Sheet, number: int) -> None:
        sheet.lines([self.paper.frame.outline], _FRAME)
        strip = self._cautions
        sheet.line(strip.left, strip.top, strip.right, strip.top, _RULE)
        width, left = strip.width - 2 * _PAD, strip.left + _PAD
        y = strip.top + _PAD / 2
        first = f"{NOT_A_DESIGN.rstrip('.')}. "
        sheet.text(left, y, first.strip(), size=_SMALL, bold=True)
        # a first line is shorter by what stands before it
        lead = sheet.text_width(first, size=_SMALL, bold=True) + 0.6
        lines = self.letters.wrap(CAUTIONS, width - lead, _SMALL)
        rest = self.letters.wrap(" ".join(lines[1:]), width, _SMALL) if lines[1:] else []
        sheet.text(left + lead, y, lines[0], size=_SMALL)
        y = sheet.text(left, y + line_height(_SMALL), "\n".join(rest), size=_SMALL)
        note = joined([self.heading.warning, self._missing_note()])
        if note:
            line = self._fitted(note, width, _SMALL, bold=True)
            sheet.text(left, y, line, size=_SMALL, bold=True, color=VERMILION)
        self._title_block(sheet, number)

    def _missing_note(self) -> str:
        if not self.letters.missing:
            return ""
        codes = ", ".join(f"U+{ord(letter):04X}" for letter in self.letters.missing)
        return f"{MISSING} stands for letters that no font of this machine has: {codes}"

    def _title_block(self, sheet: Sheet, number: int) -> None:
        block, head = self._block, self.heading
        sheet.line(block.left, block.top, block.right, block.top, _FRAME)
        fields = (
            (head.site, sheet.title),
            ("Scale", sheet.scale or "not to scale"),
            ("Date", head.date.isoformat()),
            ("Revision", head.revision or "–"),
            ("Prepared by", ""),
            ("Sheet", f"{number} of {len(self.sheets)}"),
        )
        left = block.left
        for share, (name, value) in zip(_SHARES, fields, strict=True):
            field = block.part(left=left, right=left + share * block.width)
            self._field(sheet, field, name, value, is_title=left == block.left)
            left = field.right

    def _field(self, sheet: Sheet, field: Box, name: str, value: str, *, is_title: bool) -> None:
        x, width = field.left + _PAD, field.width - 2 * _PAD
        if not is_title:
            sheet.line(field.left, field.top, field.left, field.bottom, _RULE)
            sheet.text(x, field.top + 0.9, name, size=_NAME, color=FAINT_INK)
            y = field.top + 0.9 + line_height(_NAME) + 0.4
            lines = self._lines(value, width, _VALUE, most=1 if name == "Sheet" else 2)
            size = _VALUE if len(lines) == 1 else 7.5
            sheet.text(x, y, "\n".join(self._lines(value, width, size, most=2)), size=size)
            return
        y = self._name(sheet, name, x, field.top + 0.9, width)
        sheet.text(x, y, self._fitted(value, width, 9.0), size=9.0)
        y = field.top + 0.9 + line_height(11.0) + line_height(9.0)
        small = f"{self.heading.standing} Hillmast {__version__}, {self.paper.name}.".strip()
        sheet.text(x, y, self._fitted(small, width, _NAME), size=_NAME, color=FAINT_INK)

    def _name(self, sheet: Sheet, name: str, x: float, y: float, width: float) -> float:
        """Write the name of the site as large as it goes in; return the y below. [mm]"""
        size = next((s for s in (11.0, 9.0, 7.5) if self._is_line(name, width, s)), 5.4)
        lines = self._lines(name, width, size, most=1 if size > 7.0 else 2, bold=True)
        below = y + line_height(11.0)
        middle = (y + below) / 2 - len(lines) * line_height(size) / 2
        sheet.text(x, middle, "\n".join(lines), size=size, bold=True)
        return below

    def _is_line(self, text: str, width: float, size: float) -> bool:
        return len(self.letters.wrap(text, width, size, bold=True)) == 1

    def _lines(
        self, text: str, width: float, size: float, *, most: int, bold: bool = False
    ) -> list[str]:
        lines = self.letters.wrap(text, width, size, bold=bold)
        if len(lines) <= most:
            return lines
        rest = self._fitted(" ".join(lines[most - 1 :]), width, size, bold=bold)
        return [*lines[: most - 1], rest]

    def _fitted(self, text: str, width: float, size: float, *, bold: bool = False) -> str:
        """Return a text, cut with an ellipsis if it is longer than a width. [mm]"""
        return fitted(self.letters, text, width, size, bold=bold)


def fitted(letters: Lettering, text: str, width: float, size: float, *, bold: bool = False) -> str:
    """Return a text, cut with an ellipsis if it is longer than a width. [mm, pt]"""
    lines = letters.wrap(text, width, size, bold=bold)
    if len(lines) <= 1:
        return text
    cut = lines[0]
    while cut and letters.width(f"{cut}…", size, bold=bold) > width:
        cut = cut[:-1]
    return f"{cut}…"


def _empty_pdf(paper: Paper, heading: Heading) -> FPDF:
    pdf = FPDF(unit="mm", format=(paper.width, paper.height))
    pdf.set_auto_page_break(False)
    pdf.set_margin(0.0)
    pdf.c_margin = 0.0
    pdf.alias_nb_pages("")  # no text is special
    pdf.set_creator(f"Hillmast {__version__}")
    pdf.set_lang("en")
    noon = dt.time(12, tzinfo=dt.UTC)
    pdf.set_creation_date(dt.datetime.combine(heading.date, noon))
    return pdf


def joined(parts: Sequence[str]) -> str:
    """Return sentences one after the other, empty ones left out."""
    return " ".join(part for part in parts if part)
