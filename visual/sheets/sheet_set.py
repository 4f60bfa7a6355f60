"""The whole set: which sheets for whom, in one PDF."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Literal, get_args

from visual.checks import Report
from visual.scene.build import SceneMaker, caption_of
from visual.sheets.document import Document, Heading
from visual.sheets.elevation_sheet import draw_elevation_sheet
from visual.sheets.field_sheet import draw_field_sheet
from visual.sheets.findings_sheet import draw_findings_sheet
from visual.sheets.methods_sheet import draw_methods_sheet
from visual.sheets.paper import PAPERS
from visual.sheets.plan_sheet import draw_plan_sheet
from visual.sheets.raise_sheet import draw_raise_sheet
from visual.sheets.views_sheet import draw_views_sheet

Reader = Literal["permit", "crew", "neighbour"]

READERS: tuple[Reader, ...] = get_args(Reader)

Part = Literal["plan", "elevations", "pictures", "field", "raise", "findings", "methods"]

PARTS: tuple[Part, ...] = get_args(Part)

FOR: dict[Reader, tuple[Part, ...]] = {
    "permit": ("plan", "elevations", "pictures", "findings", "methods"),
    "crew": ("plan", "elevations", "field", "raise", "findings"),
    "neighbour": ("plan", "elevations", "pictures"),
}
"""Which sheets each reader is given; without a reader the set is whole."""

Progress = Callable[[str], None]


def sheet_set(
    report: Report,
    *,
    paper: str = "A3",
    reader: Reader | None = None,
    revision: str = "",
    date: dt.date,
    denominator: float | None = None,
    progress: Progress | None = None,
) -> bytes:
    """Return the sheet set as PDF; the same bytes for the same report, revision and date.

    Parameters
    ----------
    report : Report
        The judged model; its site says in which units the sheets are.
    paper : str
        Name of the paper, see `visual.sheets.paper.PAPERS`.
    reader : {"permit", "crew", "neighbour"} or None
        Who it is for; None: all sheets.
    revision : str
        Revision for the title block.
    date : date
        Date for the title block and of the file.
    denominator : float or None
        Scale of the site plan, one to this; None: the largest standard scale that shows all.
    progress : callable or None
        Called with a line of text as the work goes on.
    """
    caption = caption_of(report.model)
    heading = Heading(
        caption.site,
        date,
        revision=revision,
        standing=caption.standing,
        units=caption.units,
        warning=stop_words(report),
    )
    document = Document(paper=PAPERS[paper], heading=heading)
    maker = SceneMaker(report)
    say = progress or _silent
    for part in FOR[reader] if reader else PARTS:
        say(f"{part} …")
        _draw(part, document, report, maker, denominator, say)
    return document.content()


def stop_words(report: Report) -> str:
    """Return what every sheet says if something stops the job; empty if nothing does."""
    stops = sum(finding.status == "stop" for finding in report.findings)
    if not stops:
        return ""
    found = "1 finding says" if stops == 1 else f"{stops} findings say"
    return f"DO NOT RAISE LIKE THIS: {found} STOP."


def _silent(text: str) -> None:
    """Say nothing."""


def _draw(
    part: Part,
    document: Document,
    report: Report,
    maker: SceneMaker,
    denominator: float | None,
    say: Progress,
) -> None:
    if part == "plan":
        draw_plan_sheet(document, report, maker, denominator=denominator)
    elif part == "elevations":
        draw_elevation_sheet(document, report, maker)
    elif part == "pictures":
        reason = draw_views_sheet(document, report, maker)
        if reason:
            say(f"no pictures: {reason}")
    else:
        draws: dict[str, Callable[[Document, Report], None]] = {
            "field": draw_field_sheet,
            "raise": draw_raise_sheet,
            "findings": draw_findings_sheet,
            "methods": draw_methods_sheet,
        }
        draws[part](document, report)


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole or not at all."""
    beside = path.with_name(f"{path.name}.part")
    beside.write_bytes(content)
    beside.replace(path)
