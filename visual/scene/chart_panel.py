"""One chart of the raise on its axes: lines, limits, shaded ranges, worst points."""

import math
from collections.abc import Iterable
from typing import Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.ticker import MaxNLocator, MultipleLocator

from visual.raising.motion import Array
from visual.scene.chart_ink import ink, pen, points
from visual.scene.chart_records import Band, BandKind, ChartPanel, Curve, Quantity
from visual.scene.sheet import Sheet
from visual.scene.style import BLUE, FAINT_INK, INK, PAPER, RGB, ROLES, RULE, TYPE, VERMILION
from visual.units import FORCE_UNITS, LENGTH_UNITS, STRESS_UNITS, UnitSystem

THICK, THIN = 0.75, 0.3  # of lines with the head and without [mm]
DASHES: tuple[tuple[float, ...], ...] = ((), (5.0, 1.6), (1.2, 1.2), (5.0, 1.4, 1.2, 1.4))
SHADES: dict[BandKind, tuple[RGB, float, str]] = {
    "balance": ((196, 178, 140), 0.30, ""),
    "stop": (VERMILION, 0.07, "/"),
    "unknown": (FAINT_INK, 0.10, "."),
}
MARK = 2.4  # width of the mark of a worst point [mm]

Hatch = Literal["pattern", "lines"]
"""Hatching as a pattern of the file, or as lines."""

_APART = 2.2  # of lines of a hatching [mm]
_FAR = 1.8  # a limit this many times beyond the largest value is told, not drawn
_HEADROOM = 0.16  # of the range, for what is written above the lines
_LEAST: dict[Quantity, float] = {"force": 100.0, "stress": 1e6, "change": 0.02}


def scale_of(quantity: Quantity, system: UnitSystem) -> tuple[float, str]:
    """Return the SI size and the name of the unit of a chart."""
    if system == "metric":
        return {"force": (1e3, "kN"), "stress": (1e6, "MPa"), "change": (1e-3, "mm")}[quantity]
    return {
        "force": (FORCE_UNITS["lbf"], "lbf"),
        "stress": (STRESS_UNITS["ksi"], "ksi"),
        "change": (LENGTH_UNITS["in"], "in"),
    }[quantity]


def value_text(value: float, quantity: Quantity, system: UnitSystem) -> str:
    """Return a value as it is written beside its point."""
    size, unit = scale_of(quantity, system)
    metric = system == "metric"
    decimals = {"force": 2 if metric else 0, "stress": 1, "change": 0 if metric else 1}[quantity]
    return f"{value / size:z.{decimals}f} {unit}".replace("-", "−")


def look(curve: Curve, panel: ChartPanel) -> tuple[RGB, tuple[float, ...]]:
    """Return colour and dash of a line."""
    levels = max(1, len(panel.curves) // 2)
    right = panel.quantity == "change" and curve.number >= levels
    dash = DASHES[curve.number % len(DASHES)]
    return (BLUE if right else ROLES[panel.role].color), dash


def near_limits(panel: ChartPanel) -> tuple[list[Curve], list[Curve]]:
    """Return the limits that the chart can show, and those far above its lines."""
    low, high = _range(panel.curves, panel.quantity)
    top = max(_FAR * high, high - low)
    known = [limit for limit in panel.limits if np.isfinite(limit.least)]
    shown = [limit for limit in known if limit.least <= top]
    return shown, [limit for limit in known if limit not in shown]


def draw_panel(
    axes: Axes,
    panel: ChartPanel,
    sheet: Sheet,
    *,
    start: float,
    system: UnitSystem,
    hatch: Hatch = "pattern",
) -> None:
    """Draw one chart without its lettering.

    Parameters
    ----------
    axes : Axes
        Where to.
    panel : ChartPanel
        What to draw.
    sheet : Sheet
        The page.
    start : float
        Lowest raising angle of all charts. [rad]
    system : {"metric", "imperial"}
        Units.
    hatch : {"pattern", "lines"}
        How hatched ranges are drawn.
    """
    size, _ = scale_of(panel.quantity, system)
    shown, _ = near_limits(panel)
    low, high = _range([*panel.curves, *shown], panel.quantity)
    spare = _HEADROOM * (high - low)
    axes.set_ylim((low - (spare if low < 0 else 0.0)) / size, (high + spare) / size)
    axes.set_xlim(math.degrees(start), 90.0)
    _dress(axes, sheet)
    for band in panel.bands:
        _shade(axes, band, sheet, hatch)
    for curve in panel.curves:
        color, dash = look(curve, panel)
        _line(axes, curve, sheet, size, color=color, dash=dash)
    for limit in shown:
        _limit(axes, limit, sheet, size)
    for curve in panel.curves:
        if curve.worst is not None:
            _mark(axes, curve, sheet, size, ROLES["worst_mark"].color)


def _range(curves: Iterable[Curve], quantity: Quantity) -> tuple[float, float]:
    """Return the smallest and largest value, zero and a least range included."""
    values = np.concatenate([curve.values for curve in curves] or [np.zeros(1)])
    known = values[np.isfinite(values)]
    low, high = float(known.min(initial=0.0)), float(known.max(initial=0.0))
    least = _LEAST[quantity]
    if quantity == "change" and high - low < least:
        return min(low, -least / 2), max(high, least / 2)
    # rounding of a straight line through zero is no value
    low = 0.0 if low > -1e-6 * high else low
    return low, max(high, low + least)


def _dress(axes: Axes, sheet: Sheet) -> None:
    """Draw axes and grid."""
    thin = pen(sheet, 0.2)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set(linewidth=thin, color=ink(INK))
    axes.xaxis.set_major_locator(MultipleLocator(15))
    axes.yaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 5, 10]))
    axes.xaxis.set_major_formatter("{x:g}°")
    axes.set_axisbelow(True)
    axes.grid(True, color=ink(RULE, 0.45), linewidth=pen(sheet, 0.12))
    axes.tick_params(
        length=points(sheet, sheet.px(0.8)),
        width=thin,
        color=ink(INK),
        labelcolor=ink(INK),
        labelsize=points(sheet, sheet.type(TYPE.small).size),
    )
    axes.axhline(0.0, color=ink(INK), linewidth=thin, zorder=2)


