"""Sheet 1: the site plan."""

from collections.abc import Sequence

from visual.checks import Report
from visual.scene.build import SceneMaker
from visual.scene.layers import LabelLayer
from visual.scene.render import visible
from visual.scene.views import plan
from visual.sheets.document import Document
from visual.sheets.drawing import Drawing
from visual.sheets.grid import draw_grid
from visual.sheets.labelling import put_labels
from visual.sheets.page import Pen
from visual.sheets.paper import Box
from visual.sheets.plan_contours import contour_labels
from visual.sheets.plan_drawing import draw_plan
from visual.sheets.plan_panel import draw_panel, panel_width
from visual.sheets.plan_setbacks import draw_setback_sheet
from visual.sheets.plan_window import plan_window
from visual.sheets.verdicts import JudgedSetback, judged_setbacks

TITLE = "Site plan"
_PAD = 3.0
_FRAME = Pen(width=0.3)


def draw_plan_sheet(
    document: Document, report: Report, maker: SceneMaker, *, denominator: float | None = None
) -> None:
    """Draw the site plan; setbacks that find no room beside it go on a sheet of their own.

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
    frame = body.part(right=body.right - panel_width(body))
    window = plan_window(report, frame, units=units, denominator=denominator)
    sheet = document.sheet(TITLE, scale=document.scale_words(window.denominator))
    setbacks = judged_setbacks(report)
    drawing = Drawing(sheet, window)
    with sheet.clip(frame):
        left_out = _draw(drawing, report, maker, setbacks)
    sheet.box(frame, _FRAME)
    panel = Box(frame.right + _PAD, body.top + _PAD, body.right - _PAD, body.bottom - _PAD)
    if not draw_panel(sheet, panel, maker, drawing, setbacks, left_out, units=units):
        draw_setback_sheet(document, TITLE, setbacks)


def _draw(
    drawing: Drawing, report: Report, maker: SceneMaker, setbacks: Sequence[JudgedSetback]
) -> tuple[str, ...]:
    """Draw the plan and return the names that found no room."""
    layers = [
        layer
        for layer in visible(maker.at(None), plan(report))
        if layer.group != "viewpoints"
        and not (isinstance(layer, LabelLayer) and layer.group == "contours")
    ]
    labels = draw_plan(drawing, report, layers, setbacks)
    labels += contour_labels(drawing, maker)
    draw_grid(drawing, report.model.frame)
    return put_labels(drawing, labels)
