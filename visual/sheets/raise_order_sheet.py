"""The order of work on sheets: boxes to tick, and signs where the crew stops and looks."""

import math

from visual.checks import Report
from visual.scene.layers import degrees_text
from visual.scene.style import PAPER, RGB, VERMILION
from visual.sheets.document import Document
from visual.sheets.field_type import Type
from visual.sheets.page import Pen
from visual.sheets.raise_order import Phase, Step, order_of_work, travel_word
from visual.sheets.text import line_height
from visual.units import UnitSystem, format_length

TITLE = "Raise sheet: order of work"
_BAND: RGB = (236, 234, 230)
_WARM: RGB = (253, 243, 236)
_COLUMNS = 2
_GAP = 6.0  # between columns [mm]
_PAD = 3.0


def draw_raise_order(document: Document, report: Report) -> None:
    """Draw the order of work, in columns, on as many sheets as it needs."""
    flow = _Flow(document, document.heading.units, travel_word(report))
    for number, phase in enumerate(order_of_work(report, units=document.heading.units), start=1):
        flow.phase(f"{number}  {phase.title}", phase)


class _Flow:
    """Steps on their way down columns and over sheets."""

    def __init__(self, document: Document, units: UnitSystem, driven: str) -> None:
        self.document, self.units, self.driven = document, units, driven
        self.sheet = document.sheet(TITLE)
        self.type = Type.on(self.sheet)
        self.column = 0
        self.y = self.top

    @property
    def top(self) -> float:
        """Top of a column. [mm]"""
        return self.sheet.body.top + _PAD

    @property
    def width(self) -> float:
        """Width of a column. [mm]"""
        return (self.sheet.body.width - 2 * _PAD - (_COLUMNS - 1) * _GAP) / _COLUMNS

    @property
    def left(self) -> float:
        """Left side of the column. [mm]"""
        return self.sheet.body.left + _PAD + self.column * (self.width + _GAP)

    @property
    def text_left(self) -> float:
        """Where the text of a step begins. [mm]"""
        return self.left + 15.0 * self.type.k

    @property
    def text_width(self) -> float:
        """Width of the text of a step. [mm]"""
        return self.left + self.width - self.text_left - 1.0

    def _next_column(self) -> None:
        self.column += 1
        if self.column == _COLUMNS:
            self.sheet = self.document.sheet(f"{TITLE}, continued")
            self.column = 0
        self.y = self.top

    def phase(self, title: str, phase: Phase) -> None:
        """Draw a phase; its title is repeated where it goes on in another column."""
        first = self._step_height(phase.steps[0])
        if self.y + self._title_height(title) + first > self.sheet.body.bottom - 2.0:
            self._next_column()
        self._title(title)
        for step in phase.steps:
            if self.y + self._step_height(step) > self.sheet.body.bottom - 2.0:
                self._next_column()
                self._title(f"{title} (continued)")
            self._step(step)
        self.y += 2.0

    def _title_height(self, title: str) -> float:
        size = self.type.title
        return self.sheet.paragraph_height(self.width - 2, title, size=size, bold=True) + 2.0

    def _title(self, title: str) -> None:
        high = self._title_height(title)
        low, right = self.y + high, self.left + self.width
        ring = [(self.left, self.y), (right, self.y), (right, low), (self.left, low)]
        self.sheet.area([ring], _BAND)
        size = self.type.title
        self.sheet.paragraph(
            self.left + 1.2, self.y + 1.0, self.width - 2, title, size=size, bold=True
        )
        self.y += high + 0.8

    # --- steps -----------------------------------------------------------------------------------

    def _lead(self, step: Step) -> str:
        """Return angle and travel of a stop on the way; empty for any other step."""
        if step.angle is None:
            return ""
        text = f"At {degrees_text(step.angle)}"
        if math.isnan(step.travel):
            return f"{text}: "
        return f"{text}, {format_length(step.travel, self.units)} {self.driven}: "

    def _texts(self, step: Step) -> list[tuple[str, float, bool]]:
        """Return the texts of a step with their size and whether they are bold."""
        large, small = 1.08 * self.type.note, self.type.note
        text = step.text
        if step.angle is not None:
            text = f"{self._lead(step)}{text[0].lower()}{text[1:]}"
        texts = [(text, large, step.kind == "stop")]
        return texts + [(f"– {look}", small, False) for look in step.looks]

    def _step_height(self, step: Step) -> float:
        texts = sum(
            self.sheet.paragraph_height(self.text_width, text, size=size, bold=bold)
            for text, size, bold in self._texts(step)
        )
        return max(texts, 6.6 * self.type.k) + 2.0

    def _step(self, step: Step) -> None:
        high = self._step_height(step)
        right = self.left + self.width
        if step.kind == "stop":
            low = self.y + high - 0.6
            ring = [(self.left, self.y), (right, self.y), (right, low), (self.left, low)]
            self.sheet.area([ring], _WARM)
            self._stop_sign()
        side = 5.0 * self.type.k
        self.sheet.tick_box(self.left + 1.0, self.y + 0.7, side)
        y = self.y + 0.6
        for text, size, bold in self._texts(step):
            y = self.sheet.paragraph(self.text_left, y, self.text_width, text, size=size, bold=bold)
        self.y += high
        self.sheet.line(self.left, self.y - 0.4, right, self.y - 0.4, Pen(0.1, (176, 168, 156)))

    def _stop_sign(self) -> None:
        """Draw an octagon with its word: the shape says it where colour does not."""
        radius = 3.7 * self.type.k
        x, y = self.left + 10.6 * self.type.k, self.y + 0.5 + radius * 0.93
        turns = [math.pi * (k / 4 + 1 / 8) for k in range(8)]
        ring = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in turns]
        self.sheet.area([ring], VERMILION)
        size = 0.62 * self.type.head
        self.sheet.text(
            x, y - line_height(size) / 2, "STOP", size=size, bold=True, color=PAPER, align="center"
        )
