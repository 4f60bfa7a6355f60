"""Sheet 2: elevations along the raising plane and square to it, at one scale both ways."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from visual.checks import Report
from visual.scene.build import SceneMaker
from visual.scene.camera import View
from visual.scene.framing import swept, vehicle_places
from visual.scene.layers import MarkShape
from visual.scene.section import heights_from
from visual.scene.views import front, raising
from visual.sheets.approaches import approach_table, draw_approaches, shown_in
from visual.sheets.document import Document, fitted
from visual.sheets.drawing import Drawing
from visual.sheets.elevation_axes import draw_axes
from visual.sheets.elevation_drawing import distances_along, draw_elevation, elevation_layers
from visual.sheets.elevation_places import Elevation, apart, together
from visual.sheets.furniture import (
    draw_heading,
    draw_legend,
    draw_scale_bar,
    legend_entries,
    legend_height,
)
from visual.sheets.labelling import put_labels
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.table import draw_table, table_height
from visual.sheets.verdicts import JudgedApproach, judged_approaches
from visual.sheets.window import UP
from visual.units import UnitSystem

TITLE = "Elevations"
_PAD = 3.0
_WORTH = 1.4  # a second sheet is taken if the drawings become at least so much larger
_MOST_DRAWN = 4  # closest approaches in one elevation
_THREE_COLUMNS = 110.0  # a legend at least so wide has three columns [mm]
_FAR = 25.0  # what stays this much farther away than is asked is not listed [m]
_LISTED = 8  # so many are listed however far they are
_FRAME = Pen(width=0.3)

NOTE = (
    "Heights and lengths at the same scale. Distances in the table are measured in space, from "
    "surface to surface, over the whole raise; a drawing shows them as seen from its side. Keys in "
    "brackets are not drawn. Grey: what stands beyond the cut. Along the frame: height, and "
    "distance from the base."
)


def draw_elevation_sheet(
    document: Document, report: Report, maker: SceneMaker, *, denominator: float | None = None
) -> None:
    """Draw both elevations, the closest approaches and the legend; on small paper on two sheets.

    Parameters
    ----------
    document : Document
        The set.
    report : Report
        The judged model.
    maker : SceneMaker
        Its layers.
    denominator : float or None
        The scale, one to this, if it is asked for.
    """
    body, units = document.body, document.heading.units
    both = (_along(report), _across(report))
    one_sheet, two_sheets = together(both, body, units), apart(both, body, units)
    plan = two_sheets if one_sheet.scale > _WORTH * two_sheets.scale else one_sheet
    scale = plan.scale if denominator is None else denominator
    windows = [one.window(box, scale) for one, box in zip(both, plan.boxes, strict=True)]
    approaches = judged_approaches(report)
    shares = shown_in(approaches, windows, most=_MOST_DRAWN)
    roles: dict[str, MarkShape] = {}
    words = document.scale_words(scale)
    sheet = document.sheet(both[0].name if plan.is_apart else TITLE, scale=words)
    for elevation, window, shown in zip(both, windows, shares, strict=True):
        if plan.is_apart and window is windows[-1]:
            sheet = document.sheet(elevation.name, scale=words)
        drawing = Drawing(sheet, window)
        _draw(drawing, elevation, maker, shown)
        if plan.is_apart and window is windows[0]:
            _bar_in(drawing, units)
        roles |= drawing.roles
    drawn = [one.key for share in shares for one in share]
    put = _beside if plan.is_apart else _below
    put(sheet, plan.rest, approaches, drawn, roles, scale=scale, units=units)


def _along(report: Report) -> Elevation:
    view = raising(report)
    points = np.concatenate([swept(report), vehicle_places(report)])
    return Elevation("Elevation along the raising plane", view, True, _corners(view, points))


def _across(report: Report) -> Elevation:
    """Return the elevation square to the raising plane, with the dimensions beside it."""
    model = report.model
    view = front(report)
    total = model.rig.mast.total_height
    eyes = [anchor.eye for anchor in model.anchors.values() if anchor.placed]
    low = min((float(eye[2]) for eye in eyes), default=0.0) - 0.16 * total
    points = [
        (model.rig.mast.reach + 0.06 * total) * UP,
        (heights_from(model) + 0.16 * total) * model.rightward + low * UP,
        *(1.15 * float(eye @ model.rightward) * model.rightward for eye in eyes),
    ]
    name = "Elevation square to the raising plane"
    return Elevation(name, view, False, _corners(view, np.array(points)))


def _corners(view: View, points: NDArray[np.float64]) -> NDArray[np.float64]:
    right, up, _ = view.axes
    flat = np.column_stack([points @ right, points @ up])
    return np.array([flat.min(axis=0), flat.max(axis=0)])


def _draw(
    drawing: Drawing, elevation: Elevation, maker: SceneMaker, shown: Sequence[JudgedApproach]
) -> None:
    sheet, box = drawing.sheet, drawing.window.box
    with sheet.clip(box):
        view = elevation.view
        labels = draw_elevation(drawing, elevation_layers(maker, view), view)
        if elevation.is_along:
            labels += distances_along(drawing, maker)
        labels += draw_approaches(drawing, maker.report, shown)
        words = fitted(sheet.letters, elevation.title, box.width - 4.0, 8.0, bold=True)
        title = sheet.text(box.left + 2.0, box.top + 1.2, words, size=8.0, bold=True)
        width = sheet.text_width(words, size=8.0, bold=True)
        corners = [(box.left, box.top), (box.left + width + 3.0, box.top)]
        corners += [(box.left + width + 3.0, title), (box.left, title)]
        drawing.taken.append(np.array(corners))
        draw_axes(drawing, maker)
        put_labels(drawing, labels)
    sheet.box(box, _FRAME)


def _bar_in(drawing: Drawing, units: UnitSystem) -> None:
    """Draw a scale bar into the upper right corner of a drawing that has a sheet to itself."""
    box, room = drawing.window.box, 60.0
    scale = drawing.window.denominator
    draw_scale_bar(
        drawing.sheet, box.right - room, box.top + 2.0, room, denominator=scale, units=units
    )


def _below(
    sheet: Sheet,
    strip: Box,
    approaches: Sequence[JudgedApproach],
    drawn: Sequence[str],
    roles: Mapping[str, MarkShape],
    *,
    scale: float,
    units: UnitSystem,
) -> None:
    """Draw scale bar, closest approaches and legend below the elevations."""
    first, second = (strip.left + share * strip.width for share in (0.20, 0.62))
    room = 0.18 * strip.width
    y = draw_scale_bar(sheet, strip.left, strip.top, room, denominator=scale, units=units)
    sheet.paragraph(strip.left, y, room, NOTE, size=5.8)
    y = draw_heading(sheet, first, strip.top, second - first - _PAD, "Closest approaches")
    _table(sheet, Box(first, y, second - _PAD, strip.bottom), approaches, drawn, units)
    y = draw_heading(sheet, second, strip.top, strip.right - second, "Legend")
    entries = legend_entries(roles)
    columns = 2 if strip.right - second < _THREE_COLUMNS else 3
    draw_legend(sheet, second, y, strip.right - second, entries, columns)


def _beside(
    sheet: Sheet,
    panel: Box,
    approaches: Sequence[JudgedApproach],
    drawn: Sequence[str],
    roles: Mapping[str, MarkShape],
    *,
    scale: float,
    units: UnitSystem,
) -> None:
    """Draw scale bar, closest approaches and legend beside the second elevation."""
    x, width = panel.left, panel.width
    y = draw_scale_bar(sheet, x, panel.top, min(width, 80.0), denominator=scale, units=units)
    y = sheet.paragraph(x, y, width, NOTE, size=5.8) + 1.5
    entries = legend_entries(roles)
    legend = legend_height(sheet, entries, width, 2) + 6.0
    y = draw_heading(sheet, x, y, width, "Closest approaches")
    _table(sheet, Box(x, y, panel.right, panel.bottom - legend), approaches, drawn, units)
    y = draw_heading(sheet, x, panel.bottom - legend, width, "Legend")
    draw_legend(sheet, x, y, width, entries, 2)


def _table(
    sheet: Sheet,
    box: Box,
    approaches: Sequence[JudgedApproach],
    drawn: Sequence[str],
    units: UnitSystem,
) -> None:
    """Draw as many closest approaches as find room, and say how many did not."""
    if not approaches:
        sheet.paragraph(box.left, box.top, box.width, "Nothing is known to stand around.", size=6.2)
        return
    shown = sum(one.finding.status != "ok" or one.clearance.margin < _FAR for one in approaches)
    shown = max(shown, min(_LISTED, len(approaches)))
    while shown > 1 and box.top + _table_height(
        sheet, approaches[:shown], drawn, box.width, units
    ) > box.bottom - (0.0 if shown == len(approaches) else 3.0):
        shown -= 1
    table = approach_table(approaches[:shown], drawn, units)
    _, y = draw_table(sheet, table, top=box.top, left=box.left, width=box.width, next_sheet=_none)
    if shown < len(approaches):
        words = f"{len(approaches) - shown} more, all farther away: sheet of findings."
        sheet.text(box.left, y + 0.4, words, size=5.8)


def _table_height(
    sheet: Sheet,
    approaches: Sequence[JudgedApproach],
    drawn: Sequence[str],
    width: float,
    units: UnitSystem,
) -> float:
    return table_height(sheet, approach_table(approaches, drawn, units), width=width)


def _none() -> Sheet:
    message = "a table that was measured to fit does not"
    raise AssertionError(message)
