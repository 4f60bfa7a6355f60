"""The panel beside or below a drawing: legend, notes, scale bar and north arrow."""

from PIL import Image

from visual.scene.camera import View
from visual.scene.fonts import line_height, wrap
from visual.scene.force_key import draw_force_key, key_height, scale_in_words
from visual.scene.furniture import draw_north, draw_scale_bar, has_arrow, looking
from visual.scene.layers import Scene
from visual.scene.legend import Entry, columns_height, draw_legend
from visual.scene.lettering import draw_text
from visual.scene.render import visible
from visual.scene.sheet import Page, Rect, Sheet
from visual.scene.style import FAINT_INK
from visual.scene.tables import draw_tables, tables_height, tables_of

_CORNER = 62.0  # width of the notes in a bottom panel [mm]
_DIAL, _SMALL_DIAL = (
    8.0,
    5.0,
)  # radius of the north arrow; the small one where a table needs room [mm]
_BESIDE_DIAL = 10.0  # height that the arrow takes besides its dial [mm]
_NO_TABLE = "table left out: draw it larger"
_SHORT = "legend shortened: draw it larger"


def draw_panel(
    image: Image.Image,
    scene: Scene,
    view: View,
    sheet: Sheet,
    page: Page,
    entries: tuple[Entry, ...],
    *,
    columns: int,
    left_out: int,
) -> None:
    """Draw the panel; a legend that finds no room is shortened, and that is said."""
    notes = _notes(scene, view, left_out)
    if shows_forces(scene, view):
        mpp = view.metres_per_pixel(page.frame.width, page.frame.height)
        reduction, caption = mpp / sheet.printed_scale, scene.caption
        newtons = caption.force_scale
        notes = [scale_in_words(newtons, reduction=reduction, system=caption.units), *notes]
    whole, corner = _divide(view, sheet, page.panel)
    tables, dial = tables_of(visible(scene, view)), _DIAL
    used = columns_height(entries, sheet, whole.width, columns)
    legend = whole
    if view.panel == "right":
        legend = _above(whole, corner, notes, view, sheet, dial)
        if used + tables_height(tables, sheet, legend.width) > legend.height:
            dial = _SMALL_DIAL
            legend = _above(whole, corner, notes, view, sheet, dial)
    if columns_height(entries, sheet, legend.width, columns) > legend.height + sheet.pad:
        notes = [*notes, _SHORT]
        if view.panel == "right":
            legend = _above(whole, corner, notes, view, sheet, dial)
    draw_legend(image, entries, sheet, legend, columns=columns)
    if draw_tables(image, tables, sheet, legend, legend.top + used):
        notes = [*notes, _NO_TABLE]
    _draw_corner(image, scene, view, sheet, corner, notes, page.frame, dial)


def shows_forces(scene: Scene, view: View) -> bool:
    """Return whether a picture shows forces as arrows, and so needs their scale."""
    return any(layer.role == "force" for layer in visible(scene, view))


def _notes(scene: Scene, view: View, left_out: int) -> list[str]:
    shown = {layer.role for layer in visible(scene, view) if len(layer.points)}
    notes = list(scene.caption.notes) if shown & {"contour", "contour_index"} else []
    notes.append(looking(view))
    if left_out:
        notes.append(f"{left_out} label{'s' if left_out > 1 else ''} left out for want of room")
    return notes


def _divide(view: View, sheet: Sheet, panel: Rect) -> tuple[Rect, Rect]:
    """Return where the legend and where notes, scale bar and arrow stand."""
    if view.panel == "right":
        return panel, panel
    wide = corner_width(sheet)
    legend = Rect(panel.left, panel.top + round(sheet.px(1.5)), panel.right - wide, panel.bottom)
    return legend, Rect(panel.right - wide + 2 * sheet.pad, panel.top, panel.right, panel.bottom)


def _above(
    legend: Rect, corner: Rect, notes: list[str], view: View, sheet: Sheet, dial: float
) -> Rect:
    """Return the part of a right panel that is free for the legend and the tables."""
    tall = round(len(_broken(notes, sheet, corner)) * line_height(sheet.small_font))
    if view.projection == "orthographic":
        tall += _bar_height(sheet)
    if has_arrow(view):
        tall += round(sheet.px(2 * dial + _BESIDE_DIAL))
    return Rect(legend.left, legend.top, legend.right, max(corner.bottom - tall, legend.top))


def _broken(notes: list[str], sheet: Sheet, box: Rect) -> list[str]:
    return [line for note in notes for line in wrap(note, sheet.small_font, box.width)]


def _bar_height(sheet: Sheet) -> int:
    return round(sheet.px(1.6) + line_height(sheet.small_font)) + max(3, round(sheet.px(1.2)))


def _draw_corner(
    image: Image.Image,
    scene: Scene,
    view: View,
    sheet: Sheet,
    box: Rect,
    notes: list[str],
    frame: Rect,
    dial: float,
) -> None:
    """Draw notes, scale bar and north arrow from the bottom of a box upwards."""
    lines = _broken(notes, sheet, box)
    y = box.bottom - len(lines) * line_height(sheet.small_font)
    draw_text(image, (box.left, y), "\n".join(lines), sheet.small_font, color=FAINT_INK)
    if view.projection == "orthographic":
        y -= _bar_height(sheet)
        mpp = view.metres_per_pixel(frame.width, frame.height)
        room = min(box.width * 0.98, sheet.px(60))
        units = scene.caption.units
        draw_scale_bar(image, sheet, (box.left, round(y)), mpp=mpp, room=room, units=units)
        if shows_forces(scene, view):
            y -= key_height(sheet)
            newtons, at = scene.caption.force_scale, (box.left, y)
            draw_force_key(image, sheet, at, newtons=newtons, mpp=mpp, system=units)
    if view.panel == "right" and has_arrow(view):
        middle = box.left + sheet.px(dial + 4), y - sheet.px(dial + _BESIDE_DIAL / 2)
        draw_north(image, sheet, middle, view, radius=dial)


def type_growth(sheet: Sheet) -> float:
    """Return how much larger type is than lines on this sheet; 1 at 1600 × 1000."""
    return float(sheet.small_font.size) / 16.0 / (sheet.px(1.0) / Sheet(1600, 1000).px(1.0))


def corner_width(sheet: Sheet) -> int:
    """Return the width of the notes in a bottom panel. [px]"""
    return round(min(sheet.px(_CORNER) * type_growth(sheet), 0.4 * sheet.width))
