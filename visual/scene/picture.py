"""One finished picture: drawing, lettering and everything around it."""

import io
from pathlib import Path

from PIL import Image

from visual.scene.camera import View
from visual.scene.fonts import line_height
from visual.scene.furniture import (
    draw_foot,
    draw_frame,
    draw_title,
    foot_text,
    round_scale,
    scale_text,
)
from visual.scene.layers import Scene
from visual.scene.legend import Entry, columns_height, entries_for
from visual.scene.overlay import letter
from visual.scene.panel import corner_width, draw_panel, shows_forces, type_growth
from visual.scene.render import draw, visible
from visual.scene.sheet import Page, Rect, Sheet, lay_page
from visual.scene.style import PAGE_WIDTH, PAPER
from visual.scene.tables import table_width, tables_of

_RIGHT_PANEL = 56.0  # [mm]
_MOST = 0.42  # share of a picture that a panel may take


def make_picture(scene: Scene, view: View, *, width: int = 1600, height: int = 1000) -> Image.Image:
    """Draw one view of a scene with title, legend, scale and caution.

    Parameters
    ----------
    scene : Scene
        What is there.
    view : View
        Where from.
    width, height : int
        Size of the picture. [px]

    Raises
    ------
    DrawingError
        If the machine lacks what drawing needs.
    """
    sheet = Sheet(width, height)
    page, entries, columns = _plan(scene, view, sheet)
    frame = page.frame
    if view.projection == "orthographic":
        view = round_scale(view, sheet, frame)
    raw = draw(scene, view, width=frame.width, height=frame.height, page=(width, height))
    layers = visible(scene, view)
    drawing, left_out = letter(raw, layers, view, sheet)
    # what turns out to be hidden needs no entry
    seen = entries_for(layers, view, width=frame.width, height=frame.height, depth=raw.depth)
    if view.panel == "right":
        entries = seen
    else:
        entries, columns = seen, min(columns, max(1, len(seen)))
    image = Image.new("RGB", (width, height), PAPER)
    image.paste(drawing, (frame.left, frame.top))
    draw_frame(image, sheet, frame)
    scale = scale_text(view, sheet, frame, scene.caption.units)
    draw_title(image, sheet, page.title, scene.caption, view, scale)
    draw_foot(image, sheet, page.foot, scene.caption)
    draw_panel(image, scene, view, sheet, page, entries, columns=columns, left_out=left_out)
    return image


def png_bytes(image: Image.Image) -> bytes:
    """Return a picture as PNG that prints `PAGE_WIDTH` wide."""
    buffer = io.BytesIO()
    dots = image.width / PAGE_WIDTH * 25.4
    image.save(buffer, format="PNG", dpi=(dots, dots), compress_level=6)
    return buffer.getvalue()


def write_picture(path: Path, image: Image.Image) -> None:
    """Write a picture as PNG."""
    path.write_bytes(png_bytes(image))


def _plan(scene: Scene, view: View, sheet: Sheet) -> tuple[Page, tuple[Entry, ...], int]:
    """Divide the page; the legend depends on the frame and the frame on the legend's size."""
    foot = len(foot_text(sheet, scene.caption))
    layers = visible(scene, view)
    if view.panel == "right":
        tables = [table_width(table, sheet) for table in tables_of(layers)]
        wide = max(sheet.px(_RIGHT_PANEL) * type_growth(sheet), *tables, 0.0)
        page = lay_page(
            sheet, panel="right", panel_size=round(min(wide, _MOST * sheet.width)), foot_lines=foot
        )
        shown = _shown(view, sheet, page.frame)
        w, h = page.frame.width, page.frame.height
        return page, entries_for(layers, shown, width=w, height=h), 1
    guess = lay_page(sheet, panel="bottom", panel_size=sheet.height // 6, foot_lines=foot)
    shown = _shown(view, sheet, guess.frame)
    entries = entries_for(layers, shown, width=guess.frame.width, height=guess.frame.height)
    room = guess.panel.width - corner_width(sheet)
    # notes, scale bar and the scale of forces
    lines = 5.4 if shows_forces(scene, view) else 3.2
    columns, tall = _best_columns(entries, sheet, room, lines=lines)
    tall = min(tall, round(_MOST * guess.foot.top))
    page = lay_page(sheet, panel="bottom", panel_size=tall, foot_lines=foot)
    return page, entries, columns


def _shown(view: View, sheet: Sheet, frame: Rect) -> View:
    return round_scale(view, sheet, frame) if view.projection == "orthographic" else view


def _best_columns(
    entries: tuple[Entry, ...], sheet: Sheet, room: float, *, lines: float
) -> tuple[int, int]:
    """Return the number of columns that makes the bottom panel lowest, and its height. [px]"""
    heights = {n: columns_height(entries, sheet, room, n) for n in (2, 3, 4, 5)}
    best = min(heights, key=lambda n: (heights[n], n))
    least = lines * line_height(sheet.small_font) + sheet.px(3)
    return best, round(max(heights[best], least) + sheet.px(1.5))
