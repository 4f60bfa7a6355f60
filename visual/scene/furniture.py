"""What stands around a picture: title strip, scale bar, north arrow, foot."""

import math
from typing import Literal

import numpy as np
from PIL import Image, ImageDraw

from visual.scene.camera import View, pixel_axes
from visual.scene.fonts import line_height, text_size, wrap
from visual.scene.layers import Caption
from visual.scene.lettering import draw_lines, draw_text
from visual.scene.sheet import Rect, Sheet
from visual.scene.style import FAINT_INK, INK, PAPER, RULE, TYPE

NOT_A_DESIGN = "Planning aid, not a stamped design"

_FOOT = 0.3048
_FOOT_SHARE = 0.2  # of the height of a picture that the foot may take
_POINTS_OF_COMPASS = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip
_SCALES = (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.5, 10.0)


def round_scale(view: View, sheet: Sheet, frame: Rect) -> View:
    """Return an orthographic view widened to the next round scale on paper."""
    exact = view.metres_per_pixel(frame.width, frame.height) / sheet.printed_scale
    power = 10.0 ** math.floor(math.log10(exact))
    scale = next(s * power for s in _SCALES if s * power >= exact * (1 - 1e-9))
    mpp = scale * sheet.printed_scale
    return view.with_span(mpp * frame.width, mpp * frame.height)


def scale_text(
    view: View, sheet: Sheet, frame: Rect, units: Literal["metric", "imperial"] = "metric"
) -> str:
    """Return the scale in words."""
    if view.eye_level:
        return _print_text(view, sheet, frame, units)
    if view.projection == "perspective":
        return "perspective, not to scale"
    ratio = view.metres_per_pixel(frame.width, frame.height) / sheet.printed_scale
    return f"1:{ratio:,.0f} on A4 landscape".replace(",", " ")


def _print_text(view: View, sheet: Sheet, frame: Rect, units: Literal["metric", "imperial"]) -> str:
    """Return how wide a picture at eye level is, and from how far its print looks right."""
    half = math.tan(view.field_of_view / 2) * frame.width / frame.height
    away = sheet.printed_scale * frame.width / 2 / half
    distance = f"{100 * away:.0f} cm" if units == "metric" else f"{away / _FOOT * 12:.0f} in"
    degrees = 2 * math.degrees(math.atan(half))
    return f"{degrees:.0f}° wide; look at an A4 print from {distance}"


def draw_title(
    image: Image.Image, sheet: Sheet, strip: Rect, caption: Caption, view: View, scale: str
) -> None:
    """Draw site and view name on the left, scale and date on the right."""
    pad = sheet.pad
    draw_text(image, (pad, strip.top + 0.5 * pad), caption.site, sheet.title_font)
    left = pad + text_size(caption.site, sheet.title_font)[0] + 2 * pad
    drop = 0.5 * pad + (sheet.title_font.size - sheet.subtitle_font.size) * 0.95
    draw_text(image, (left, strip.top + drop), view.title, sheet.subtitle_font)
    left += text_size(view.title, sheet.subtitle_font)[0] + 2 * pad
    right = "   ".join(part for part in (scale, caption.date) if part)
    if left + text_size(right, sheet.subtitle_font)[0] > strip.right - pad:
        right = caption.date if left < strip.right * 0.8 else ""
    at = (strip.right - pad, strip.top + drop)
    draw_text(image, at, right, sheet.subtitle_font, color=FAINT_INK, align="right")


def foot_text(sheet: Sheet, caption: Caption) -> list[str]:
    """Return the lines of the foot, broken to the page; a very small page holds a part."""
    words = " ".join(part for part in (caption.caution, caption.standing) if part)
    lead = _lead(sheet)
    lines = wrap(words, sheet.small_font, sheet.width - 2 * sheet.pad - lead)
    rest = wrap(" ".join(lines[1:]), sheet.small_font, sheet.width - 2 * sheet.pad)
    found = [lines[0], *rest] if rest != [""] else lines[:1]
    most = max(1, int(_FOOT_SHARE * sheet.height / line_height(sheet.small_font)))
    return found if len(found) <= most else [*found[: most - 1], f"{found[most - 1]} …"]


def _lead(sheet: Sheet) -> float:
    """Return the room that the bold words at the start of the foot take. [px]"""
    return text_size(NOT_A_DESIGN, sheet.type(TYPE.small, bold=True))[0] + sheet.pad


