"""Heights and distances along the frame of an elevation."""

import math

import numpy as np

from visual.scene.build import SceneMaker
from visual.scene.style import FAINT_INK
from visual.sheets.drawing import Drawing
from visual.sheets.page import Pen

_APART = 9.0  # marks are at least this far apart [mm]
_TICK = 1.6  # [mm]
_SIZE = 5.4  # of type [pt]
_PEN = Pen(width=0.2)
_FOOT = 0.3048


def draw_axes(drawing: Drawing, maker: SceneMaker) -> None:
    """Mark heights along the left side of a frame, and distances from the base along its foot."""
    model = maker.report.model
    unit = 1.0 if model.site.site.units == "metric" else _FOOT
    window, box = drawing.window, drawing.window.box
    step = _step(_APART / window.scale / unit) * unit
    west, low, east, high = window.reach
    datum = model.frame.origin_height
    decimals = max(0, -math.floor(math.log10(step / unit) + 1e-9))
    for level in _round(low + datum, high + datum, step):
        y = float(window.flat(np.array([0.0, 0.0, level - datum]))[0, 1])
        _mark(drawing, f"{level / unit:.{decimals}f}", box.left, y, level=True)
    for away in _round(west, east, step):
        x = float(window.box.middle[0] + window.scale * (away - window.middle[0]))
        _mark(drawing, f"{abs(away) / unit:.{decimals}f}", x, box.bottom, level=False)


def _round(low: float, high: float, step: float) -> np.ndarray:
    return step * np.arange(math.ceil(low / step), math.floor(high / step) + 1)


def _step(least: float) -> float:
    power = 10.0 ** math.floor(math.log10(least))
    return next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= least * (1 - 1e-9))


def _mark(drawing: Drawing, text: str, x: float, y: float, *, level: bool) -> None:
    """Draw a tick from the frame inwards with its number."""
    sheet, box = drawing.sheet, drawing.window.box
    width = sheet.text_width(text, size=_SIZE)
    if level and box.top + 6.0 < y < box.bottom - 4.0:
        sheet.line(x, y, x + _TICK, y, _PEN)
        sheet.text(x + _TICK + 0.5, y - 1.2, text, size=_SIZE, color=FAINT_INK, halo=0.3)
        drawing.taken.append(_quad(x, y - 1.2, x + _TICK + 1.0 + width, y + 1.2))
    if not level and box.left + 10.0 < x < box.right - 4.0:
        sheet.line(x, y, x, y - _TICK, _PEN)
        sheet.text(x, y - _TICK - 2.5, text, size=_SIZE, align="center", color=FAINT_INK, halo=0.3)
        drawing.taken.append(_quad(x - width / 2, y - 4.2, x + width / 2, y))


def _quad(left: float, top: float, right: float, bottom: float) -> np.ndarray:
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
