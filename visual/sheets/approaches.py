"""Closest approaches on the elevations: each in the one that shows more of it."""

import math
from collections.abc import Iterator, Sequence

import numpy as np

from visual.checks import Clearance, Report
from visual.raising.motion import mast_direction, rotor_centre
from visual.scene.attention import shortest_line
from visual.scene.layers import Points, degrees_text
from visual.scene.solids import ring_about
from visual.scene.style import BLUE
from visual.sheets.dimension import measured
from visual.sheets.drawing import Drawing
from visual.sheets.labelling import Label
from visual.sheets.table_rows import Cell, Column, Table
from visual.sheets.verdicts import WORDS, JudgedApproach, status_color
from visual.sheets.window import Window
from visual.units import UnitSystem, format_length

_TURNING = ("mast", "head", "rotor", "gin pole")
_FAR = 5.0  # what stays this much farther away than is asked is not drawn [m]
_UPRIGHT = math.radians(89.0)


def shown_in(
    approaches: Sequence[JudgedApproach], windows: Sequence[Window], *, most: int
) -> list[list[JudgedApproach]]:
    """Share out approaches to windows; what is far, or none shows, or is beyond `most`, is left."""
    shares: list[list[JudgedApproach]] = [[] for _ in windows]
    for one in approaches:
        ends = shortest_line(one.clearance)
        if one.finding.status == "ok" and one.clearance.margin > _FAR:
            continue
        best = max(range(len(windows)), key=lambda k: _seen_length(ends, windows[k]))
        if _seen_length(ends, windows[best]) > 0 and len(shares[best]) < most:
            shares[best].append(one)
    return shares


def _seen_length(ends: Points, window: Window) -> float:
    """Return how long a line looks in a window; 0 if it is not wholly in it. [mm]"""
    flat = window.flat(ends)
    if not np.isfinite(flat).all() or not window.holds(flat, edge=1.0).all():
        return 0.0
    return float(np.linalg.norm(flat[1] - flat[0])) + 1e-6


def draw_approaches(
    drawing: Drawing, report: Report, shown: Sequence[JudgedApproach]
) -> Iterator[Label]:
    """Draw closest approaches, and the mast where it is then, and yield their labels."""
    units = report.model.site.site.units
    for one in shown:
        _mast_then(drawing, report, one.clearance)
    for one in shown:
        start, end = drawing.window.flat(shortest_line(one.clearance))
        is_bad = one.finding.status in ("stop", "not checked")
        color = status_color(one.finding.status) if is_bad else BLUE
        text = f"{one.key} {format_length(one.clearance.closest.distance, units)}"
        if one.finding.status != "ok":
            text += f" {WORDS[one.finding.status]}"
        labels = measured(
            drawing, start, end, text, choice=f"approach {one.key}", priority=10.0, color=color,
            bold=is_bad, width=0.5,
        )  # fmt: skip
        yield from labels


def _mast_then(drawing: Drawing, report: Report, clearance: Clearance) -> None:
    """Draw the mast and the reach of its rotor at the angle of an approach."""
    model, angle = report.model, clearance.closest.angle
    if clearance.part not in _TURNING or angle > _UPRIGHT:
        return
    top = model.rig.mast.length * mast_direction(model, angle)
    path = drawing.window.flat(np.array([np.zeros(3), top]))
    drawing.stroke("mast_ghost", [path], weight=20.0)
    head = model.rig.mast.head
    if head is not None and head.rotor_radius > 0:
        centre = rotor_centre(model, np.array([angle]))[0]
        ring = ring_about(centre, drawing.window.towards, head.rotor_radius)
        drawing.stroke("rotor_reach", [drawing.window.flat(ring)])


def approach_table(
    approaches: Sequence[JudgedApproach], drawn: Sequence[str], units: UnitSystem
) -> Table:
    """Return the table of closest approaches; keys that are not drawn stand in brackets."""
    wide = 1.1 if units == "metric" else 1.6
    columns = [
        Column("", 0.62),
        Column("closest approach, in space", 3.2),
        Column("found", wide, "right"),
        Column("asked", wide, "right"),
        Column("mast at", 0.8, "right"),
        Column("verdict", 1.2),
    ]
    rows: list[list[str | Cell]] = []
    for one in approaches:
        closest, need = one.clearance.closest, one.clearance.obstacle.requirement.distance
        word, status = WORDS[one.finding.status], one.finding.status
        rows.append(
            [
                Cell(one.key if one.key in drawn else f"({one.key})", bold=True),
                one.finding.subject,
                format_length(closest.distance, units),
                "no table" if need is None else format_length(need, units),
                degrees_text(closest.angle),
                Cell(word, bold=status in ("stop", "not checked"), color=status_color(status)),
            ]
        )
    return Table(columns, rows, size=6.2, head_size=5.6)
