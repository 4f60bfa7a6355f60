"""Sheets of one document: where on the paper, and drawing on them. [mm, type in pt]

A `Document` makes `Sheet`s; each has a `body` to draw in, inside its frame. What every sheet
carries (frame, cautions, title block, page number) is put on by `Document.content` at the end,
when the number of sheets is known.
"""

import contextlib
import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from fpdf import FPDF
from fpdf.drawing import PaintedPath
from fpdf.drawing_primitives import DeviceRGB
from numpy.typing import NDArray
from PIL import Image

from visual.scene.layers import MarkShape
from visual.scene.style import INK, PAPER, RGB
from visual.sheets.paper import Box, Paper
from visual.sheets.text import Align, Lettering, line_height

Path2D = Sequence[Sequence[float]] | NDArray[np.float64]
"""Points on the paper, or an array of shape (n, 2). [mm]"""


@dataclass(frozen=True)
class Pen:
    """How a line is drawn.

    Parameters
    ----------
    width : float
        Width. [mm]
    color : tuple of int
        Red, green, blue.
    dash : tuple of float
        Drawn and left out by turns; empty for a firm line. [mm]
    opacity : float
        0 … 1.
    cap : {"butt", "round"}
        End of a line.
    """

    width: float = 0.2
    color: RGB = INK
    dash: tuple[float, ...] = ()
    opacity: float = 1.0
    cap: Literal["butt", "round"] = "butt"


PEN = Pen()
THIN = Pen(width=0.13)


class Sheet:
    """One sheet of a document.

    Parameters
    ----------
    pdf : FPDF
        The document.
    letters : Lettering
        Its lettering.
    paper : Paper
        Its size.
    body : Box
        Where to draw. [mm]
    title : str
        What is on it.
    scale : str
        Scale as text; empty if it has none.
    """

    def __init__(
        self,
        pdf: FPDF,
        letters: Lettering,
        *,
        paper: Paper,
        body: Box,
        title: str,
        scale: str = "",
    ) -> None:
        self._pdf = pdf
        self.letters = letters
        self.paper = paper
        self.body = body
        self.title = title
        self.scale = scale

    def lines(self, paths: Sequence[Path2D], pen: Pen = PEN, *, closed: bool = False) -> None:
        """Draw polylines."""
        drawn = [path for path in paths if len(path) > 1]
        if drawn:
            with self._path() as path:
                _stroke(path, pen)
                path.style.fill_color = None
                _trace(path, drawn, closed=closed)

    def line(self, x1: float, y1: float, x2: float, y2: float, pen: Pen = PEN) -> None:
        """Draw one straight line."""
        self.lines([[(x1, y1), (x2, y2)]], pen)

    def area(
        self,
        rings: Sequence[Path2D],
        fill: RGB,
        *,
        opacity: float = 1.0,
        outline: Pen | None = None,
    ) -> None:
        """Fill outer rings and holes (even-odd), with an outline if asked for."""
        drawn = [ring for ring in rings if len(ring) > 2]
        if not drawn:
            return
        with self._path() as path:
            if outline is None:
                path.style.stroke_color = None
            else:
                _stroke(path, outline)
            path.style.fill_color = _color(fill)
            path.style.fill_opacity = opacity
            path.style.intersection_rule = "evenodd"
            _trace(path, drawn, closed=True)

    def box(self, box: Box, pen: Pen = PEN, *, fill: RGB | None = None) -> None:
        """Draw a rectangle."""
        corners = box.outline[:-1]
        if fill is None:
            self.lines([corners], pen, closed=True)
        else:
            self.area([corners], fill, outline=pen)

    def mark(
        self,
        shape: MarkShape,
        x: float,
        y: float,
        size: float,
        color: RGB = INK,
        *,
        pen: Pen | None = None,
    ) -> None:
        """Draw a sign of a width; rings are open, crosses are strokes, the others filled. [mm]"""
        stroke = pen or Pen(width=max(0.15, 0.14 * size), color=color)
        paths = mark_paths(shape, x, y, size)
        if shape == "cross":
            self.lines(paths, stroke)
        else:
            self.area(paths, PAPER if shape == "ring" else color, outline=stroke)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = 8.0,
        bold: bool = False,
        color: RGB = INK,
        align: Align = "left",
        halo: float = 0.0,
    ) -> float:
        """Write lines (one per line break) from the top `y` on; return the y below. [mm]"""
        for line in text.split("\n"):
            self.letters.put(x, y, line, size=size, bold=bold, color=color, align=align, halo=halo)
            y += line_height(size)
        return y

    def turned_text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        turn: float,
        size: float = 8.0,
        bold: bool = False,
        color: RGB = INK,
        align: Align = "center",
        halo: float = 0.0,
    ) -> None:
        """Write one line turned clockwise by `turn` about its middle (or end) at x, y. [rad]"""
        with self._pdf.rotation(-math.degrees(turn), x, y):
            top = y - line_height(size) / 2
            self.text(x, top, text, size=size, bold=bold, color=color, align=align, halo=halo)

    def paragraph(
        self,
        x: float,
        y: float,
        width: float,
        text: str,
        *,
        size: float = 8.0,
        bold: bool = False,
        color: RGB = INK,
    ) -> float:
        """Write a text in lines of a width; return the y below it. [mm]"""
        lines = self.letters.wrap(text, width, size, bold=bold)
        return self.text(x, y, "\n".join(lines), size=size, bold=bold, color=color)

    def paragraph_height(
        self, width: float, text: str, *, size: float = 8.0, bold: bool = False
    ) -> float:
        """Return how high `paragraph` will be. [mm]"""
        return len(self.letters.wrap(text, width, size, bold=bold)) * line_height(size)

    def text_width(self, text: str, *, size: float = 8.0, bold: bool = False) -> float:
        """Return the width of a text. [mm]"""
        return self.letters.width(text, size, bold=bold)

    def tick_box(self, x: float, y: float, size: float = 4.0) -> None:
        """Draw an empty box to tick, its upper left corner at x, y. [mm]"""
        self.box(Box(x, y, x + size, y + size), Pen(width=0.3))

    def picture(self, box: Box, image: Image.Image) -> Box:
        """Put a picture in the middle of a box, as large as it goes; return where it lies."""
        scale = min(box.width / image.width, box.height / image.height)
        return self._embed(box, image.width * scale, image.height * scale, image)

    def vector(self, box: Box, svg: bytes, *, aspect: float) -> Box:
        """Put an SVG drawing of an aspect (width / height) in a box; return where it lies."""
        width = min(box.width, box.height * aspect)
        return self._embed(box, width, width / aspect, io.BytesIO(svg))

    def _embed(self, box: Box, width: float, height: float, what: Image.Image | io.BytesIO) -> Box:
        (x, y), w, h = box.middle, width / 2, height / 2
        place = Box(x - w, y - h, x + w, y + h)
        self._pdf.image(what, x=place.left, y=place.top, w=width, h=height)
        return place

    @contextlib.contextmanager
    def clip(self, box: Box) -> Iterator[None]:
        """Within this context nothing is drawn outside of a box."""
        with self._pdf.rect_clip(box.left, box.top, box.width, box.height):
            yield

    @contextlib.contextmanager
    def _path(self) -> Iterator[PaintedPath]:
        with self._pdf.new_path() as path:
            path.style.auto_close = False
            yield path


