"""The sheet that shows who stands where."""

from visual.checks import Report
from visual.scene.style import INK, PAPER, VERMILION
from visual.sheets.document import Document
from visual.sheets.field_type import Type
from visual.sheets.furniture import draw_scale_bar
from visual.sheets.north_sign import draw_north
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.raise_plan import draw_station_plan, plan_window
from visual.sheets.raise_search import OFF_LINE, SPARE
from visual.sheets.raise_stations import (
    Station,
    Stations,
    place_words,
    stations,
    whole_length,
)
from visual.sheets.scales import scale_words
from visual.sheets.text import line_height

TITLE = "Raise sheet: who stands where"
_SHARE = 0.6  # of the width for the plan

RULES = (
    "Everybody else stays outside the red line, children and animals too.",
    "Anybody may call STOP. Everybody stops.",
    "At least one person for each of the places above, the second spotter aside.",
    "Nobody under the mast, nobody in line with the loaded rope, nobody beside the block.",
    "Every overhead line is live.",
    "Light wind only. Rated rigging only. First without the head.",
)

JUDGED = (
    "Computed: red line (the larger of both fall zones), distances, what each place sees. Common "
    "practice, no source: spotters beside the hinge line, {spare} outside the zone, not within "
    "{off} of the line of the rope, none behind an overhead line; back line in hand. Your own "
    "judgement on the day wins."
)
"""How sure the places are."""


def draw_raise_plan(document: Document, report: Report) -> None:
    """Draw the plan of everybody's place with what each one does there."""
    units = document.heading.units
    places = stations(report, units=units)
    body = document.body
    split = body.left + _SHARE * body.width
    window = plan_window(report, places, body.part(right=split), units=units)
    sheet = document.sheet(TITLE, scale=scale_words(window.denominator, units))
    draw_station_plan(sheet, window, report, places, units=units)
    sheet.line(split, body.top, split, body.bottom, Pen(width=0.3))
    _corner(sheet, window.box, document, report, window.denominator)
    _words(sheet, body.part(left=split), report, places, document)


def _corner(sheet: Sheet, box: Box, document: Document, report: Report, denominator: float) -> None:
    """Draw north arrow and scale bar in the lower corners of the plan."""
    high = 14.0
    foot = Box(box.left, box.bottom - high, box.left + 62.0, box.bottom)
    sheet.box(foot, Pen(width=0.13), fill=PAPER)
    draw_scale_bar(
        sheet,
        foot.left + 2.5,
        foot.top + 1.0,
        foot.width - 2.0,
        denominator=denominator,
        units=document.heading.units,
    )
    draw_north(sheet, box.left + 10.0, box.top + 11.0, turn=-report.model.rig.front, size=11.0)


def _words(sheet: Sheet, box: Box, report: Report, places: Stations, document: Document) -> None:
    kind = Type.on(sheet)
    left, width = box.left + 3.0, box.width - 6.0
    y = box.top + 2.5
    for person in places.people:
        y = _person(sheet, left, y, width, report, person, document)
    y = sheet.text(left, y + 0.5, "On the day", size=kind.title, bold=True) + 0.3
    for rule in RULES:
        y = _bullet(sheet, left, y, width, rule, kind.note)
    y = _names(sheet, left, y + 1.5 * kind.k, width, places)
    units = document.heading.units
    judged = JUDGED.format(spare=whole_length(SPARE, units), off=whole_length(OFF_LINE, units))
    size = 0.85 * kind.below
    low = sheet.paragraph_height(width, judged, size=size)
    sheet.paragraph(left, max(y + 1.0, box.bottom - low - 1.5), width, judged, size=size)


def _names(sheet: Sheet, left: float, y: float, width: float, places: Stations) -> float:
    """Leave a line for everybody's name, and for the day; return the y below. [mm]"""
    kind = Type.on(sheet)
    fields = [*(person.letter for person in places.people), "date", "wind"]
    each, high = width / 2, 8.0 * kind.k
    if y + len(fields) / 2 * high > sheet.body.bottom - 14.0 * kind.k:
        return y
    for number, name in enumerate(fields):
        x, foot = left + number % 2 * each, y + (number // 2 + 1) * high
        sheet.text(x, foot - line_height(kind.note) + 0.4, name, size=kind.note, bold=True)
        start = x + sheet.text_width(f"{name} ", size=kind.note, bold=True) + 0.8
        sheet.line(start, foot, x + each - 3.0, foot, Pen(width=0.2))
    return y + len(fields) / 2 * high


def _bullet(sheet: Sheet, left: float, y: float, width: float, text: str, size: float) -> float:
    sheet.mark("dot", left + 1.0, y + line_height(size) / 2, 1.1)
    return sheet.paragraph(left + 3.2, y, width - 3.2, text, size=size) + 0.4


def _person(
    sheet: Sheet,
    left: float,
    y: float,
    width: float,
    report: Report,
    person: Station,
    document: Document,
) -> float:
    """Write one person's letter, name, place and task; return the y below. [mm]"""
    kind = Type.on(sheet)
    radius, x = 3.1 * kind.k, left + 8.2 * kind.k
    sheet.mark("dot", left + radius, y + radius + 0.4, 2 * radius, INK)
    size = 1.15 * kind.head
    top = y + radius + 0.4 - line_height(size) / 2
    sheet.text(left + radius, top, person.letter, size=size, bold=True, color=PAPER, align="center")
    room = left + width - x
    y = sheet.paragraph(x, y, room, person.who, size=kind.title, bold=True)
    where = place_words(report, person, units=document.heading.units)
    y = sheet.paragraph(x, y, room, where, size=kind.note, bold=True)
    y = sheet.paragraph(x, y, room, person.task, size=kind.note)
    for note in person.notes:
        y = sheet.paragraph(x, y, room, f"! {note}", size=kind.note, bold=True, color=VERMILION)
    return y + 1.6
