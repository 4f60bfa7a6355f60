"""Dimension lines: a measured length on paper, ticks at its ends, its text as a label."""

import math
from collections.abc import Iterable

import numpy as np

from visual.scene.layers import DimensionLayer
from visual.scene.overlay import upright
from visual.scene.style import INK, RGB
from visual.sheets.drawing import Drawing
from visual.sheets.labelling import Label
from visual.sheets.page import Pen
from visual.sheets.text import line_height
from visual.sheets.window import Flat

_TICK = 0.9  # half the length of a tick, along and across [mm]
_SIZE = 6.5  # of type [pt]
_SHARES = (0.5, 0.72, 0.32, 0.86, 0.18)


def dimension_labels(drawing: Drawing, layers: Iterable[DimensionLayer]) -> list[Label]:
    """Draw dimensions and return the labels of their texts."""
    labels = []
    for number, layer in enumerate(layers):
        start, end = drawing.window.flat(layer.points)
        if not np.isfinite([start, end]).all() or np.linalg.norm(end - start) < 2.0:
            continue
        along = (end - start) / np.linalg.norm(end - start)
        shift = layer.offset * np.array([along[1], -along[0]])
        if layer.offset:
            witness = [np.array([p, p + 1.15 * shift]) for p in (start, end)]
            drawing.sheet.lines(drawing.window.cut_lines(witness), Pen(width=0.1))
        labels += measured(
            drawing,
            start + shift,
            end + shift,
            layer.text,
            choice=f"dimension {number} {layer.name}",
            priority=layer.priority,
        )
    return labels


def measured(
    drawing: Drawing,
    start: Flat,
    end: Flat,
    text: str,
    *,
    choice: str,
    priority: float = 9.0,
    color: RGB = INK,
    bold: bool = False,
    width: float = 0.15,
    shares: Iterable[float] = _SHARES,
) -> list[Label]:
    """Draw a line with ticks between two points of the paper and return places for its text."""
    way = end - start
    length = float(np.linalg.norm(way))
    along = way / max(length, 1e-9)
    left = np.array([along[1], -along[0]])
    tick = _TICK * (along + left) / math.sqrt(2)
    pen = Pen(width=width, color=color)
    drawn = drawing.window.cut_lines([np.array([start, end])])
    ends = [p for p in (start, end) if drawing.window.holds(p[None])[0]]
    drawing.sheet.lines(drawn + [np.array([p - tick, p + tick]) for p in ends], pen)
    if not drawn:
        return []
    drawing.kept_clear.append((drawn, 60.0))
    turn = upright(math.atan2(along[1], along[0]))
    is_room = length > drawing.sheet.text_width(text, size=_SIZE, bold=bold) + 3.0
    # a text beside its line, on either side, reads better than one across it
    aside = 0.62 * line_height(_SIZE)
    offers = [(s, side) for s in shares for side in (aside, -aside)]
    return [
        Label(
            text=text,
            at=start + share * way + side * left,
            size=_SIZE,
            priority=priority - 0.02 * rank,
            choice=choice,
            turn=turn if is_room else None,
            or_beside=True,
            color=color,
            bold=bold,
        )
        for rank, (share, side) in enumerate(offers)
        if is_room or side > 0
    ]
