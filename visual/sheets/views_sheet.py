"""Sheet 3: pictures of the site with captions, and what is seen from each viewpoint."""

import math
from collections.abc import Sequence

import numpy as np
from PIL import Image

from visual.checks import Report
from visual.errors import DrawingError
from visual.scene.attention import closest_words, worst_clearance
from visual.scene.build import SceneMaker
from visual.scene.camera import View
from visual.scene.furniture import looking
from visual.scene.layers import MarkShape
from visual.scene.legend import Entry as PictureEntry
from visual.scene.legend import entries_for
from visual.scene.machine import prepare_off_screen
from visual.scene.overlay import letter
from visual.scene.render import draw, visible
from visual.scene.sheet import Sheet as PictureSheet
from visual.scene.style import FAINT_INK, PAGE_WIDTH, Role
from visual.scene.views import OVERVIEW, Shot, near_shots, overview
from visual.sheets.document import Document, fitted
from visual.sheets.furniture import draw_heading, draw_legend, legend_height
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.units import UnitSystem, format_length

TITLE = "Pictures"
_PAD = 3.0
_PX = 6.0  # pixels per millimetre of paper: 152 to the inch
_TYPE = 0.82  # lettering in pictures against that of a picture on its own
_CAPTION = 8.0  # height of a caption [mm]
_WIDE = 300.0  # paper with a body at least so wide has two rows of pictures [mm]
_SIZE = 6.4  # of captions [pt]
_FRAME = Pen(width=0.2)

ONLY_WHAT_IS_KNOWN = "Trees, buildings and lines that the site file does not name are not shown."

Words = dict[str, tuple[list[Role], MarkShape]]


def draw_views_sheet(document: Document, report: Report, maker: SceneMaker) -> str:
    """Draw overview, closest approach and the view from each viewpoint.

    Returns
    -------
    str
        Why there are no pictures; empty if there are.
    """
    try:
        prepare_off_screen()
    except DrawingError as error:
        sheet = document.sheet(TITLE)
        body = sheet.body
        words = f"There are no pictures on this sheet: {error}"
        sheet.paragraph(body.left + _PAD, body.top + _PAD, body.width - 2 * _PAD, words, size=9.0)
        return str(error)
    # drawings in true scale have sheets of their own
    shots = [Shot(OVERVIEW, None), *near_shots(report, maker.terrain)]
    rows = 2 if document.body.width > _WIDE else 1
    for first in range(0, len(shots), 2 * rows):
        name = TITLE if first == 0 else f"{TITLE}, continued"
        sheet = document.sheet(name)
        _draw_sheet(sheet, report, maker, shots[first : first + 2 * rows])
    return ""


def _draw_sheet(sheet: Sheet, report: Report, maker: SceneMaker, shots: Sequence[Shot]) -> None:
    body = sheet.body.shrunk(_PAD)
    columns = min(2, len(shots))
    width = (body.width - (columns - 1) * _PAD) / columns
    legend = 26.0
    used = math.ceil(len(shots) / 2)
    height = min((body.height - legend) / used, width / 1.3 + _CAPTION + _PAD)
    words: Words = {}
    for number, shot in enumerate(shots):
        left = body.left + number % 2 * (width + _PAD)
        top = body.top + number // 2 * height
        place = Box(left, top, left + width, top + height - _PAD)
        _picture(sheet, place, report, maker, shot, words)
    entries = [(word, looks, shape) for word, (looks, shape) in words.items()]
    y = body.top + used * height
    y = draw_heading(sheet, body.left, y, body.width, "Legend")
    sheet.text(body.right, y - 4.0, ONLY_WHAT_IS_KNOWN, size=_SIZE, align="right", color=FAINT_INK)
    columns = 6 if body.width > _WIDE else 5
    while columns < 8 and y + legend_height(sheet, entries, body.width, columns) > body.bottom:
        columns += 1
    draw_legend(sheet, body.left, y, body.width, entries, columns)


def _picture(
    sheet: Sheet, place: Box, report: Report, maker: SceneMaker, shot: Shot, words: Words
) -> None:
    """Draw one picture with its caption below, and note what it shows for the legend."""
    frame = place.part(bottom=place.bottom - _CAPTION)
    image, entries, view = _drawn(frame, report, maker, shot)
    for entry in entries:
        words.setdefault(entry.word, (list(entry.roles), entry.shape))
    sheet.picture(frame, image)
    sheet.lines([frame.outline], _FRAME)
    y = sheet.text(place.left, frame.bottom + 0.6, view.title, size=7.4, bold=True)
    caption = _caption(report, view, frame)
    line = fitted(sheet.letters, caption, place.width, _SIZE)
    sheet.text(place.left, y, line, size=_SIZE, color=FAINT_INK)


def _drawn(
    frame: Box, report: Report, maker: SceneMaker, shot: Shot
) -> tuple[Image.Image, tuple[PictureEntry, ...], View]:
    """Return a picture as large as a frame, what it shows, and its view."""
    width, height = round(_PX * frame.width), round(_PX * frame.height)
    # lines and type in millimetres of this paper, whatever the size of the picture
    page_width = round(_TYPE * _PX * PAGE_WIDTH)
    page = PictureSheet(page_width, page_width)
    view = shot.view
    if view is OVERVIEW:
        view = overview(report, maker.terrain, aspect=frame.width / frame.height)
    scene = maker.at(shot.angle)
    raw = draw(scene, view, width=width, height=height, page=(page.width, page.height))
    layers = visible(scene, view)
    image, _ = letter(raw, layers, view, page)
    entries = entries_for(layers, view, width=width, height=height, depth=raw.depth)
    return image, entries, view


def _caption(report: Report, view: View, frame: Box) -> str:
    """Return what must be known to read a picture."""
    units = report.model.site.site.units
    if view.eye_level:
        return _from_place(view, frame, units)
    words = [looking(view), "perspective, not to scale"]
    if view.name == "closest":
        worst = worst_clearance(report)
        if worst is not None:
            words.insert(0, closest_words(report, worst).replace("\n", ", "))
    return "; ".join(words)


def _from_place(view: View, frame: Box, units: UnitSystem) -> str:
    """Return where somebody stands, how wide the picture is and how to hold it."""
    eye = np.asarray(view.eye, float)
    away = format_length(math.hypot(eye[0], eye[1]), units)
    half = math.tan(view.field_of_view / 2) * frame.width / frame.height
    hold = frame.width / 2 / half
    distance = f"{hold / 10:.0f} cm" if units == "metric" else f"{hold / 25.4:.0f} in"
    wide = 2 * math.degrees(math.atan(half))
    return (
        f"{away} from the mast, {looking(view)}; {wide:.0f}° wide: hold the print {distance} from "
        "the eye"
    )
