"""The words of shaded ranges of a chart: level where there is room, else upright in the range."""

import math
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from visual.raising.motion import Array
from visual.scene.boxes import Quad, crossings, turned_box
from visual.scene.chart_ink import put_turned_text
from visual.scene.chart_panel import on_page
from visual.scene.chart_records import Band, ChartPanel
from visual.scene.fonts import text_size
from visual.scene.label_places import Wish
from visual.scene.sheet import Sheet
from visual.scene.style import INK, TYPE, VERMILION

_WIDE = 1.6  # a range this many times as wide as its word has it level
_INSIDE = [(x, y) for y in (0.1, 0.9, 0.3, 0.7, 0.5) for x in (0.75, 0.5, 0.9, 0.25)]


@dataclass(frozen=True, eq=False)
class Words:
    """A text that wants a place."""

    text: str
    wish: Wish
    bold: bool = False
    limit: bool = False


def joined(bands: tuple[Band, ...]) -> list[Band]:
    """Return ranges that share a word and overlap as one, in the order of their words."""
    found: list[Band] = []
    for band in sorted(bands, key=lambda one: (one.word, one.start)):
        last = found[-1] if found else None
        if last is not None and last.word == band.word and band.start <= last.end + 1e-9:
            found[-1] = Band(last.kind, last.word, last.start, max(last.end, band.end))
        else:
            found.append(band)
    return found


def _sides(band: Band, axes: Axes, sheet: Sheet) -> tuple[float, float]:
    """Return left and right side of a range on the page. [px]"""
    ends = np.degrees([band.start, band.end])
    left, right = on_page(axes, ends, np.zeros(2), sheet)[:, 0]
    return float(left), float(right)


def wide_ranges(
    panel: ChartPanel,
    axes: Axes,
    sheet: Sheet,
    frame: tuple[float, float, float, float],
    *,
    first: int,
) -> list[Words]:
    """Return the words of ranges that are wide enough for a level text."""
    found: list[Words] = []
    for band in joined(panel.bands):
        left, right = _sides(band, axes, sheet)
        w, h = text_size(band.word, sheet.type(TYPE.number, bold=True))
        if right - left <= _WIDE * text_size(band.word, sheet.small_font)[0]:
            continue
        for rank, (across, down) in enumerate(_INSIDE):
            at = np.array([left + across * (right - left), frame[1] + down * (frame[3] - frame[1])])
            wish = Wish(
                key=first + len(found),
                at=at,
                size=(w, h),
                priority=7.0 - 0.01 * rank,
                turn=0.0,
                one_of=f"range {band.word} {band.start}",
                counted=rank == 0,
            )
            found.append(Words(band.word, wish, bold=True, limit=band.kind == "stop"))
    return found


def narrow_ranges(
    figure: Figure,
    panel: ChartPanel,
    axes: Axes,
    sheet: Sheet,
    frame: tuple[float, float, float, float],
    lines: Array,
) -> list[Quad]:
    """Write the word of each narrow range upright inside it; return the boxes."""
    boxes: list[Quad] = []
    face = sheet.small_font
    for band in joined(panel.bands):
        left, right = _sides(band, axes, sheet)
        w, h = text_size(band.word, face)
        if right - left > _WIDE * w:
            continue
        x = min(max((left + right) / 2, frame[0] + h / 2), frame[2] - h / 2)
        pad = sheet.px(1.0)
        offers = [
            turned_box(np.array([x, y]), (w, h), -math.pi / 2)
            for y in (
                frame[1] + w / 2 + pad,
                frame[3] - w / 2 - pad,
                (frame[1] + frame[3]) / 2,
            )
        ]
        counts = crossings(np.array(offers), lines)
        box = offers[int(np.argmin(counts))]
        boxes.append(box)
        middle = box.mean(axis=0)
        color = VERMILION if band.kind == "stop" else INK
        put_turned_text(
            figure,
            sheet,
            (middle[0], middle[1]),
            band.word,
            face,
            turn=-math.pi / 2,
            color=color,
        )
    return boxes
