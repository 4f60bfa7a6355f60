"""The legend: one entry per thing that is really in the picture."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from visual.scene.camera import View
from visual.scene.dashes import cut_by_length
from visual.scene.fonts import line_height, wrap
from visual.scene.layers import AnyLayer, LineLayer, MarkLayer, MarkShape, MeshLayer, Points
from visual.scene.lettering import draw_arrow, draw_lines, draw_mark, draw_text
from visual.scene.sheet import Rect, Sheet
from visual.scene.spotter import Spotter
from visual.scene.style import PAPER, RGB, ROLES, Role

_ENOUGH = 3  # so many of its points in the picture make a line worth an entry
_SWATCH = 8.5  # width of a swatch [mm]


@dataclass(frozen=True)
class Entry:
    """One line of the legend.

    Parameters
    ----------
    word : str
        What it is.
    roles : tuple of Role
        What is drawn in the swatch, areas first.
    shape : str
        Sign of a mark.
    """

    word: str
    roles: tuple[Role, ...] = field(repr=False)
    shape: MarkShape = "dot"


def entries_for(
    layers: Iterable[AnyLayer],
    view: View,
    *,
    width: int,
    height: int,
    depth: NDArray[np.float64] | None = None,
) -> tuple[Entry, ...]:
    """Return legend entries for the roles that can be seen in the picture, in order of `ROLES`.

    Parameters
    ----------
    layers : iterable of layers
        What the view shows.
    view : View
        The view.
    width, height : int
        Size of the drawing. [px]
    depth : ndarray, shape (height, width), or None
        Distance of the nearest thing at each pixel; None: as if nothing hid anything. [m]
    """
    nothing = np.full((height, width), np.nan)
    spotter = Spotter(view, (width, height), nothing if depth is None else depth)
    shapes: dict[str, MarkShape] = {}
    present: set[str] = set()
    for layer in layers:
        if layer.role in present or not ROLES[layer.role].word:
            continue
        samples = _samples(layer, view)
        behind = spotter.can_hide(layer)
        is_line = isinstance(layer, LineLayer)
        sharp = isinstance(layer, MeshLayer) or (is_line and layer.group == "mast")
        seen = spotter.is_seen(samples, behind=behind, sharp=sharp)
        if seen.sum() >= (_ENOUGH if behind and is_line else 1):
            present.add(layer.role)
            if isinstance(layer, MarkLayer):
                shapes[ROLES[layer.role].word] = layer.shape
    words: dict[str, list[Role]] = {}
    for key, look in ROLES.items():
        if key in present:
            words.setdefault(look.word, []).append(look)
    return tuple(
        Entry(word, tuple(sorted(looks, key=_is_line)), shapes.get(word, "dot"))
        for word, looks in words.items()
    )


def _samples(layer: AnyLayer, view: View) -> Points:
    """Return points spread over a layer, without those that the view cuts off."""
    points = layer.points
    if isinstance(layer, LineLayer) and layer.paths:
        points = np.concatenate([_spread(path) for path in layer.paths])
    elif isinstance(layer, MeshLayer) and len(layer.triangles):
        middles = layer.vertices[layer.triangles].mean(axis=1)
        points = np.concatenate([layer.vertices, middles])
    if view.clip is not None and layer.group in view.clipped:
        points = points[(points - view.clip[0]) @ np.asarray(view.clip[1], float) > 0]
    return points


def _spread(path: Points) -> Points:
    """Return a line with three points added to each of its pieces."""
    shares = np.arange(4)[:, None, None] / 4
    between = path[:-1] + shares * (path[1:] - path[:-1])
    return np.concatenate([between.reshape(-1, 3), path[-1:]])


def _is_line(look: Role) -> bool:
    """Sort lines after the areas they are drawn on."""
    return look.swatch in ("line", "comb", "hatch")


def legend_rows(entries: Sequence[Entry], sheet: Sheet, width: float) -> list[list[str]]:
    """Return the words of each entry broken to a column width. [px]"""
    room = width - sheet.px(_SWATCH) - sheet.px(2.0)
    return [wrap(entry.word, sheet.small_font, room) for entry in entries]


def row_height(lines: Sequence[str], sheet: Sheet) -> float:
    """Return the height of one entry. [px]"""
    return len(lines) * line_height(sheet.small_font) + max(2.0, sheet.px(0.8))


def columns_height(entries: Sequence[Entry], sheet: Sheet, width: float, columns: int) -> float:
    """Return the height of the legend set in equal columns. [px]"""
    column = (width - (columns - 1) * sheet.px(4)) / columns
    heights = [row_height(lines, sheet) for lines in legend_rows(entries, sheet, column)]
    per = math.ceil(len(heights) / columns) or 1
    return max((sum(heights[k : k + per]) for k in range(0, len(heights), per)), default=0.0)


def draw_legend(
    image: Image.Image, entries: Sequence[Entry], sheet: Sheet, box: Rect, *, columns: int = 1
) -> int:
    """Draw the legend from the upper left corner of a box, column by column.

    Returns
    -------
    int
        Entries that found no room in the box.
    """
    gap = sheet.px(4)
    column = (box.width - (columns - 1) * gap) / columns
    per = math.ceil(len(entries) / columns) or 1
    rows = legend_rows(entries, sheet, column)
    left_out = 0
    for first in range(0, len(entries), per):
        x = box.left + first // per * (column + gap)
        y = float(box.top)
        for entry, lines in zip(
            entries[first : first + per], rows[first : first + per], strict=True
        ):
            if y + len(lines) * line_height(sheet.small_font) > box.bottom + 1:
                left_out += 1
                continue
            _draw_entry(image, entry, lines, sheet, x, y)
            y += row_height(lines, sheet)
    return left_out


def _draw_entry(
    image: Image.Image, entry: Entry, lines: Sequence[str], sheet: Sheet, x: float, y: float
) -> None:
    line = line_height(sheet.small_font)
    swatch = (x, y + line * 0.08, x + sheet.px(_SWATCH), y + line * 0.92)
    for look in entry.roles:
        _draw_swatch(image, look, entry.shape, sheet, swatch)
    text = "\n".join(lines)
    draw_text(image, (swatch[2] + sheet.px(2.0), y), text, sheet.small_font)


def _draw_swatch(
    image: Image.Image,
    look: Role,
    shape: MarkShape,
    sheet: Sheet,
    box: tuple[float, float, float, float],
) -> None:
    x0, y0, x1, y1 = box
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    if look.swatch in ("area", "solid"):
        _fill(image, box, blend(look))
    elif look.swatch == "tree":
        draw_mark(image, "dot", middle, size=y1 - y0, color=look.color, halo=0)
    elif look.swatch == "mark":
        draw_mark(image, shape, middle, size=sheet.px(look.width), color=look.color, halo=0)
    elif look.swatch == "arrow":
        start = (x0, float(middle[1]))
        draw_arrow(image, start, x1 - x0, width=sheet.px(look.width), color=look.color)
    elif look.swatch == "comb":
        _comb(image, look, sheet, box)
    elif look.swatch == "hatch":
        _hatch(image, look, sheet, box)
    elif look.swatch == "line":
        shares_box = look.word and any(
            r.word == look.word and r.swatch in ("area", "solid") for r in ROLES.values()
        )
        outline = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]])
        path = outline if shares_box else np.array([[x0, middle[1]], [x1, middle[1]]])
        width = max(1.0, sheet.px(look.width))
        dash = [max(1.0, sheet.px(d)) for d in look.dash]
        draw_lines(image, flat_dashes(path, dash), width=width, color=blend(look))


def _comb(
    image: Image.Image, look: Role, sheet: Sheet, box: tuple[float, float, float, float]
) -> None:
    """Draw slanted ticks below the middle of a swatch."""
    x0, y0, x1, y1 = box
    middle = (y0 + y1) / 2
    starts = np.arange(x0 + sheet.px(0.6), x1 - sheet.px(0.6), max(4.0, sheet.px(1.6)))
    ticks = [np.array([[s, middle], [s + (y1 - middle) / 2, y1]]) for s in starts]
    draw_lines(image, ticks, width=max(1.0, sheet.px(look.width)), color=blend(look))


def _hatch(
    image: Image.Image, look: Role, sheet: Sheet, box: tuple[float, float, float, float]
) -> None:
    """Draw slanting strokes over the whole of a swatch."""
    x0, y0, x1, y1 = box
    starts = np.arange(x0, x1 - (y1 - y0), max(4.0, sheet.px(1.2)))
    strokes = [np.array([[s, y1], [s + (y1 - y0), y0]]) for s in starts]
    draw_lines(image, strokes, width=max(1.0, sheet.px(look.width)), color=blend(look))


def _fill(image: Image.Image, box: tuple[float, float, float, float], color: RGB) -> None:
    x0, y0, x1, y1 = (round(v) for v in box)
    ImageDraw.Draw(image).rectangle((x0, y0, x1, y1), fill=color)


def blend(look: Role) -> RGB:
    """Return the colour of a role on paper, its opacity worked in."""
    mixed = [round(p + (c - p) * look.opacity) for c, p in zip(look.color, PAPER, strict=True)]
    return mixed[0], mixed[1], mixed[2]


def flat_dashes(path: NDArray[np.float64], pattern: Sequence[float]) -> list[NDArray[np.float64]]:
    """Cut a line on the picture into dashes; an empty pattern leaves it firm."""
    if not pattern:
        return [path]
    solid = np.column_stack([path, np.zeros(len(path))])
    return [piece[:, :2] for piece in cut_by_length(solid, path, pattern)]
