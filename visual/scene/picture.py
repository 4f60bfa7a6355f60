"""One finished picture: drawing, lettering and everything around it."""

import io
from pathlib import Path

from PIL import Image

from visual.scene.camera import View
from visual.scene.fonts import line_height, wrap
from visual.scene.furniture import (
    draw_foot,
    draw_frame,
    draw_north,
    draw_scale_bar,
    draw_title,
    foot_text,
    has_arrow,
    looking,
    round_scale,
    scale_text,
)
from visual.scene.layers import Scene
from visual.scene.legend import Entry, columns_height, draw_legend, entries_for
from visual.scene.lettering import draw_text
from visual.scene.overlay import letter
from visual.scene.render import draw, visible
from visual.scene.sheet import Page, Rect, Sheet, lay_page
from visual.scene.style import FAINT_INK, PAGE_WIDTH, PAPER

_RIGHT_PANEL = 56.0  # [mm]
_CORNER = 62.0  # scale bar and north arrow in a bottom panel [mm]


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
    _draw_panel(image, scene, view, sheet, page, entries, columns, left_out)
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
        wide = round(sheet.px(_RIGHT_PANEL) * _type_growth(sheet))
        page = lay_page(sheet, panel="right", panel_size=wide, foot_lines=foot)
        shown = _shown(view, sheet, page.frame)
        w, h = page.frame.width, page.frame.height
        return page, entries_for(layers, shown, width=w, height=h), 1
    guess = lay_page(sheet, panel="bottom", panel_size=sheet.height // 6, foot_lines=foot)
    shown = _shown(view, sheet, guess.frame)
    entries = entries_for(layers, shown, width=guess.frame.width, height=guess.frame.height)
    columns, tall = _best_columns(entries, sheet, guess.panel.width - _corner(sheet))
    page = lay_page(sheet, panel="bottom", panel_size=tall, foot_lines=foot)
    return page, entries, columns


def _shown(view: View, sheet: Sheet, frame: Rect) -> View:
    return round_scale(view, sheet, frame) if view.projection == "orthographic" else view


def _type_growth(sheet: Sheet) -> float:
    """Return how much larger type is than lines on this sheet; 1 at 1600 × 1000."""
    return float(sheet.small_font.size) / 16.0 / (sheet.px(1.0) / Sheet(1600, 1000).px(1.0))


def _corner(sheet: Sheet) -> int:
    return round(sheet.px(_CORNER) * _type_growth(sheet))


def _best_columns(entries: tuple[Entry, ...], sheet: Sheet, room: float) -> tuple[int, int]:
    """Return the number of columns that makes the bottom panel lowest, and its height. [px]"""
    heights = {n: columns_height(entries, sheet, room, n) for n in (2, 3, 4, 5)}
    best = min(heights, key=lambda n: (heights[n], n))
    least = 3.2 * line_height(sheet.small_font) + sheet.px(3)
    return best, round(max(heights[best], least) + sheet.px(1.5))


def _draw_panel(
    image: Image.Image,
    scene: Scene,
    view: View,
    sheet: Sheet,
    page: Page,
    entries: tuple[Entry, ...],
    columns: int,
    left_out: int,
) -> None:
    panel = page.panel
    shown = {layer.role for layer in visible(scene, view) if len(layer.points)}
    notes = list(scene.caption.notes) if shown & {"contour", "contour_index"} else []
    notes.append(looking(view))
    if left_out:
        notes.append(f"{left_out} label{'s' if left_out > 1 else ''} left out for want of room")
    if view.panel == "right":
        corner = Rect(panel.left, panel.top, panel.right, panel.bottom)
        draw_legend(image, entries, sheet, panel)
    else:
        inset = round(sheet.px(1.5))
        corner = Rect(
            panel.right - _corner(sheet) + 2 * sheet.pad, panel.top, panel.right, panel.bottom
        )
        legend = Rect(panel.left, panel.top + inset, panel.right - _corner(sheet), panel.bottom)
        draw_legend(image, entries, sheet, legend, columns=columns)
    _draw_corner(image, scene, view, sheet, corner, notes, page.frame)


def _draw_corner(
    image: Image.Image,
    scene: Scene,
    view: View,
    sheet: Sheet,
    box: Rect,
    notes: list[str],
    frame: Rect,
) -> None:
    """Draw notes, scale bar and north arrow from the bottom of a box upwards."""
    lines = [line for note in notes for line in wrap(note, sheet.small_font, box.width)]
    line = line_height(sheet.small_font)
    y = box.bottom - len(lines) * line
    draw_text(image, (box.left, y), "\n".join(lines), sheet.small_font, color=FAINT_INK)
    if view.projection == "orthographic":
        y -= round(sheet.px(1.6)) + line + max(3, round(sheet.px(1.2)))
        mpp = view.metres_per_pixel(frame.width, frame.height)
        room = min(box.width * 0.98, sheet.px(60))
        units = scene.caption.units
        draw_scale_bar(image, sheet, (box.left, round(y)), mpp=mpp, room=room, units=units)
    if view.panel == "right" and has_arrow(view):
        draw_north(image, sheet, (box.left + sheet.px(12), y - sheet.px(13)), view)
