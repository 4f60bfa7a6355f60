"""Labels of a drawing: names, heights, dimensions, laid out so that none touches another.

The layout is that of the pictures (`visual.scene.labels`), worked in its pixels: a page as wide
as `visual.scene.style.PAGE_WIDTH` has 1600.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.scene.label_places import Place, Wish
from visual.scene.labels import lay_out
from visual.scene.layers import LabelLayer
from visual.scene.overlay import upright
from visual.scene.style import INK, PAGE_WIDTH, PAPER, RGB, ROLES
from visual.sheets.drawing import Drawing
from visual.sheets.page import Pen
from visual.sheets.text import line_height
from visual.sheets.window import Flat

_PX = 1600 / PAGE_WIDTH  # per mm
_HALO = 0.45  # [mm]
_LEADER = Pen(width=0.13)
_SIZES = {"name": 6.8, "dimension": 6.5, "angle": 6.5, "height": 5.6, "warning": 6.8, "number": 6.5}
_GAP, _REACH = 0.7, 17.0  # [mm]


@dataclass(frozen=True, eq=False, kw_only=True)
class Label:
    """A text that wants a place on a drawing.

    Parameters
    ----------
    text : str
        The text; a line break starts a new line.
    at : ndarray, shape (2,)
        Its point on the paper. [mm]
    size : float
        Of type. [pt]
    priority : float
        Larger chooses first.
    choice : str
        Labels that share a non-empty text here are alternatives.
    turn : float or None
        Clockwise turn of a text centred on its point; None: level, beside it. [rad]
    slide : float
        How far a turned text may move along itself. [mm]
    or_beside : bool
        Whether a turned text may stand level beside its point.
    bold : bool
        Type.
    color : tuple of int
        Ink.
    boxed : bool
        Whether a box is drawn around it.
    counted : bool
        Whether leaving it out is worth telling.
    """

    text: str
    at: Flat = field(repr=False)
    size: float = 6.8
    priority: float = 1.0
    choice: str = ""
    turn: float | None = None
    slide: float = 0.0
    or_beside: bool = False
    bold: bool = False
    color: RGB = INK
    boxed: bool = False
    counted: bool = True


def labels_of(drawing: Drawing, layers: Iterable[LabelLayer]) -> list[Label]:
    """Return the labels of layers that lie in the window."""
    window, found = drawing.window, []
    for layer in layers:
        (at,) = window.flat(layer.at)
        if not np.isfinite(at).all() or not window.holds(at[None], edge=0.5)[0]:
            continue
        turn: float | None = 0.0 if layer.over else None
        if layer.along is not None:
            a, b = window.flat(np.array([layer.at - layer.along, layer.at + layer.along]))
            turn = upright(math.atan2(b[1] - a[1], b[0] - a[0]))
        found.append(
            Label(
                text=shortened(layer.text),
                at=at,
                size=_SIZES[layer.label_kind],
                priority=layer.priority,
                choice=layer.choice,
                turn=turn,
                or_beside=layer.over,
                color=ROLES[layer.role].color,
                bold=layer.label_kind == "warning",
                counted=layer.label_kind != "height",
            )
        )
    return found


def shortened(text: str, most: int = 52) -> str:
    """Return a text whose lines are cut with dots where they are too long for a drawing."""
    lines = text.split("\n")
    return "\n".join(f"{one[: most - 1].rstrip()}…" if len(one) > most else one for one in lines)


def put_labels(drawing: Drawing, labels: Sequence[Label]) -> tuple[str, ...]:
    """Lay out labels and write them; return the texts that found no room."""
    box = drawing.window.box.shrunk(0.8)
    layout = lay_out(
        [_wish(drawing, label, key) for key, label in enumerate(labels)],
        frame=(_PX * box.left, _PX * box.top, _PX * box.right, _PX * box.bottom),
        taken=[_PX * quad for quad in drawing.taken],
        lines=[(_pieces(paths), weight) for paths, weight in drawing.kept_clear],
        gap=_PX * _GAP,
        reach=_PX * _REACH,
    )
    leaders = [place.leader / _PX for place in layout.places if place.leader is not None]
    drawing.sheet.lines(leaders, Pen(_LEADER.width + 0.5, PAPER))
    drawing.sheet.lines(leaders, _LEADER)
    for place in layout.places:
        _write(drawing, labels[place.wish.key], place)
    drawing.taken += [place.box / _PX for place in layout.places]
    placed = {_choice(labels[place.wish.key], place.wish.key) for place in layout.places}
    missing = {
        _choice(label, key): label.text
        for key, label in enumerate(labels)
        if label.counted and _choice(label, key) not in placed
    }
    return tuple(missing.values())


def _choice(label: Label, key: int) -> str:
    return label.choice or f" {key}"


def _size(drawing: Drawing, label: Label) -> tuple[float, float]:
    """Return width and height of the box of a label. [mm]"""
    width = drawing.sheet.text_width(label.text, size=label.size, bold=label.bold)
    height = (label.text.count("\n") + 1) * line_height(label.size)
    spare = 1.4 if label.boxed else 0.5
    return width + spare, height + (spare if label.boxed else 0.0)


def _wish(drawing: Drawing, label: Label, key: int) -> Wish:
    width, height = _size(drawing, label)
    return Wish(
        key=key,
        at=_PX * label.at,
        size=(_PX * width, _PX * height),
        priority=label.priority,
        turn=label.turn,
        slide=_PX * label.slide,
        clear=_PX * 1.1,
        or_beside=label.or_beside,
        one_of=label.choice,
        counted=label.counted,
    )


def _pieces(paths: Sequence[Flat]) -> NDArray[np.float64]:
    """Return lines as straight pieces, in the pixels of the layout."""
    pieces = [np.stack([path[:-1], path[1:]], axis=1) for path in paths]
    return _PX * np.concatenate(pieces)


def _write(drawing: Drawing, label: Label, place: Place) -> None:
    x, y = (float(part) / _PX for part in place.middle)
    sheet = drawing.sheet
    if label.boxed:
        corners = place.box / _PX
        sheet.area([corners], PAPER, outline=Pen(width=0.3, color=label.color))
    if place.turn:
        sheet.turned_text(
            x, y, label.text, turn=place.turn, size=label.size, bold=label.bold,
            color=label.color, halo=_HALO,
        )  # fmt: skip
        return
    lines = label.text.count("\n") + 1
    left, align = x, "center"
    if lines > 1:
        left = x - sheet.text_width(label.text, size=label.size, bold=label.bold) / 2
        align = "left"
    sheet.text(
        left, y - lines * line_height(label.size) / 2, label.text, size=label.size,
        bold=label.bold, color=INK if label.boxed else label.color,
        align="left" if align == "left" else "center", halo=_HALO,
    )  # fmt: skip
