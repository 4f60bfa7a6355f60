"""The grid of the site on a plan: crosses at round coordinates, numbers along the frame."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from visual.frame import Frame, crs_unit_metres
from visual.scene.style import FAINT_INK
from visual.sheets.drawing import Drawing
from visual.sheets.page import Pen
from visual.sheets.window import Flat, Window

_APART = 38.0  # grid lines are at least this far apart [mm]
_CROSS, _TICK = 1.6, 2.0  # half a cross; a tick on the frame [mm]
_PEN = Pen(width=0.15, color=FAINT_INK)
_SIZE = 5.6  # of type [pt]
_FOOT = 0.3048


@dataclass(frozen=True, eq=False)
class Grid:
    """Round coordinates of a window.

    Parameters
    ----------
    eastings, northings : ndarray
        Round coordinates, in the units of the grid.
    decimals : int
        Decimals of their numbers.
    unit : str
        Sign of their unit.
    """

    eastings: Flat = field(repr=False)
    northings: Flat = field(repr=False)
    decimals: int
    unit: str


def round_grid(frame: Frame, window: Window) -> Grid:
    """Return the round coordinates that a plan shows."""
    west, south, east, north = window.reach
    x, y = np.array([west, east, east, west]), np.array([south, south, north, north])
    e, n = (np.asarray(part, dtype=float) for part in frame.to_grid(x, y))
    unit, size = _unit(frame)
    per_mm = np.ptp(n) / window.box.height, np.ptp(e) / window.box.width
    step = _round_up(_APART * max(per_mm) / size)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return Grid(_multiples(e, step * size), _multiples(n, step * size), decimals, unit)


def _unit(frame: Frame) -> tuple[str, float]:
    """Return the sign of the unit of a grid, and how many grid units one of them is."""
    if frame.is_local:
        return "m", 1.0
    if frame.scale is None:
        return "°", 1.0
    metres = crs_unit_metres(frame.crs)
    if abs(metres - 1.0) < 1e-12:
        return "m", 1.0
    return ("ft", 1.0) if abs(metres - _FOOT) < 1e-5 else ("", 1.0)


def _round_up(value: float) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    return next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= value * (1 - 1e-9))


def _multiples(values: Flat, step: float) -> Flat:
    first, last = math.ceil(values.min() / step), math.floor(values.max() / step)
    return step * np.arange(first, last + 1)


def draw_grid(drawing: Drawing, frame: Frame) -> Grid:
    """Draw crosses at round coordinates and their numbers along the frame, inside of it."""
    window = drawing.window
    grid = round_grid(frame, window)
    e, n = np.meshgrid(grid.eastings, grid.northings)
    x, y = frame.to_local(e.ravel(), n.ravel())
    at = window.flat(np.column_stack([x, y, np.zeros(len(x))]))
    shown = at[window.holds(at, edge=3.0)]
    drawing.sheet.lines([path for place in shown for path in _cross(place)], _PEN)
    for text, place, side in _edge_marks(grid, frame, window):
        _draw_mark(drawing, text, place, side)
    return grid


def _cross(at: Flat) -> list[Flat]:
    d, u = np.array([_CROSS, 0.0]), np.array([0.0, _CROSS])
    return [np.array([at - d, at + d]), np.array([at - u, at + u])]


def _edge_marks(grid: Grid, frame: Frame, window: Window) -> Iterator[tuple[str, Flat, str]]:
    """Yield the number, place and side of the frame of each grid line that meets it."""
    west, south, east, north = window.reach
    spots = 9
    for side in ("bottom", "left", "top", "right"):
        is_level = side in ("bottom", "top")
        if is_level:
            x = np.linspace(west, east, spots)
            y = np.full(spots, south if side == "bottom" else north)
        else:
            y = np.linspace(south, north, spots)
            x = np.full(spots, west if side == "left" else east)
        e, n = frame.to_grid(x, y)
        along, values = (e, grid.eastings) if is_level else (n, grid.northings)
        for value in values:
            if not along[0] <= value <= along[-1]:
                continue
            # the grid runs evenly along so short a side: 1e-6 of its length off at most
            spot = np.interp(value, along, x if is_level else y)
            point = (spot, y[0], 0.0) if is_level else (x[0], spot, 0.0)
            (at,) = window.flat(np.array(point))
            letter = "E" if is_level else "N"
            yield f"{letter} {_number(value, grid)}", at, side


def _number(value: float, grid: Grid) -> str:
    text = f"{value:,.{grid.decimals}f}".replace(",", " ").replace("-", "−")
    return f"{text}{grid.unit}" if grid.unit == "°" else text


def _draw_mark(drawing: Drawing, text: str, at: Flat, side: str) -> None:
    """Draw a tick from the frame inwards and the number beside it."""
    sheet, box = drawing.sheet, drawing.window.box
    inward = {"bottom": (0, -1), "top": (0, 1), "left": (1, 0), "right": (-1, 0)}[side]
    x, y = float(at[0]), float(at[1])
    a, b = inward
    sheet.line(x, y, x + _TICK * a, y + _TICK * b, Pen(width=0.25))
    half = sheet.text_width(text, size=_SIZE) / 2
    place = (x + (_TICK + 1.3) * a, y + (_TICK + 1.3) * b)
    is_level = b != 0
    if is_level:
        fits = box.left + half + 3 < x < box.right - half - 3
        w, h = half + 0.4, 1.3
    else:
        fits = box.top + half + 3 < y < box.bottom - half - 3
        w, h = 1.3, half + 0.4
    if not fits or side in ("top", "right"):
        return
    turn = 0.0 if is_level else -math.pi / 2
    sheet.turned_text(*place, text, turn=turn, size=_SIZE, color=FAINT_INK, halo=0.4)
    middle = np.array(place)
    drawing.taken.append(middle + np.array([[-w, -h], [w, -h], [w, h], [-w, h]]))
