"""Words on a chart, laid out so that they touch neither each other nor the lines."""

import math

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from visual.raising.motion import Array
from visual.scene.boxes import Quad, turned_box
from visual.scene.chart_ink import ink, pen, put_text
from visual.scene.chart_panel import MARK, near_limits, on_page, scale_of, value_text
from visual.scene.chart_ranges import Words, narrow_ranges, wide_ranges
from visual.scene.chart_records import ChartPanel, Curve
from visual.scene.fonts import text_size
from visual.scene.label_places import Place, Wish
from visual.scene.labels import lay_out
from visual.scene.sheet import Sheet
from visual.scene.style import FAINT_INK, INK, TYPE, VERMILION
from visual.units import UnitSystem

_ALONG = (0.42, 0.3, 0.55, 0.68, 0.2, 0.8)  # shares of a line where its name may stand
_FEW = 2  # so many lines have their names on them; of more, the worst point tells
_ALIKE = 0.015  # lines nearer than this share of the range are named together


def letter_panel(
    figure: Figure, axes: Axes, panel: ChartPanel, sheet: Sheet, system: UnitSystem
) -> int:
    """Write title, names, limits, worst points and words of ranges; return what found no room."""
    frame = _frame(axes, sheet)
    _title(figure, panel, sheet, frame, system)
    size, _ = scale_of(panel.quantity, system)
    shown, _ = near_limits(panel)
    pieces = [_pieces(axes, curve, sheet, size) for curve in (*panel.curves, *shown)]
    lines = np.concatenate(pieces) if pieces else np.empty((0, 2, 2))
    taken = narrow_ranges(figure, panel, axes, sheet, frame, lines)
    words = _wishes(axes, panel, shown, sheet, system)
    words += wide_ranges(panel, axes, sheet, frame, first=len(words))
    taken += [
        _mark_box(axes, curve, sheet, size) for curve in panel.curves if curve.worst is not None
    ]
    layout = lay_out(
        [one.wish for one in words],
        frame=frame,
        taken=taken,
        lines=[(lines, 80.0)],
        gap=max(2.0, sheet.px(0.5)),
        reach=sheet.px(16),
    )
    for place in layout.places:
        _write(figure, words[place.wish.key], place, sheet)
    return layout.left_out


def _frame(axes: Axes, sheet: Sheet) -> tuple[float, float, float, float]:
    box = axes.get_position()
    w, h = sheet.width, sheet.height
    return box.x0 * w, (1 - box.y1) * h, box.x1 * w, (1 - box.y0) * h


def _title(
    figure: Figure,
    panel: ChartPanel,
    sheet: Sheet,
    frame: tuple[float, float, float, float],
    system: UnitSystem,
) -> None:
    """Write the title, its unit, and limits that are far above the chart."""
    face = sheet.type(TYPE.label, bold=True)
    left = frame[0] - sheet.px(8.0)
    unit = scale_of(panel.quantity, system)[1]
    height = sheet.px(9.6)
    put_text(figure, sheet, (left, frame[1] - height), panel.title, face, bold=True)
    words = unit
    _, far = near_limits(panel)
    for limit in far:
        least = value_text(limit.least, panel.quantity, system)
        words += f"   ·   {limit.name} {least}, above the chart"
    small = sheet.small_font
    at = (left, frame[1] - height + 1.25 * face.size)
    put_text(figure, sheet, at, words, small, color=FAINT_INK)


def _pieces(axes: Axes, curve: Curve, sheet: Sheet, size: float) -> Array:
    path = on_page(axes, np.degrees(curve.angles), curve.values / size, sheet)
    pieces = np.stack([path[:-1], path[1:]], axis=1)
    return np.asarray(pieces[np.isfinite(pieces).all(axis=(1, 2))])


def _mark_box(axes: Axes, curve: Curve, sheet: Sheet, size: float) -> Quad:
    assert curve.worst is not None  # only marked curves get here
    at = _at(axes, curve, curve.worst, sheet, size)
    return turned_box(at, (sheet.px(MARK), sheet.px(MARK)), 0.0)


def _at(axes: Axes, curve: Curve, step: int, sheet: Sheet, size: float) -> Array:
    angle = np.array([math.degrees(curve.angles[step])])
    return np.asarray(on_page(axes, angle, curve.values[[step]] / size, sheet)[0])