def draw_foot(image: Image.Image, sheet: Sheet, strip: Rect, caption: Caption) -> None:
    """Draw the caution line."""
    lines = foot_text(sheet, caption)
    at = (sheet.pad, strip.top + 0.5 * sheet.pad)
    draw_text(image, at, NOT_A_DESIGN, sheet.type(TYPE.small, bold=True))
    draw_text(image, (at[0] + _lead(sheet), at[1]), lines[0], sheet.small_font)
    below = (at[0], at[1] + line_height(sheet.small_font))
    draw_text(image, below, "\n".join(lines[1:]), sheet.small_font)


def draw_frame(image: Image.Image, sheet: Sheet, frame: Rect) -> None:
    """Draw a thin line around the drawing."""
    width = max(1, round(sheet.px(0.25)))
    box = (frame.left - width, frame.top - width, frame.right + width - 1, frame.bottom + width - 1)
    ImageDraw.Draw(image).rectangle(box, outline=INK, width=width)


def bar_length(mpp: float, room: float, units: Literal["metric", "imperial"]) -> tuple[float, int]:
    """Return the length of the scale bar in its unit and its number of parts.

    Parameters
    ----------
    mpp : float
        Metres per pixel.
    room : float
        Longest bar. [px]
    units : {"metric", "imperial"}
        Metres or feet.
    """
    unit = 1.0 if units == "metric" else _FOOT
    most = room * mpp / unit
    power = 10.0 ** math.floor(math.log10(most))
    for step, parts in ((5.0, 5), (4.0, 4), (2.0, 4), (1.0, 5)):
        if step * power <= most:
            return step * power, parts
    return power, 5


def draw_scale_bar(
    image: Image.Image,
    sheet: Sheet,
    at: tuple[int, int],
    *,
    mpp: float,
    room: float,
    units: Literal["metric", "imperial"],
) -> int:
    """Draw a scale bar whose left end is the left side of pixel `at`; return its height. [px]"""
    length, parts = bar_length(mpp, room, units)
    unit, sign = (1.0, "m") if units == "metric" else (_FOOT, "ft")
    pixels = length * unit / mpp
    top = at[1] + line_height(sheet.small_font)
    thick = max(3, round(sheet.px(1.2)))
    pen = ImageDraw.Draw(image)
    pen.rectangle((at[0], top, at[0] + round(pixels) - 1, top + thick - 1), fill=INK)
    for k in range(1, parts, 2):
        a, b = round(at[0] + pixels * k / parts), round(at[0] + pixels * (k + 1) / parts)
        pen.rectangle(
            (a, top + 1, min(b, at[0] + round(pixels) - 1) - 1, top + thick - 2), fill=PAPER
        )
    draw_text(image, (at[0], at[1]), "0", sheet.small_font)
    ends = f"{length:g} {sign}"
    draw_text(image, (at[0] + round(pixels), at[1]), ends, sheet.small_font, align="right")
    return round(top + thick - at[1])


def looking(view: View) -> str:
    """Return in words which way a view looks."""
    back = view.axes[2]
    if back[2] > 0.999:
        return "seen from above, north up" if view.up[1] > 0.999 else "seen from above"
    bearing = math.degrees(math.atan2(-back[0], -back[1])) % 360
    point = _POINTS_OF_COMPASS[round(bearing / 45) % 8]
    return f"looking {point} ({round(bearing) % 360}°)"


def has_arrow(view: View) -> bool:
    """Return whether a level arrow is broad enough in this view to be read."""
    east, north, _ = pixel_axes(view)
    return abs(float(east[0] * north[1] - east[1] * north[0])) > 0.25


def draw_north(
    image: Image.Image, sheet: Sheet, middle: tuple[float, float], view: View, *, radius: float
) -> None:
    """Draw a north arrow on a round dial [mm] that lies flat on the ground of the view."""
    east, north, _ = pixel_axes(view)
    size = sheet.px(radius)
    lay = np.array([east, north]) * size
    centre = np.array(middle)
    turn = np.linspace(0, 2 * math.pi, 65)
    dial = np.column_stack([np.sin(turn), np.cos(turn)]) @ lay + centre
    light = np.array([[0, 0.92], [0.40, -0.68], [0, -0.42], [0, 0.92]]) @ lay + centre
    dark = np.array([[0, 0.92], [-0.40, -0.68], [0, -0.42], [0, 0.92]]) @ lay + centre
    fine, width = max(1.0, sheet.px(0.15)), max(1.0, sheet.px(0.25))
    draw_lines(image, [dial], width=fine, color=RULE)
    draw_lines(image, [light], width=width, closed_fill=PAPER)
    draw_lines(image, [dark], width=width, closed_fill=INK)
    face = sheet.type(TYPE.label, bold=True)
    letter = centre + north * size + north / np.linalg.norm(north) * face.size * 0.85
    top = letter[1] - line_height(face) / 2
    draw_text(image, (letter[0], top), "N", face, align="center")
