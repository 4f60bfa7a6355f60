"""The scale of the arrows of forces, drawn and in words."""

import math

from PIL import Image

from visual.scene.fonts import line_height
from visual.scene.lettering import draw_arrow, draw_text
from visual.scene.sheet import Sheet
from visual.scene.style import ROLES
from visual.units import FORCE_UNITS, LENGTH_UNITS, UnitSystem

_LONGEST_KEY = 16.0  # [mm]


def paper_units(system: UnitSystem) -> tuple[float, float]:
    """Return the length on paper [m] and the force [N] in which the scale is stated."""
    if system == "metric":
        return LENGTH_UNITS["cm"], FORCE_UNITS["kN"]
    return LENGTH_UNITS["in"], FORCE_UNITS["lbf"]


def scale_in_words(newtons: float, *, reduction: float, system: UnitSystem) -> str:
    """Say how large the force of an arrow on paper is.

    Parameters
    ----------
    newtons : float
        Force per metre of the drawing. [N/m]
    reduction : float
        Metres of the drawing per metre on paper.
    system : {"metric", "imperial"}
        Units.
    """
    paper, _ = paper_units(system)
    word = "1 cm" if system == "metric" else "1 in"
    return f"forces on an A4 print: {word} = {_short(newtons * reduction * paper, system)}"


def per_length_in_words(newtons: float, system: UnitSystem) -> str:
    """Say how large the force of an arrow is by its length beside the mast; empty if unknown.

    Parameters
    ----------
    newtons : float
        Force per metre of the drawing. [N/m]
    system : {"metric", "imperial"}
        Units.
    """
    if math.isnan(newtons):
        return ""
    return f" Arrows are forces on mast and gin pole, {short_scale(newtons, system)}."


def short_scale(newtons: float, system: UnitSystem) -> str:
    """Return the force of an arrow of 1 m or 1 ft beside the mast, from that of 1 m [N/m]."""
    length, word = beside(system)
    return f"{word} = {_short(newtons * length, system)}"


def beside(system: UnitSystem) -> tuple[float, str]:
    """Return the length beside the mast [m] for which a force is stated, and its word."""
    return (1.0, "1 m") if system == "metric" else (LENGTH_UNITS["ft"], "1 ft")


def _short(newtons: float, system: UnitSystem) -> str:
    """Return a round force without idle zeros."""
    if system == "imperial":
        return f"{newtons / FORCE_UNITS['lbf']:.4g} lbf"
    return f"{newtons / 1e3:.3g} kN" if newtons >= 999.5 else f"{newtons:.3g} N"


def key_height(sheet: Sheet) -> int:
    """Return the height of the drawn scale. [px]"""
    return round(line_height(sheet.small_font) + sheet.px(0.8))


def draw_force_key(
    image: Image.Image,
    sheet: Sheet,
    at: tuple[float, float],
    *,
    newtons: float,
    mpp: float,
    system: UnitSystem,
) -> None:
    """Draw an arrow of a round force, and what it stands for, from the upper left corner `at`.

    Parameters
    ----------
    image : Image
        Drawn on.
    sheet : Sheet
        Sizes.
    at : tuple of float
        Upper left corner. [px]
    newtons : float
        Force per metre of the drawing. [N/m]
    mpp : float
        Metres of the drawing per pixel.
    system : {"metric", "imperial"}
        Units.
    """
    _, newton = paper_units(system)
    most = sheet.px(_LONGEST_KEY) * mpp * newtons / newton
    power = 10.0 ** math.floor(math.log10(most))
    force = newton * power * max(step for step in (1.0, 2.0, 5.0) if step * power <= most)
    length = force / newtons / mpp
    line = line_height(sheet.small_font)
    look = ROLES["force"]
    middle = (at[0], at[1] + line / 2)
    draw_arrow(image, middle, length, width=sheet.px(look.width), color=look.color)
    text = _short(force, system)
    draw_text(image, (at[0] + length + sheet.px(1.5), at[1]), text, sheet.small_font)
