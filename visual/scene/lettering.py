"""Putting texts, marks, leaders and dimension lines on a picture with Pillow."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from visual.scene.fonts import Font, line_height, text_size
from visual.scene.layers import MarkShape
from visual.scene.style import INK, PAPER, RGB

_FINE = 4  # lines and marks are drawn this much larger and scaled down


def draw_text(
    image: Image.Image,
    at: tuple[float, float],
    text: str,
    typeface: Font,
    *,
    color: RGB = INK,
    halo: int = 0,
    halo_color: RGB = PAPER,
    align: str = "left",
) -> None:
    """Write a text of one or more lines; `at` is the upper left (or right, or middle) corner."""
    pen = ImageDraw.Draw(image)
    anchor = {"left": "la", "right": "ra", "center": "ma"}[align]
    y = at[1] + (line_height(typeface) - typeface.size * 1.16) / 2
    for line in text.split("\n"):
        place = (round(at[0]), round(y))
        if halo:
            pen.text(
                place,
                line,
                halo_color,
                typeface,
                anchor=anchor,
                stroke_width=halo,
                stroke_fill=halo_color,
            )
        pen.text(place, line, color, typeface, anchor=anchor)
        y += line_height(typeface)


def draw_turned_text(
    image: Image.Image,
    middle: NDArray[np.float64],
    text: str,
    typeface: Font,
    *,
    turn: float,
    color: RGB = INK,
    halo: int = 0,
    halo_color: RGB = PAPER,
) -> None:
    """Write one line of text turned clockwise by `turn` about its middle. [rad]"""
    w, h = text_size(text, typeface)
    size = 2 * math.ceil(math.hypot(w, h) / 2 + halo + 2)
    for fill, stroke in ((halo_color, halo), (color, 0)):
        mask = Image.new("L", (size, size), 0)
        ImageDraw.Draw(mask).text(
            (size / 2, size / 2), text, 255, typeface, anchor="mm", stroke_width=stroke
        )
        mask = mask.rotate(-math.degrees(turn), resample=Image.Resampling.BICUBIC)
        corner = (round(middle[0] - size / 2), round(middle[1] - size / 2))
        image.paste(fill, corner, mask)


def draw_lines(
    image: Image.Image,
    lines: Sequence[NDArray[np.float64]],
    *,
    width: float,
    color: RGB = INK,
    halo: float = 0.0,
    closed_fill: RGB | None = None,
) -> None:
    """Draw smooth polylines; with `closed_fill` each is a filled polygon."""
    if not lines:
        return
    points = np.concatenate(lines)
    pad = width + halo + 2
    x0, y0 = np.floor(points.min(axis=0) - pad)
    x1, y1 = np.ceil(points.max(axis=0) + pad)
    # lines may run far off the picture; only what is on it needs drawing
    x0, y0 = max(x0, 0), max(y0, 0)
    x1, y1 = min(x1, image.width), min(y1, image.height)
    if x1 <= x0 or y1 <= y0:
        return
    size = (int(x1 - x0), int(y1 - y0))
    moved = [[tuple(p) for p in (line - [x0, y0]) * _FINE] for line in lines]
    layers: list[tuple[RGB, float, bool]] = []
    if halo:
        layers.append((PAPER, width + 2 * halo, closed_fill is not None))
    if closed_fill is not None:
        layers.append((closed_fill, 0.0, True))
    layers.append((color, width, False))
    for fill, stroke, solid in layers:
        mask = Image.new("L", (size[0] * _FINE, size[1] * _FINE), 0)
        pen = ImageDraw.Draw(mask)
        for path in moved:
            if solid:
                pen.polygon(path, fill=255)
            if stroke:
                pen.line(path, fill=255, width=max(1, round(stroke * _FINE)), joint="curve")
        mask = mask.resize(size, Image.Resampling.BOX)
        image.paste(fill, (int(x0), int(y0)), mask)


def draw_arrow(
    image: Image.Image, at: tuple[float, float], length: float, *, width: float, color: RGB
) -> None:
    """Draw an arrow of a length to the right from a point; its head is part of it. [px]"""
    end = np.array([at[0] + length, at[1]])
    head = min(4.0 * width, 0.6 * length)
    neck, half = end - [head, 0.0], np.array([0.0, 0.4 * head])
    draw_lines(image, [np.array([at, neck])], width=max(1.0, width), color=color)
    point = np.array([end, neck + half, neck - half, end])
    draw_lines(image, [point], width=0.0, color=color, closed_fill=color)


def mark_outline(
    shape: MarkShape, at: NDArray[np.float64], size: float
) -> list[NDArray[np.float64]]:
    """Return the outline of a sign of the given width. [px]"""
    r = size / 2
    if shape == "cross":
        d = r * np.array([[-1, -1], [1, 1]])
        return [at + d, at + d * [1, -1]]
    if shape in ("square", "diamond"):
        corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1], [-1, -1]]) * r * 0.85
        if shape == "diamond":
            corners = corners @ np.array([[1, 1], [-1, 1]]) / math.sqrt(2) * 1.1
        return [at + corners]
    if shape == "triangle":
        return [at + r * np.array([[0, -1.1], [1, 0.75], [-1, 0.75], [0, -1.1]])]
    turn = np.linspace(0, 2 * math.pi, 33)
    return [at + r * np.column_stack([np.cos(turn), np.sin(turn)])]


def draw_mark(
    image: Image.Image,
    shape: MarkShape,
    at: NDArray[np.float64],
    *,
    size: float,
    color: RGB,
    halo: float,
) -> None:
    """Draw a sign; rings are open, crosses are strokes, the others are filled."""
    outline = mark_outline(shape, np.asarray(at, float), size)
    fill = {"ring": PAPER, "cross": None}.get(shape, color)
    width = size * 0.2
    draw_lines(image, outline, width=width, color=color, halo=halo, closed_fill=fill)
