"""The charts of the raise as files: all on one page, and each on a page of its own."""

import io
import math
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from visual.checks import Report
from visual.raising import RaiseForces, RaiseRun
from visual.scene.build import caption_of
from visual.scene.chart_ink import empty_page, ink, own_settings, pen, put_text
from visual.scene.chart_panel import Hatch, draw_panel
from visual.scene.chart_records import ChartPanel
from visual.scene.chart_words import letter_panel
from visual.scene.curves import chart_panels
from visual.scene.fonts import line_height, text_size, wrap
from visual.scene.furniture import NOT_A_DESIGN, foot_text
from visual.scene.layers import Caption
from visual.scene.sheet import Rect, Sheet, lay_page
from visual.scene.style import FAINT_INK, INK, TYPE
from visual.units import UnitSystem, format_force

Progress = Callable[[Path, int, int], None]

TITLE = "Raise, forces at every angle"
_COLUMNS, _ROWS = 3, 2
_NO_METADATA = ("Date", "Creator", "Format", "Type")
_BESIDE = (13.0, 12.0, 5.0, 9.0)  # left of, above, right of and below the axes of a chart [mm]


def draw_charts(
    report: Report,
    *,
    out: Path,
    size: tuple[int, int] = (1600, 1000),
    progress: Progress | None = None,
) -> list[Path]:
    """Write the charts of the raise as PNG and SVG.

    Parameters
    ----------
    report : Report
        The judged model.
    out : Path
        Folder for the files, made if it is missing.
    size : tuple of int
        Width and height of a page. [px]
    progress : callable or None
        Called with path, number and total after each file.

    Returns
    -------
    list of Path
        The files: all charts on one page, then each on its own, PNG before SVG.
    """
    panels = chart_panels(report)
    pages: list[tuple[str, tuple[ChartPanel, ...]]] = [("raise", panels)]
    pages += [(f"raise-{panel.key}", (panel,)) for panel in panels]
    out.mkdir(parents=True, exist_ok=True)
    paths: list[Path] = []
    for name, shown in pages:
        png, svg = chart_files(report, shown, size=size)
        for ending, content in (("png", png), ("svg", svg)):
            paths.append(out / f"{name}.{ending}")
            _write(paths[-1], content)
            if progress is not None:
                progress(paths[-1], len(paths), 2 * len(pages))
    return paths


def _write(path: Path, content: bytes) -> None:
    """Write a file whole or not at all."""
    beside = path.with_name(path.name + ".part")
    beside.write_bytes(content)
    beside.replace(path)


def chart_files(
    report: Report, panels: Sequence[ChartPanel], *, size: tuple[int, int] = (1600, 1000)
) -> tuple[bytes, bytes]:
    """Return one page with charts as PNG and as SVG; the same bytes for the same report."""
    png, svg = io.BytesIO(), io.BytesIO()
    with own_settings():
        figure = chart_page(report, panels, size=size)
        figure.savefig(png, format="png", metadata={"Software": None})
        figure.savefig(svg, format="svg", metadata={"Date": None, "Creator": None})
    return png.getvalue(), svg.getvalue()


def chart_page(
    report: Report, panels: Sequence[ChartPanel], *, size: tuple[int, int] = (1600, 1000)
) -> Figure:
    """Draw one page with one chart, or with all of them side by side."""
    sheet = Sheet(*size)
    caption = caption_of(report.model)
    system: UnitSystem = caption.units
    figure = empty_page(sheet)
    foot = foot_text(sheet, caption)
    notes = notes_of(report, panels)
    alone = len(panels) == 1
    strip = _notes_height(notes, sheet) if alone else 0
    page = lay_page(sheet, panel="bottom", panel_size=strip, foot_lines=len(foot))
    _title(figure, sheet, page.title, caption)
    _foot(figure, sheet, page.foot, foot)
    cells = [page.frame] if alone else _cells(page.frame)
    _draw_panels(figure, sheet, panels, cells, system)
    _notes(figure, sheet, page.panel if alone else cells[-1], notes, alone=alone)
    return figure


def charts_for_a_sheet(report: Report, *, aspect: float) -> bytes:
    """Return all charts as SVG without title and foot, for a sheet that has its own.

    Hatching is drawn line by line: not every reader of SVG knows patterns.

    Parameters
    ----------
    report : Report
        The judged model.
    aspect : float
        Width over height.
    """
    panels, out = chart_panels(report), io.BytesIO()
    sheet = Sheet(1600, round(1600 / aspect))
    with own_settings():
        figure = empty_page(sheet)
        cells = _cells(Rect(0, 0, sheet.width, sheet.height))
        system: UnitSystem = report.model.site.site.units
        _draw_panels(figure, sheet, panels, cells, system, hatch="lines")
        _notes(figure, sheet, cells[-1], notes_of(report, panels), alone=False)
        figure.savefig(out, format="svg", metadata=dict.fromkeys(_NO_METADATA))
    return out.getvalue()


def _draw_panels(
    figure: Figure,
    sheet: Sheet,
    panels: Sequence[ChartPanel],
    cells: Sequence[Rect],
    system: UnitSystem,
    *,
    hatch: Hatch = "pattern",
) -> None:
    """Draw charts with their lettering, one a cell, all over the same angles."""
    start = min(float(curve.angles[0]) for panel in panels for curve in panel.curves)
    for panel, cell in zip(panels, cells, strict=False):
        axes = _axes(figure, sheet, cell)
        draw_panel(axes, panel, sheet, start=start, system=system, hatch=hatch)
        letter_panel(figure, axes, panel, sheet, system)


