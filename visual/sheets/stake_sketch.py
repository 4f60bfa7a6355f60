"""A sketch of base, hinge line and anchors in plan, front up, to go with the tapes."""

import numpy as np

from visual.crew.stake import StakeOut
from visual.model import Model
from visual.rig import SIDES, Side
from visual.scene.style import FAINT_INK, PAPER
from visual.sheets.field_type import Type
from visual.sheets.north_sign import draw_north
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.text import Align, line_height
from visual.sheets.window import Flat, Window
from visual.units import UnitSystem, format_length

_TAPE = Pen(width=0.18, color=FAINT_INK)
_ACROSS = Pen(width=0.18, color=FAINT_INK, dash=(2.0, 1.2))
_HINGE = Pen(width=0.3, dash=(5.0, 1.2, 1.0, 1.2))
_BASE_TAPE = Pen(width=0.45)


def draw_stake_sketch(
    sheet: Sheet, box: Box, model: Model, stake: StakeOut, *, units: UnitSystem
) -> None:
    """Draw the pegs with every tape, front up, as large as a box allows; not to a round scale."""
    kind = Type.on(sheet)
    size = 0.82 * kind.head
    window = _fitted(model, box.shrunk(2.6 * line_height(size)))
    base = window.flat(np.zeros(3))[0]
    places = {side: window.flat(model.anchors[side].eye)[0] for side in SIDES}
    _hinge_line(sheet, base, places)
    for tape in stake.tapes:
        pen = _ACROSS if tape.opposite else _TAPE
        sheet.lines([[places[tape.start].tolist(), places[tape.end].tolist()]], pen)
    for anchor in stake.anchors:
        end = places[anchor.side]
        sheet.lines([[base.tolist(), end.tolist()]], _BASE_TAPE)
        middle = base + 0.52 * (end - base)
        text = format_length(anchor.straight, units)
        _on_line(sheet, middle, end - base, text, size=size)
    for tape in stake.tapes:
        if not tape.opposite:
            a, b = places[tape.start], places[tape.end]
            _on_line(sheet, (a + b) / 2, b - a, format_length(tape.straight, units), size=size)
    sheet.mark("ring", float(base[0]), float(base[1]), 2.6)
    for side in SIDES:
        _name(sheet, side, places[side], base, size=1.1 * size)
    draw_north(sheet, box.right - 6.0, box.top + 6.0, turn=-model.rig.front, size=9.0)


def _fitted(model: Model, room: Box) -> Window:
    """Return a window with the front up that shows all pegs as large as they go in a box."""
    pegs = [np.zeros(3), *(anchor.eye for anchor in model.anchors.values())]
    flat = np.array([[one @ model.rightward, one @ model.forward] for one in pegs])
    low, high = flat.min(axis=0), flat.max(axis=0)
    span = np.maximum(high - low, 1e-6)
    scale = min(room.width / span[0], room.height / span[1])
    across, along = (low + high) / 2
    return Window(
        box=room,
        denominator=1000.0 / scale,
        right=model.rightward,
        up=model.forward,
        middle=(float(across), float(along)),
    )


def _hinge_line(sheet: Sheet, base: Flat, places: dict[Side, Flat]) -> None:
    far = 1.08 * max(abs(places[side][0] - base[0]) for side in ("left", "right"))
    sheet.line(base[0] - far, base[1], base[0] + far, base[1], _HINGE)


def _on_line(sheet: Sheet, at: Flat, along: Flat, text: str, *, size: float) -> None:
    turn = float(np.arctan2(along[1], along[0]))
    if abs(turn) > np.pi / 2 + 1e-6:
        turn -= np.pi * np.sign(turn)
    w, h = sheet.text_width(text, size=size) / 2 + 0.6, 0.42 * line_height(size)
    along, down = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
    corners = [
        (at + a * w * along + b * h * down).tolist()
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    sheet.area([corners], PAPER)
    sheet.turned_text(float(at[0]), float(at[1]), text, turn=turn, size=size)


def _name(sheet: Sheet, side: Side, at: Flat, base: Flat, *, size: float) -> None:
    sheet.mark("square", float(at[0]), float(at[1]), 2.6)
    out = (at - base) / max(float(np.linalg.norm(at - base)), 1e-6)
    shift = 1.9 + 0.5 * line_height(size)
    x, y = at + out * np.array([1.9, shift])
    align: Align = "center" if abs(out[0]) < 0.5 else "left" if out[0] > 0 else "right"
    sheet.text(x, y - line_height(size) / 2, side, size=size, bold=True, align=align, halo=0.8)
