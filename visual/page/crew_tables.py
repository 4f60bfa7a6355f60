"""What the crew holds in its hands: wires, anchors, and where on the way up to take care."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Report
from visual.model import InstalledWire, Model, PlacedAnchor, installed_wires
from visual.page.finding_data import both_units, said_in_both
from visual.page.packing import Json
from visual.page.plain_table import Cell, table
from visual.page.reader_sizes import at_least, at_most, say, together
from visual.raising import ChangeOver
from visual.raising.forces_across import GUST
from visual.units import format_length

_UNKNOWN = "unknown"
_NOT_GIVEN = "not given"


def wires_table(report: Report) -> Json:
    """Return each wire: straight and cut length, tension, angle, and its change-over."""
    overs = {one.name: one for one in report.raised.change_overs}
    rows = [_wire(report.model, one, overs) for one in installed_wires(report.model)]
    head = (
        "wire",
        "collar to anchor",
        "±",
        "cut",
        "tension",
        "angle at anchor",
        "gin pole → anchor",
    )
    note = (
        "Tension is that at the anchor once it stands. The last column: what a front wire needs "
        "more (+) or less (−) on its anchor than on the gin-pole tip, when it is moved there. "
        "Cut to the measured anchors (hillmast asbuilt), not to this plan."
    )
    return table("Wires", head, rows, note)


def _wire(model: Model, wire: InstalledWire, overs: dict[str, ChangeOver]) -> list[Cell]:
    lengths = [wire.straight_length, wire.straight_length_pm, wire.cut_length]
    over = overs.get(wire.name)
    return [
        level_word(model, wire),
        *(_size(one) for one in lengths),
        _size(wire.initial_tension, "N"),
        _size(math.degrees(wire.angle), "deg"),
        "" if over is None else _signed(over.difference),
    ]


def level_word(model: Model, wire: InstalledWire) -> str:
    """Return the name of a wire, with its level where there are several: ``front 2 (top)``."""
    levels = len(model.rig.mast.collars)
    if levels == 1:
        return wire.name
    place = {0: "lowest", levels - 1: "top"}.get(wire.level, f"level {wire.level + 1}")
    return f"{wire.name} ({place})"


def _size(value: float, unit: str = "m") -> Cell:
    return (both_units(value, unit) if math.isfinite(value) else None) or _UNKNOWN


def _signed(metres: float) -> Cell:
    if not math.isfinite(metres):
        return _UNKNOWN
    sign = "+" if metres >= 0 else "−"
    return {
        "metric": f"{sign}{format_length(abs(metres), 'metric')}",
        "imperial": f"{sign}{format_length(abs(metres), 'imperial')}",
    }


def anchors_table(report: Report) -> Json:
    """Return each anchor: where it is from the base, and what it may and must hold."""
    model = report.model
    rows = [_anchor(report, one) for one in model.anchors.values()]
    head = (
        "anchor",
        "bearing: grid",
        "true",
        "magnetic",
        "level from base",
        "eye above hinge",
        "easting, northing",
        "largest load",
        "may hold",
    )
    note = model.frame.declination_note or ""
    return table("Anchors", head, rows, note)


def _anchor(report: Report, anchor: PlacedAnchor) -> list[Cell]:
    frame = report.model.frame
    easting, northing = frame.to_grid(float(anchor.eye[0]), float(anchor.eye[1]))
    decimals = 6 if frame.scale is None else 2
    return [
        f"{anchor.side}{'' if anchor.as_built else ' (planned)'}",
        _bearing(anchor.bearing),
        _bearing(frame.true_bearing(anchor.bearing)),
        _bearing(frame.magnetic_bearing(anchor.bearing)),
        _size(anchor.radius),
        _signed(float(anchor.eye[2])),
        f"{float(easting):.{decimals}f}, {float(northing):.{decimals}f}",
        _load(report, anchor),
        _NOT_GIVEN if anchor.capacity is None else _size(anchor.capacity, "N"),
    ]


def _bearing(bearing: object) -> str:
    if bearing is None:
        return _UNKNOWN
    return f"{math.degrees(float(np.asarray(bearing, dtype=float))) % 360:.1f}°"


def _load(report: Report, anchor: PlacedAnchor) -> Cell:
    """Return the largest load that a check found; its sentence where no limit was given."""
    those = [one for one in report.findings if one.subject == f"{anchor.side} anchor"]
    known = [one for one in those if one.check == "anchor load" and one.value is not None]
    if known:
        return _size(max(one.value or 0.0 for one in known), "N")
    unlimited = [one for one in those if one.check == "loads"]
    return said_in_both(unlimited[0].message) if unlimited else "–"


def watch_table(report: Report) -> Json:
    """Return the angles at which somebody must take care, in the order of the raise."""
    rows = sorted(_watched(report), key=lambda one: one[0])
    shown = [list(row[1:]) for row in rows]
    return table("On the way up", ("at", "what", "verdict"), shown, _on_the_day(report))


def _on_the_day(report: Report) -> Json:
    """Say up to what wind the numbers hold, and where the vehicle stands to the fall zone."""
    wind = say(
        "Light wind only: loads are worked out for gusts of at most {gust} across. In more wind "
        "than that nothing here holds.",
        gust={"metric": f"{GUST:.0f} m/s", "imperial": f"{GUST * 3600 / 1609.344:.0f} mph"},
    )
    places = [float(one) for one in report.raised.hitch_distances if math.isfinite(one)]
    if report.model.rig.tow.by != "vehicle" or not places:
        return wind
    zone = report.fall_zone
    reach = max(zone.circle_radius, zone.total_height)
    side = "outside of" if min(places) > reach else "INSIDE"
    vehicle = say(
        "The rear of the vehicle starts {near} in front of the base, {side} the {reach} that a "
        "fall can reach; only its driver is in it, and nobody along the line.",
        near=at_least(min(places)),
        side=side,
        reach=at_most(reach),
    )
    return together(wind, vehicle)


def _watched(report: Report) -> Iterator[tuple[float, Cell, Cell, Cell]]:
    for one in report.findings:
        if one.angle is not None and one.status != "ok":
            what = said_in_both(one.message)
            name = f"{one.check}, {one.subject}: "
            words = {units: f"{name}{text}" for units, text in what.items()}
            yield one.angle, f"{one.angle:.1f}°", words, one.status
    for run in report.forces.runs:
        if run.hold_from is not None:
            angle = math.degrees(run.hold_from)
            which = "" if len(report.forces.runs) == 1 else _which(run.with_head)
            yield angle, f"from {angle:.1f}°", f"{OVER}{which}", "caution"


OVER = "its weight pulls it over by itself: keep the back line in hand, and tight"


def _which(with_head: bool) -> str:
    return " (with the head)" if with_head else " (first raise, without the head)"
