"""Lettering of the drawing itself: marks, dimensions and labels over the rendered picture."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from visual.scene.boxes import Quad, turned_box
from visual.scene.camera import View
from visual.scene.fonts import Font, text_size
from visual.scene.label_places import Place, Wish
from visual.scene.labels import Busy, Layout, ink_of, lay_out
from visual.scene.layers import AnyLayer, DimensionLayer, LabelLayer, LineLayer, MarkLayer
from visual.scene.lettering import (
    draw_lines,
    draw_mark,
    draw_text,
    draw_turned_text,
    mark_outline,
)
from visual.scene.render import Drawing
from visual.scene.sheet import Sheet
from visual.scene.spotter import Spotter
from visual.scene.style import INK, PAPER, RGB, ROLES, TYPE

_BARS = ("mast", "gin_pole")
_FINE_LINES = (
    *("contour", "contour_index", "witness", "building_edge"),
    *("search_fails_edge", "search_unsure_edge", "search_looked"),
)  # text may cross them
HIDDEN = "The mast cannot be seen from here."


@dataclass(frozen=True, eq=False)
class _Dimension:
    """A dimension on the picture: its line, ticks and the wish for its text."""

    lines: tuple[NDArray[np.float64], ...]
    wish: Wish
    text: str


def letter(
    drawing: Drawing, layers: Sequence[AnyLayer], view: View, sheet: Sheet
) -> tuple[Image.Image, int]:
    """Put marks, dimensions and labels on a drawing.

    Marks and names of what is hidden behind something are left off.

    Returns
    -------
    image : Image
        The drawing with its lettering.
    left_out : int
        Labels that found no room.
    """
    image = Image.fromarray(drawing.image)
    spotter = Spotter(view, image.size, drawing.depth)
    dimensions = _dimensions(layers, spotter, sheet)
    names = [layer for layer in layers if isinstance(layer, LabelLayer)]
    wishes = [d.wish for d in dimensions] + _wishes(names, spotter, sheet)
    for dimension in dimensions:
        draw_lines(image, dimension.lines, width=max(1.0, sheet.px(0.2)), halo=sheet.px(0.25))
    taken = _draw_marks(image, layers, spotter, sheet)
    edge = sheet.px(1.0)
    layout = lay_out(
        wishes,
        lines=[*_kept_clear(layers, spotter), *_dimension_lines(dimensions)],
        frame=(edge, edge, image.width - edge, image.height - edge),
        taken=taken,
        busy=Busy(ink_of(drawing.image)),
        gap=max(2.0, sheet.px(0.7)),
        reach=max(40.0, sheet.px(17)),
    )
    _draw_layout(image, layout, names, dimensions, sheet)
    _tell_if_hidden(image, spotter, sheet)
    return image, layout.left_out


def _tell_if_hidden(image: Image.Image, spotter: Spotter, sheet: Sheet) -> None:
    """Say on the picture if nothing can be seen of what it is about."""
    subject = spotter.view.subject
    if subject is None or spotter.is_seen(subject, sharp=True).any():
        return
    face = sheet.type(TYPE.label, bold=True)
    w, h = text_size(HIDDEN, face)
    middle = np.array([image.width / 2, sheet.px(4) + h])
    box = turned_box(middle, (w + sheet.px(4), h + sheet.px(3)), 0.0)
    outline = np.concatenate([box, box[:1]])
    draw_lines(image, [outline], width=sheet.px(0.4), color=INK, closed_fill=PAPER)
    draw_text(image, (middle[0] - w / 2, middle[1] - h / 2), HIDDEN, face)


def _draw_marks(
    image: Image.Image, layers: Sequence[AnyLayer], spotter: Spotter, sheet: Sheet
) -> list[Quad]:
    """Draw all marks and return their boxes."""
    boxes: list[Quad] = []
    for layer in layers:
        if not isinstance(layer, MarkLayer):
            continue
        look = ROLES[layer.role]
        size = max(5.0, sheet.px(look.width))
        for at in spotter.seen(layer):
            draw_mark(image, layer.shape, at, size=size, color=look.color, halo=sheet.px(0.35))
            boxes.append(at + size / 2 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]))
    return boxes


def _font(layer: LabelLayer, sheet: Sheet) -> Font:
    if layer.label_kind == "warning":
        return sheet.type(TYPE.label, bold=True)
    return sheet.type({"name": TYPE.label, "height": TYPE.small}.get(layer.label_kind, TYPE.number))


def _wishes(labels: Sequence[LabelLayer], spotter: Spotter, sheet: Sheet) -> list[Wish]:
    wishes: list[Wish] = []
    for key, layer in enumerate(labels):
        spots = spotter.seen(layer)
        if not len(spots):
            continue
        turn = _turn(layer, spotter) if layer.along is not None else 0.0 if layer.over else None
        w, h = text_size(layer.text, _font(layer, sheet))
        extra = sheet.px(1.6) if layer.label_kind == "warning" else 0.0
        if layer.label_kind == "number":  # in a circle: as wide as two digits, and as high
            w = h = text_size("88", _font(layer, sheet))[0] + sheet.px(1.2)
        height = layer.label_kind == "height"
        wishes.append(
            Wish(
                key=key,
                at=spots[0],
                size=(w + 2 + extra, h + extra),
                priority=layer.priority,
                turn=turn,
                or_beside=layer.over,
                clear=sheet.px(1.3),
                one_of=layer.choice,
                counted=not height,
            )
        )
    return wishes


def _kept_clear(
    layers: Sequence[AnyLayer], spotter: Spotter
) -> list[tuple[NDArray[np.float64], float]]:
    """Return the pieces of lines that text keeps off, wires and mast most."""
    kinds: dict[float, list[NDArray[np.float64]]] = {}
    for layer in layers:
        if not isinstance(layer, LineLayer) or layer.role in _FINE_LINES or not layer.paths:
            continue
        kept = [path[_thinned(len(path))] for path in layer.paths]
        starts = np.concatenate([path[:-1] for path in kept])
        ends = np.concatenate([path[1:] for path in kept])
        pieces = np.stack([spotter.pixels(starts), spotter.pixels(ends)], axis=1)
        known = np.isfinite(pieces).all(axis=(1, 2))
        if layer.group not in spotter.view.on_top:
            known &= spotter.is_seen((starts + ends) / 2)
        kinds.setdefault(_weight(layer), []).append(pieces[known])
    return [(np.concatenate(pieces), weight) for weight, pieces in kinds.items()]


def _weight(layer: LineLayer) -> float:
    """Return what it costs a text to cross a line. [px]"""
    if layer.role in _BARS:
        return 120.0
    if layer.group == "rig":
        return 40.0
    return 8.0 if layer.role == "setback_comb" else 14.0


def _dimension_lines(
    dimensions: Sequence[_Dimension],
) -> list[tuple[NDArray[np.float64], float]]:
    """Return the lines of all dimensions as pieces that text keeps off."""
    lines = [line for dimension in dimensions for line in dimension.lines]
    return [(np.array(lines), 60.0)] if lines else []


def _thinned(count: int) -> NDArray[np.int64]:
    """Return which of many points of a line stand for it."""
    return np.unique(np.linspace(0, count - 1, min(count, 25)).astype(int))


def _turn(layer: LabelLayer, spotter: Spotter) -> float:
    """Return the angle at which a text follows its direction and is not upside down."""
    along = np.asarray(layer.along, float)
    a, b = spotter.pixels(np.array([layer.at - along, layer.at + along]))
    return upright(math.atan2(b[1] - a[1], b[0] - a[0]))


def upright(angle: float) -> float:
    """Turn an angle by half a turn if text at it would stand on its head. [rad]"""
    angle = (angle + math.pi) % (2 * math.pi) - math.pi
    return angle - math.copysign(math.pi, angle) if abs(angle) > math.pi / 2 + 1e-6 else angle


def _dimensions(layers: Sequence[AnyLayer], spotter: Spotter, sheet: Sheet) -> list[_Dimension]:
    found: list[_Dimension] = []
    for layer in layers:
        if not isinstance(layer, DimensionLayer):
            continue
        a, b = spotter.pixels(layer.points)
        if np.isfinite([a, b]).all() and np.linalg.norm(b - a) > 4:
            found.append(_dimension(layer, a, b, sheet, key=-1 - len(found)))
    return found


def _dimension(
    layer: DimensionLayer, a: NDArray[np.float64], b: NDArray[np.float64], sheet: Sheet, *, key: int
) -> _Dimension:
    along = (b - a) / np.linalg.norm(b - a)
    left = np.array([along[1], -along[0]])
    shift = sheet.px(layer.offset) * left
    start, end = a + shift, b + shift
    tick = sheet.px(0.9) * (along + left)
    lines = [np.array([start, end]), *(np.array([p - tick, p + tick]) for p in (start, end))]
    if layer.offset:
        lines += [np.array([p, p + shift * 1.15]) for p in (a, b)]
    w, h = text_size(layer.text, sheet.type(TYPE.number))
    spare = float(np.linalg.norm(b - a)) - w * 1.15
    wish = Wish(
        key=key,
        at=(start + end) / 2,
        size=(w + 4, h * 0.9),
        priority=layer.priority,
        turn=upright(math.atan2(along[1], along[0])) if spare > 0 else None,
        slide=max(spare, 0.0) * 0.45,
        or_beside=True,
    )
    return _Dimension(tuple(lines), wish, layer.text)


def _draw_layout(
    image: Image.Image,
    layout: Layout,
    names: Sequence[LabelLayer],
    dimensions: Sequence[_Dimension],
    sheet: Sheet,
) -> None:
    leaders = [p.leader for p in layout.places if p.leader is not None]
    draw_lines(image, leaders, width=max(1.0, sheet.px(0.18)), color=INK, halo=sheet.px(0.2))
    halo = max(1, round(sheet.px(0.45)))
    under = image.copy()
    for place in layout.places:
        tint = _paper_under(under, place)
        if place.wish.key < 0:
            text, face, color = dimensions[-1 - place.wish.key].text, sheet.type(TYPE.number), INK
        else:
            layer = names[place.wish.key]
            text, face, color = layer.text, _font(layer, sheet), ROLES[layer.role].color
            if layer.label_kind == "warning":
                _draw_box(image, place, sheet, color)
                color = INK
            if layer.label_kind == "number":
                _draw_ring(image, place, sheet, color)
                tint = PAPER
        if place.wish.key < 0:  # a dimension line is broken under its text
            draw_lines(image, [place.box], width=0, color=tint, closed_fill=tint)
        if place.turn:
            draw_turned_text(
                image,
                place.middle,
                text,
                face,
                turn=place.turn,
                color=color,
                halo=halo,
                halo_color=tint,
            )
        else:
            corner = place.middle - np.array(text_size(text, face)) / 2
            draw_text(
                image, (corner[0], corner[1]), text, face, color=color, halo=halo, halo_color=tint
            )


def _paper_under(image: Image.Image, place: Place) -> RGB:
    """Return a light tint of what lies under a label, for its halo."""
    (x0, y0), (x1, y1) = place.box.min(axis=0), place.box.max(axis=0)
    patch = np.asarray(image.crop((int(x0), int(y0), int(x1) + 1, int(y1) + 1)), float)
    tint = np.rint(0.45 * np.array(PAPER) + 0.55 * np.quantile(patch.reshape(-1, 3), 0.7, axis=0))
    return int(tint[0]), int(tint[1]), int(tint[2])


def _draw_box(image: Image.Image, place: Place, sheet: Sheet, color: RGB) -> None:
    """Draw the box of a warning."""
    outline = np.concatenate([place.box, place.box[:1]])
    draw_lines(image, [outline], width=sheet.px(0.5), color=color, closed_fill=PAPER)


def _draw_ring(image: Image.Image, place: Place, sheet: Sheet, color: RGB) -> None:
    """Draw the circle about a number."""
    size = float(place.box[1, 0] - place.box[0, 0])
    (outline,) = mark_outline("ring", place.middle, size)
    draw_lines(image, [outline], width=sheet.px(0.3), color=color, closed_fill=PAPER)
