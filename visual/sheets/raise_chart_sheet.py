"""The charts of the raise on a sheet of their own, as vectors."""

from visual.checks import Report
from visual.scene.charts import charts_for_a_sheet
from visual.sheets.document import Document

TITLE = "Raise sheet: forces at every angle"


def draw_raise_charts(document: Document, report: Report) -> None:
    """Draw all charts of the raise on one sheet."""
    sheet = document.sheet(TITLE)
    box = sheet.body.shrunk(2.0)
    aspect = box.width / box.height
    sheet.vector(box, charts_for_a_sheet(report, aspect=aspect), aspect=aspect)