def _cells(frame: Rect) -> list[Rect]:
    """Return the places of the charts, row by row; the last one is for the notes."""
    w, h = frame.width // _COLUMNS, frame.height // _ROWS
    corners = [
        (frame.left + c * w, frame.top + r * h) for r in range(_ROWS) for c in range(_COLUMNS)
    ]
    return [Rect(x, y, x + w, y + h) for x, y in corners]


def _axes(figure: Figure, sheet: Sheet, cell: Rect) -> Axes:
    left, above, right, below = (sheet.px(x) for x in _BESIDE)
    x, y = cell.left + left, cell.bottom - below
    box = (
        x / sheet.width,
        1 - y / sheet.height,
        (cell.right - right - x) / sheet.width,
        (y - cell.top - above) / sheet.height,
    )
    middle = (x + (cell.right - right - x) / 2, y + sheet.px(4.6))
    put_text(
        figure, sheet, middle, "raising angle", sheet.small_font, color=FAINT_INK, align="center"
    )
    return figure.add_axes(box)


def _title(figure: Figure, sheet: Sheet, strip: Rect, caption: Caption) -> None:
    """Write site and name of the page on the left, date on the right, as on every picture."""
    pad = sheet.pad
    at = (float(pad), strip.top + 0.5 * pad)
    put_text(figure, sheet, at, caption.site, sheet.title_font, bold=True)
    left = pad + text_size(caption.site, sheet.title_font)[0] + 2 * pad
    drop = 0.5 * pad + (sheet.title_font.size - sheet.subtitle_font.size) * 0.95
    put_text(figure, sheet, (left, strip.top + drop), TITLE, sheet.subtitle_font)
    corner = (float(strip.right - pad), strip.top + drop)
    put_text(
        figure, sheet, corner, caption.date, sheet.subtitle_font, color=FAINT_INK, align="right"
    )


def _foot(figure: Figure, sheet: Sheet, strip: Rect, lines: Sequence[str]) -> None:
    """Write the caution line, as under every picture."""
    face, bold = sheet.small_font, sheet.type(TYPE.small, bold=True)
    x, y = float(sheet.pad), strip.top + 0.5 * sheet.pad
    put_text(figure, sheet, (x, y), NOT_A_DESIGN, bold, bold=True)
    lead = text_size(NOT_A_DESIGN, bold)[0] + sheet.pad
    put_text(figure, sheet, (x + lead, y), lines[0], face)
    put_text(figure, sheet, (x, y + line_height(face)), "\n".join(lines[1:]), face)


# --- notes --------------------------------------------------------------------------------------


def notes_of(report: Report, panels: Sequence[ChartPanel]) -> tuple[str, ...]:
    """Return what must be known to read the charts, one sentence or two each."""
    forces, system = report.forces, report.model.site.site.units
    found = ["Circles mark the worst of each line; dashed red lines are limits."]
    if len(forces.runs) > 1:
        found.insert(
            0, "Thick lines: with the head. Thin lines, open circles: the first raise, without it."
        )
    found += [_goes_over(run, len(forces.runs) > 1, system) for run in forces.runs]
    if any(panel.key == "gin-pole" for panel in panels):
        found.append(_pulled_pole(forces, system))
    if any(band.kind == "stop" for panel in panels for band in panel.bands):
        found.append("Hatched: stop. A limit is passed there.")
    found.append(
        "Everything stands still at every step: no jerks, no wind, no ice. A tight side wire "
        "pulls on the mast; the other charts leave that out."
    )
    return tuple(text for text in found if text)


def _goes_over(run: RaiseRun, several: bool, system: UnitSystem) -> str:
    """Say from where the mast goes over by itself, and what holds it then."""
    if run.hold_from is None or math.isnan(float(run.hold_back.max())):
        return ""
    which = "" if not several else " with the head" if run.with_head else " without the head"
    hold = format_force(float(run.hold_back.max()), system)
    return (
        f"From {math.degrees(run.hold_from):.1f}° the mast{which} goes over by itself: hold it "
        f"from the back, up to {hold} in the top back wire."
    )


def _pulled_pole(forces: RaiseForces, system: UnitSystem) -> str:
    """Say how hard the line pulls the gin pole off its foot; empty where it never does."""
    thrust = np.concatenate([run.gin_compression for run in forces.runs])
    least = float(thrust[np.isfinite(thrust)].min(initial=0.0))
    if least >= 0.0:
        return ""
    pull = format_force(-least, system)
    return f"Gin pole: below zero the line pulls it off its foot, up to {pull}: pin it there."


def _notes_height(notes: Sequence[str], sheet: Sheet) -> int:
    lines = wrap(" ".join(notes), sheet.small_font, sheet.width - 2 * sheet.pad)
    return round((len(lines) + 0.3) * line_height(sheet.small_font))


def _notes(figure: Figure, sheet: Sheet, box: Rect, notes: Sequence[str], *, alone: bool) -> None:
    """Write the notes: in the last place beside the charts, or below a single one."""
    face = sheet.small_font
    if alone:
        lines = wrap(" ".join(notes), face, box.width)
        put_text(figure, sheet, (float(box.left), float(box.top)), "\n".join(lines), face)
        return
    x, y = box.left + sheet.px(6.0), box.top + sheet.px(2.4)
    heading = sheet.type(TYPE.label, bold=True)
    put_text(figure, sheet, (x, y), "How to read them", heading, bold=True)
    y += 1.5 * line_height(heading)
    for note in notes:
        lines = wrap(note, face, box.right - sheet.px(3.0) - x)
        put_text(figure, sheet, (x, y), "\n".join(lines), face)
        y += (len(lines) + 0.45) * line_height(face)
    across = [(x - sheet.px(2.4)) / sheet.width] * 2
    down = [1 - (box.top + sheet.px(2.4)) / sheet.height, 1 - y / sheet.height]
    figure.add_artist(Line2D(across, down, color=ink(INK), linewidth=pen(sheet, 0.2)))