def mark_paths(
    shape: MarkShape, x: float, y: float, size: float
) -> list[list[tuple[float, float]]]:
    """Return the outline of a sign, or the strokes of a cross. [mm]"""
    r = size / 2
    if shape == "cross":
        return [[(x - r, y - r), (x + r, y + r)], [(x - r, y + r), (x + r, y - r)]]
    unit: Sequence[tuple[float, float]]
    if shape == "square":
        unit = [(-0.85, -0.85), (0.85, -0.85), (0.85, 0.85), (-0.85, 0.85)]
    elif shape == "diamond":
        unit = [(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]
    elif shape == "triangle":
        unit = [(0.0, -1.1), (1.0, 0.75), (-1.0, 0.75)]
    else:
        turn = [2 * math.pi * k / 32 for k in range(32)]
        unit = [(math.cos(a), math.sin(a)) for a in turn]
    return [[(x + r * a, y + r * b) for a, b in unit]]


def _color(rgb: RGB) -> DeviceRGB:
    return DeviceRGB(*(part / 255 for part in rgb))


def _stroke(path: PaintedPath, pen: Pen) -> None:
    style = path.style
    style.stroke_color = _color(pen.color)
    style.stroke_width = pen.width
    style.stroke_opacity = pen.opacity
    style.stroke_cap_style = pen.cap
    style.stroke_join_style = "round"
    style.stroke_dash_pattern = pen.dash or None


def _trace(path: PaintedPath, lines: Sequence[Path2D], *, closed: bool) -> None:
    for line in lines:
        path.move_to(float(line[0][0]), float(line[0][1]))
        for point in line[1:]:
            path.line_to(float(point[0]), float(point[1]))
        if closed:
            path.close()