def _wishes(
    axes: Axes, panel: ChartPanel, shown: list[Curve], sheet: Sheet, system: UnitSystem
) -> list[Words]:
    size, _ = scale_of(panel.quantity, system)
    found: list[Words] = []

    def ask(
        text: str, at: Array, *, priority: float, one_of: str = "", limit: bool = False
    ) -> None:
        bold = priority >= 9
        face = sheet.type(TYPE.number, bold=bold)
        w, h = text_size(text, face)
        wish = Wish(
            key=len(found),
            at=at,
            size=(w + 2, h),
            priority=priority,
            one_of=one_of,
            clear=sheet.px(MARK / 2) if bold else sheet.px(0.6),
        )
        found.append(Words(text, wish, bold=bold, limit=limit))

    many = len(panel.curves) > _FEW
    peaks = [abs(float(c.values[c.worst])) for c in panel.curves if c.worst is not None]
    most = max(peaks, default=1.0)
    for number, (name, curve) in enumerate(named(panel)):
        if curve.worst is not None:
            at = _at(axes, curve, curve.worst, sheet, size)
            text = worst_text(curve, panel, system)
            if many and name:
                text = f"{name.split(', ')[0]}\n{text}"
            # the outermost chooses first: it has the most room on its far side
            ask(text, at, priority=9.5 + 0.5 * abs(float(curve.values[curve.worst])) / most)
        on_line = name and not (many and curve.worst is not None)
        for rank, share in enumerate(_ALONG if on_line else ()):
            at = _at(axes, curve, int(share * (curve.angles.size - 1)), sheet, size)
            if np.isfinite(at).all():
                ask(name, at, priority=6.0 - 0.02 * rank, one_of=f"name {number}")
    for number, limit in enumerate(shown if len({one.name for one in shown}) > 1 else shown[:1]):
        text = limit.name
        if np.ptp(limit.values) == 0:
            text += f" {value_text(float(limit.values[0]), panel.quantity, system)}"
        for rank, share in enumerate((0.6, 0.4, 0.8, 0.25)):
            at = _at(axes, limit, int(share * (limit.angles.size - 1)), sheet, size)
            if np.isfinite(at).all():
                ask(text, at, priority=5.0 - 0.02 * rank, one_of=f"limit {number}", limit=True)
    return found


def named(panel: ChartPanel) -> list[tuple[str, Curve]]:
    """Return names and lines; lines that lie on each other share one name."""
    groups: list[tuple[list[str], Curve]] = []
    values = np.concatenate([curve.values for curve in panel.curves] or [np.zeros(1)])
    span = float(np.ptp(values[np.isfinite(values)])) if np.isfinite(values).any() else 0.0
    for curve in panel.curves:
        for names, other in groups:
            same = curve.values.shape == other.values.shape and curve.thin == other.thin
            apart = np.abs(curve.values - other.values) if same else np.full(1, np.inf)
            if apart[~np.isnan(apart)].max(initial=0.0) <= max(_ALIKE * span, 1e-9):
                names.append(curve.name)
                break
        else:
            groups.append(([curve.name], curve))
    return [(" and ".join(names), curve) for names, curve in groups]


def worst_text(curve: Curve, panel: ChartPanel, system: UnitSystem) -> str:
    """Return the words at the worst point of a line."""
    assert curve.worst is not None  # only marked curves get here
    value = float(curve.values[curve.worst])
    angle = f"{math.degrees(curve.angles[curve.worst]):z.1f}°".replace("-", "−")
    words = value_text(value, panel.quantity, system)
    if panel.quantity == "change":
        words = f"{'tight' if value > 0 else 'slack'} {words.removeprefix('−')}"
    return f"{words} at {angle}"


def _write(figure: Figure, words: Words, place: Place, sheet: Sheet) -> None:
    if place.leader is not None:
        x, y = place.leader[:, 0] / sheet.width, 1 - place.leader[:, 1] / sheet.height
        leader = Line2D(x, y, color=ink(INK), linewidth=pen(sheet, 0.18), zorder=5)
        figure.add_artist(leader)
    face = sheet.type(TYPE.number, bold=words.bold)
    corner = place.middle - np.array(text_size(words.text, face)) / 2
    color = VERMILION if words.limit else INK
    at = (float(corner[0]), float(corner[1]))
    put_text(figure, sheet, at, words.text, face, bold=words.bold, color=color, halo=True)
