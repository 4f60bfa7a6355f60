"""What stands beside the site plan: scale, north, facts, setbacks, legend, coordinates."""

import math
from collections.abc import Iterator, Sequence

from visual.checks import Report
from visual.frame import crs_unit_metres
from visual.model import Model
from visual.scene.build import SceneMaker
from visual.sheets.drawing import Drawing
from visual.sheets.furniture import (
    draw_facts,
    draw_heading,
    draw_legend,
    draw_north,
    draw_scale_bar,
    legend_entries,
    legend_height,
)
from visual.sheets.page import Sheet
from visual.sheets.paper import Box
from visual.sheets.plan_location import LEAST, draw_location
from visual.sheets.plan_setbacks import setback_table
from visual.sheets.table import draw_table, table_height
from visual.sheets.table_rows import Column, Table
from visual.sheets.verdicts import JudgedSetback
from visual.units import UnitSystem, format_angle, format_length

_SHARE, _LEAST, _MOST = 0.26, 70.0, 104.0  # width of the panel: of the body, limits [mm]
_TWO_COLUMNS = 85.0  # a panel at least so wide has its legend in two columns [mm]
_HEADING = 5.0  # height of a heading with its rule [mm]
_SMALL = 6.0  # of type [pt]


def panel_width(body: Box) -> float:
    """Return the width of the panel. [mm]"""
    return min(max(_SHARE * body.width, _LEAST), _MOST)


def draw_panel(
    sheet: Sheet,
    panel: Box,
    maker: SceneMaker,
    drawing: Drawing,
    setbacks: Sequence[JudgedSetback],
    left_out: Sequence[str],
    *,
    units: UnitSystem,
) -> bool:
    """Draw the panel; return whether all setbacks found room in it."""
    x, width, model = panel.left, panel.width, maker.report.model
    draw_north(sheet, x + 8.0, panel.top + 11.0, 13.0, "grid")
    bar = drawing.window.denominator
    y = draw_scale_bar(sheet, x + 20.0, panel.top + 3.0, width - 20.0, denominator=bar, units=units)
    y = max(y, panel.top + 20.0) + 1.0
    y = draw_heading(sheet, x, y, width, "Mast and place")
    y = draw_facts(sheet, x, y, width, list(_facts(maker, left_out)))
    entries = legend_entries(drawing.roles)
    columns = 2 if width > _TWO_COLUMNS else 1
    legend = legend_height(sheet, entries, width, columns) + _HEADING
    y, is_whole = _setbacks(sheet, panel, y, panel.bottom - legend, setbacks, units)
    y = draw_heading(sheet, x, y, width, "Legend")
    y = draw_legend(sheet, x, y, width, entries, columns) + 1.5
    for title, table in (
        ("Anchors", _anchors(model, units)),
        ("Overhead lines", _power_lines(model, units)),
    ):
        needs = table_height(sheet, table, width=width) + _HEADING
        if table.rows and y + needs <= panel.bottom:
            y = draw_heading(sheet, x, y, width, title)
            _, y = draw_table(sheet, table, top=y, left=x, width=width, next_sheet=_no_sheet)
            y += 2.0
    if panel.bottom - y >= LEAST:
        draw_location(sheet, panel.part(top=y), maker, drawing.window, units=units)
    return is_whole


def _setbacks(
    sheet: Sheet,
    panel: Box,
    y: float,
    bottom: float,
    setbacks: Sequence[JudgedSetback],
    units: UnitSystem,
) -> tuple[float, bool]:
    """Write as many setbacks as find room; return the y below and whether these were all."""
    x, width = panel.left, panel.width
    y = draw_heading(sheet, x, y, width, "Setbacks, horizontal")
    if not setbacks:
        return sheet.paragraph(x, y, width, "The site file names none.", size=_SMALL) + 2.0, True
    room = bottom - y - 2.0
    shown = len(setbacks)
    while shown and _height(sheet, setbacks[:shown], width, units) > (
        room if shown == len(setbacks) else room - 4.0
    ):
        shown -= 1
    if shown:
        table = setback_table(setbacks[:shown], units, is_full=False)
        _, y = draw_table(sheet, table, top=y, left=x, width=width, next_sheet=_no_sheet)
    if shown < len(setbacks):
        words = f"All {len(setbacks)}, with their rules: next sheet."
        y = sheet.paragraph(x, y + 0.5, width, words, size=_SMALL, bold=True)
    return y + 2.0, shown == len(setbacks)


