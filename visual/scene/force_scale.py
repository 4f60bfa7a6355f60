"""How long the arrows of forces are: a round force for each centimetre or inch on paper."""

import math
from collections.abc import Sequence

import numpy as np
from PIL import Image

from visual.checks import Report
from visual.mechanics.pivot import STANDARD_GRAVITY
from visual.raising import RaiseRun
from visual.scene.fonts import line_height
from visual.scene.force_view import LONGEST, forces
from visual.scene.furniture import round_scale
from visual.scene.lettering import draw_arrow, draw_text
from visual.scene.sheet import Sheet, lay_page
from visual.scene.style import ROLES
from visual.units import FORCE_UNITS, LENGTH_UNITS, UnitSystem

_ROUND = (1.0, 2.0, 2.5, 4.0, 5.0, 10.0)
_ROUND_BESIDE = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_LONGEST_KEY = 16.0  # [mm]
_USUAL = (1600, 1000)


def newtons_per_metre(report: Report) -> float:
    """Return the force that an arrow of 1 m on the drawing stands for. [N/m]

    It is the same at all angles, and round on an A4 print of the usual shape; NaN if no force is
    known.
    """
    largest = _largest(report.forces.loaded)
    if math.isnan(largest):
        return math.nan
    longest = LONGEST * report.model.rig.mast.total_height
    paper, newton = _units(report.model.site.site.units)
    reduction = _usual_reduction(report)
    least = largest / longest * reduction * paper / newton
    return _round_up(least) * newton / paper / reduction


def round_newtons_per_metre(report: Report, system: UnitSystem) -> float:
    """Return the force of an arrow of 1 m beside the mast, round for 1 m, or for 1 ft. [N/m]

    It is the same at all angles of both raises; NaN if no force is known.
    """
    known = [_largest(run) for run in report.forces.runs]
    known = [largest for largest in known if math.isfinite(largest)]
    if not known:
        return math.nan
    longest = LONGEST * report.model.rig.mast.total_height
    length, _ = _beside(system)
    newton = FORCE_UNITS["kN" if system == "metric" else "lbf"]
    least = max(known) / longest * length / newton
    return _round_up(least, steps=_ROUND_BESIDE) * newton / length


def _largest(run: RaiseRun) -> float:
    """Return the largest force of a raise; NaN if no more than the weight is known. [N]"""
    if not np.isfinite(run.tow_tension).any() or not np.isfinite(run.lift_wires).any():
        return math.nan
    weight = np.full(run.angles.shape, STANDARD_GRAVITY * run.weights.mass)
    parts = [run.tow_tension, run.hold_back, run.hinge_force, np.abs(run.gin_compression), weight]
    every = np.concatenate([*parts, run.lift_wires.ravel()])
    return float(every[np.isfinite(every)].max())


def _units(system: UnitSystem) -> tuple[float, float]:
    """Return the length on paper [m] and the force [N] in which the scale is stated."""
    if system == "metric":
        return LENGTH_UNITS["cm"], FORCE_UNITS["kN"]
    return LENGTH_UNITS["in"], FORCE_UNITS["lbf"]


def _round_up(value: float, *, steps: Sequence[float] = _ROUND) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    return power * next(step for step in steps if step * power >= value * (1 - 1e-9))


def _usual_reduction(report: Report) -> float:
    """Return metres of the drawing per metre on paper for a picture of the usual size."""
    sheet = Sheet(*_USUAL)
    page = lay_page(sheet, panel="bottom", panel_size=sheet.height // 7, foot_lines=2)
    view = round_scale(forces(report), sheet, page.frame)
    return view.metres_per_pixel(page.frame.width, page.frame.height) / sheet.printed_scale


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
    paper, _ = _units(system)
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
    length, word = _beside(system)
    return f"{word} = {_short(newtons * length, system)}"


def _beside(system: UnitSystem) -> tuple[float, str]:
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
    _, newton = _units(system)
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