def _shade(axes: Axes, band: Band, sheet: Sheet, how: Hatch) -> None:
    color, opacity, hatch = SHADES[band.kind]
    a, b = math.degrees(band.start), math.degrees(band.end)
    axes.axvspan(a, b, facecolor=ink(color, opacity), edgecolor="none", zorder=0.5)
    if hatch and how == "lines":
        _hatch_lines(axes, (a, b), sheet, color)
    elif hatch:
        axes.axvspan(
            a, b, fill=False, edgecolor=ink(color, 0.3), hatch=hatch, linewidth=0, zorder=0.6
        )
    if band.start > math.radians(axes.get_xlim()[0]) + 1e-9:
        axes.axvline(a, color=ink(color), linewidth=pen(sheet, 0.2), zorder=0.7)


def _hatch_lines(axes: Axes, span: tuple[float, float], sheet: Sheet, color: RGB) -> None:
    """Fill a range of angles [deg] with slanting lines, each cut to it."""
    low, high = axes.get_ylim()
    corners = axes.transData.transform([(span[0], low), (span[1], high)])
    (x0, y0), (x1, y1) = corners
    apart = sheet.px(_APART)
    pieces = []
    for shift in np.arange(x0 - (y1 - y0) + apart, x1, apart):  # x at which a line leaves y0
        ends = max(x0, shift), min(x1, shift + y1 - y0)
        pieces.append([(x, y0 + x - shift) for x in ends])
    back = axes.transData.inverted()
    lines = [back.transform(piece) for piece in pieces]
    axes.add_collection(
        LineCollection(lines, colors=[ink(color, 0.3)], linewidths=pen(sheet, 0.15), zorder=0.6),
        autolim=False,
    )


def _line(
    axes: Axes, curve: Curve, sheet: Sheet, size: float, *, color: RGB, dash: tuple[float, ...]
) -> None:
    width = pen(sheet, THIN if curve.thin else THICK)
    axes.plot(
        np.degrees(curve.angles),
        np.asarray(curve.values) / size,
        color=ink(color),
        linewidth=width,
        linestyle=(0, _dashes(sheet, dash, width)) if dash else "-",
        solid_capstyle="round",
        zorder=4,
    )


def _dashes(sheet: Sheet, dash: tuple[float, ...], width: float) -> tuple[float, ...]:
    """Return a dash [half mm] in widths of its line, which is how matplotlib counts."""
    return tuple(points(sheet, sheet.px(0.5 * part)) / width for part in dash)


def _limit(axes: Axes, limit: Curve, sheet: Sheet, size: float) -> None:
    width = pen(sheet, THIN if limit.thin else 0.45)
    axes.plot(
        np.degrees(limit.angles),
        limit.values / size,
        color=ink(VERMILION),
        linewidth=width,
        linestyle=(0, _dashes(sheet, (3.0, 2.0), width)),
        zorder=3,
    )


def _mark(axes: Axes, curve: Curve, sheet: Sheet, size: float, color: RGB) -> None:
    assert curve.worst is not None  # only marked curves get here
    axes.plot(
        [math.degrees(curve.angles[curve.worst])],
        [curve.values[curve.worst] / size],
        marker="o",
        markersize=points(sheet, sheet.px(MARK * (0.75 if curve.thin else 1.0))),
        markerfacecolor=ink(PAPER if curve.thin else color),
        markeredgecolor=ink(color),
        markeredgewidth=pen(sheet, 0.4),
        clip_on=False,
        zorder=6,
    )


def on_page(axes: Axes, angles: Array, values: Array, sheet: Sheet) -> Array:
    """Return points of a chart (angles in degrees, values in its unit) on the page. [px]"""
    places = axes.transData.transform(np.column_stack([angles, values]))
    return np.column_stack([places[:, 0], sheet.height - places[:, 1]])