def _height(
    sheet: Sheet, setbacks: Sequence[JudgedSetback], width: float, units: UnitSystem
) -> float:
    return table_height(sheet, setback_table(setbacks, units, is_full=False), width=width)


def _no_sheet() -> Sheet:
    message = "a table that was measured to fit does not"
    raise AssertionError(message)


def _facts(maker: SceneMaker, left_out: Sequence[str]) -> Iterator[tuple[str, str]]:
    report, model = maker.report, maker.report.model
    units, frame, mast = model.site.site.units, model.frame, model.rig.mast
    yield "base", coordinates(model, 0.0, 0.0)
    yield "grid", _grid_words(model)
    yield "ground at base", format_length(float(frame.height(model.base_ground)), units)
    yield "total height", format_length(mast.total_height, units)
    yield "mast", f"{format_length(mast.length, units)} above its hinge"
    yield "front", _bearings(report)
    if frame.convergence:
        turn = math.degrees(frame.convergence)
        side = "left" if turn > 0 else "right"
        yield "true north", f"{abs(turn):.2f}° to the {side} of grid north"
    for note in maker.caption.notes:
        yield "ground", note
    yield "drawn", "standing mast; grey: mast laid down"
    if left_out:
        yield "not named", "; ".join(text.replace("\n", " ") for text in left_out)


def _grid_words(model: Model) -> str:
    """Return which grid coordinates are in, and its unit."""
    frame = model.frame
    if frame.is_local:
        return "local grid of the site, metres"
    if frame.scale is None:
        return f"{frame.crs}, degrees"
    metres = crs_unit_metres(frame.crs)
    return f"{frame.crs}, " + ("metres" if metres == 1.0 else f"units of {metres:.6g} m")


def coordinates(model: Model, x: float, y: float) -> str:
    """Return easting and northing of a place as text."""
    frame = model.frame
    east, north = frame.to_grid(x, y)
    decimals = 6 if frame.scale is None and not frame.is_local else 2
    text = f"E {float(east):,.{decimals}f}  N {float(north):,.{decimals}f}"
    return text.replace(",", " ").replace("-", "−")


def _bearings(report: Report) -> str:
    front, frame = report.model.rig.front, report.model.frame
    words = [f"{math.degrees(front) % 360:.1f}° grid"]
    for word, bearing in (
        ("true", frame.true_bearing(front)),
        ("magnetic", frame.magnetic_bearing(front)),
    ):
        if bearing is not None:
            words.append(f"{math.degrees(float(bearing)) % 360:.1f}° {word}")
    return ", ".join(words)


def _anchors(model: Model, units: UnitSystem) -> Table:
    rows = [
        [
            side + (" (as built)" if anchor.as_built else ""),
            format_length(anchor.radius, units),
            format_angle(anchor.bearing),
            coordinates(model, float(anchor.eye[0]), float(anchor.eye[1])),
        ]
        for side, anchor in model.anchors.items()
        if anchor.placed
    ]
    columns = [
        Column("anchor", 0.8),
        Column("from base", 0.9, "right"),
        Column("grid", 0.7, "right"),
        Column("coordinates", 2.2),
    ]
    return Table(columns, rows, size=_SMALL)


def _power_lines(model: Model, units: UnitSystem) -> Table:
    rows = []
    for line in model.surroundings.lines:
        needs = model.site.limits.overhead_line.required(line.voltage_kv)
        voltage = "unknown" if line.voltage_kv is None else f"{line.voltage_kv:g} kV"
        keep = "no table" if needs.distance is None else format_length(needs.distance, units)
        rows.append([line.name, voltage, keep, needs.basis])
    columns = [
        Column("line", 1.0),
        Column("voltage", 0.9, "right"),
        Column("keep", 0.9, "right"),
        Column("basis", 2.1),
    ]
    return Table(columns, rows, size=_SMALL)
