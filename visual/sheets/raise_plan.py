"""Who stands where, drawn as a plan with the front up, so that left is left and right is right."""

import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.checks import Report
from visual.checks.lane import lane_strip, laydown_strip
from visual.checks.setback import plan_shapes
from visual.checks.tow_parts import VEHICLE_LENGTH, VEHICLE_RADIUS
from visual.model import PlacedLine
from visual.raising import pose_at
from visual.scene.style import INK, PAPER, VERMILION
from visual.scene.surroundings import paths_of, rings_of
from visual.scene.terrain import circle
from visual.sheets.drawing import Drawing
from visual.sheets.field_type import Type
from visual.sheets.labelling import Label, put_labels
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.raise_stations import Stations, whole_length
from visual.sheets.scales import fitting_scale
from visual.sheets.text import line_height
from visual.sheets.window import Flat, Window
from visual.units import UnitSystem, format_length

_ROOM = 5.0  # around the outermost of what is drawn [mm]
_DOT = 3.1  # radius of the disc of a person, on A4 [mm]
_TOW = Pen(width=0.45, color=(176, 112, 0))
_CAR = Pen(width=0.3)
_WAY = Pen(width=0.25, dash=(1.6, 1.0))
_ZONE = Pen(width=0.6, color=VERMILION)
_NO_ENTRY = "NOBODY IN HERE DURING A RAISE"


def plan_window(report: Report, places: Stations, box: Box, *, units: UnitSystem) -> Window:
    """Return the window of the plan, at the first standard scale at which all of it fits."""
    flat = _turned(report, _outermost(report, places))
    low, high = flat.min(axis=0), flat.max(axis=0)
    across, along = high - low
    room = box.shrunk(_ROOM)
    scale = fitting_scale([(across, room.width), (along, room.height)], units)
    middle = (low + high) / 2
    return Window(
        box=box,
        denominator=scale,
        right=report.model.rightward,
        up=report.model.forward,
        middle=(float(middle[0]), float(middle[1])),
    )


def _outermost(report: Report, places: Stations) -> NDArray[np.float64]:
    points = [circle(radius=places.zone)[:, :2]]
    points += [one.place[np.newaxis] for one in places.people if one.place is not None]
    points += [ring[:, :2] for ring, _ in _vehicles(report)]
    return np.concatenate(points)


def _turned(report: Report, plan: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return places in plan as right and ahead of the base. [m]"""
    axes = np.column_stack([report.model.rightward[:2], report.model.forward[:2]])
    return np.asarray(plan @ axes)


def draw_station_plan(
    sheet: Sheet, window: Window, report: Report, places: Stations, *, units: UnitSystem
) -> None:
    """Draw the plan: zone, lane, mast, anchors, vehicle, and everybody's place."""
    drawing = Drawing(sheet, window)
    with sheet.clip(window.box):
        _ground(drawing, report)
        _zone(drawing, report, places)
        _around(drawing, report)
        _rig(drawing, report)
        labels = [*_labels(drawing, report, places, units), *_people(drawing, places, units)]
    put_labels(drawing, labels)
    _discs(drawing, places)


def _flat(drawing: Drawing, plan: NDArray[np.float64]) -> Flat:
    """Return places in plan on the paper. [mm]"""
    return drawing.window.flat(np.column_stack([plan[:, :2], np.zeros(len(plan))]))


def _ground(drawing: Drawing, report: Report) -> None:
    model = report.model
    for kind in ("water", "road", "keep_out"):
        for area in model.surroundings.areas_of(kind):
            drawing.area(kind, rings_of(area.shape))
    lane = lane_strip(model, report.raised)
    if lane is not None:
        drawing.area("lane", rings_of(lane))


def _zone(drawing: Drawing, report: Report, places: Stations) -> None:
    """Fill what a rigid fall can touch, and draw the line nobody crosses."""
    drawing.area("fall_zone", rings_of(report.fall_zone.contact))
    ring = _flat(drawing, circle(radius=places.zone))
    drawing.sheet.lines(drawing.window.cut_lines([ring]), _ZONE)
    strip = [_flat(drawing, ring) for ring in rings_of(laydown_strip(report.model))]
    drawing.stroke("laydown_edge", strip)


def _around(drawing: Drawing, report: Report) -> None:
    around = report.model.surroundings
    for tree in around.trees:
        ring = circle(radius=tree.crown_radius, centre=tree.foot[:2].tolist(), n=48)
        drawing.area("tree", [ring], fade=0.75)
    for _, footprint in plan_shapes(report.model, "building"):
        drawing.area("building", rings_of(footprint))
    for line in around.lines:
        drawing.area("required_clearance", _kept_clear(report, line))
        drawing.stroke("conductor", [_flat(drawing, line.supports)], weight=14.0)
    for kind, role in (("boundary", "boundary"), ("road", "road_edge"), ("water", "water_edge")):
        for area in around.areas_of(kind):
            is_outline = kind == "boundary"
            found = [*paths_of(area.shape), *(rings_of(area.shape) if is_outline else [])]
            drawing.stroke(role, [_flat(drawing, path) for path in found])


def _kept_clear(report: Report, line: PlacedLine) -> list[NDArray[np.float64]]:
    """Return the ground under the clearance that an overhead line must have. [m]"""
    required = report.model.site.limits.overhead_line.required(line.voltage_kv).distance
    supports = line.supports[np.isfinite(line.supports[:, :2]).all(axis=1), :2]
    if required is None or len(supports) < 2:
        return []
    band = shapely.LineString(supports).buffer(required + line.spread / 2, cap_style="flat")
    return list(rings_of(band))


# --- rig ----------------------------------------------------------------------------------------


def _rig(drawing: Drawing, report: Report) -> None:
    """Draw the mast as it lies, its wires' anchors, the tow line and the vehicle."""
    model, sheet = report.model, drawing.sheet
    base, lying = np.zeros(3), pose_at(model, report.raised.first_angle)
    ends = np.array([base, lying.top])
    drawing.stroke("mast_laid", [_flat(drawing, ends)], weight=60.0)
    sheet.lines([_flat(drawing, ends)], Pen(width=1.0))
    for anchor in model.anchors.values():
        drawing.stroke("wire", [_flat(drawing, np.array([base, anchor.eye]))], fade=0.55)
        at = _flat(drawing, anchor.eye[np.newaxis])[0]
        drawing.sign("anchor", "square", at)
    line = report.raised.tow.line_at(0)
    if np.isfinite(line).all():
        drawing.sheet.lines([_flat(drawing, line)], _TOW)
        drawing.kept_clear.append(([_flat(drawing, line)], 40.0))
    for ring, is_first in _vehicles(report):
        fill = (206, 212, 220) if is_first else PAPER
        drawing.sheet.area([_flat(drawing, ring)], fill, outline=_CAR if is_first else _WAY)
    hinge = _flat(drawing, base[np.newaxis])[0]
    sheet.mark("ring", float(hinge[0]), float(hinge[1]), 2.4)


def _vehicles(report: Report) -> Iterator[tuple[NDArray[np.float64], bool]]:
    """Yield the outline of the vehicle where it ends and where it starts, the latter True. [m]"""
    model = report.model
    if model.rig.tow.by != "vehicle":
        return
    distance = report.raised.tow.distance
    ahead, right = model.forward[:2], model.rightward[:2]
    for hitch, is_first in ((float(np.max(distance)), False), (float(distance[0]), True)):
        if np.isnan(hitch):
            continue
        corners = ((0.0, -1), (0.0, 1), (VEHICLE_LENGTH, 1), (VEHICLE_LENGTH, -1), (0.0, -1))
        ring = [(hitch + a) * ahead + 0.8 * b * VEHICLE_RADIUS * right for a, b in corners]
        yield np.array(ring), is_first


# --- lettering ----------------------------------------------------------------------------------


def _people(drawing: Drawing, places: Stations, units: UnitSystem) -> Iterator[Label]:
    """Keep everybody's place free, and yield who stands there and how far from the base."""
    kind = Type.on(drawing.sheet)
    corners = _DOT * kind.k * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    for person in places.people:
        if person.place is None:
            continue
        at = _flat(drawing, person.place[np.newaxis])[0]
        drawing.taken.append(at + corners)
        who = person.who.split(",")[0].lower()
        away = whole_length(float(np.hypot(*person.place)), units)
        yield Label(text=f"{who}, {away}", at=at, size=kind.below, priority=12.0)


def _discs(drawing: Drawing, places: Stations) -> None:
    """Draw a disc with a letter for everybody, over the lines that lead to the words."""
    kind = Type.on(drawing.sheet)
    size = 1.15 * kind.head
    for person in places.people:
        if person.place is None:
            continue
        x, y = (float(one) for one in _flat(drawing, person.place[np.newaxis])[0])
        drawing.sheet.mark("dot", x, y, 2 * _DOT * kind.k, INK)
        top = y - line_height(size) / 2
        drawing.sheet.text(x, top, person.letter, size=size, bold=True, color=PAPER, align="center")


def _labels(
    drawing: Drawing, report: Report, places: Stations, units: UnitSystem
) -> Iterator[Label]:
    kind = Type.on(drawing.sheet)
    yield from _no_entry(drawing, report, places, kind)
    radius = format_length(places.zone, units)
    left = report.model.forward[:2] - report.model.rightward[:2]
    rim = places.zone * left / math.sqrt(2.0)
    at = _flat(drawing, rim[np.newaxis])[0]
    yield Label(text=f"radius {radius}", at=at, size=kind.below, priority=7.0, color=VERMILION)
    for side, anchor in report.model.anchors.items():
        at = _flat(drawing, anchor.eye[np.newaxis])[0]
        yield Label(text=f"{side} anchor", at=at, size=kind.below, priority=8.0)
    lying = pose_at(report.model, report.raised.first_angle).top
    middle = _flat(drawing, 0.6 * lying[np.newaxis])[0]
    yield Label(text="mast laid down", at=middle, size=kind.below, priority=6.0)
    for ring, is_first in _vehicles(report):
        at = _flat(drawing, ring[1:3].mean(axis=0)[np.newaxis])[0]
        word = "vehicle at lift-off" if is_first else "vehicle at the end"
        yield Label(text=word, at=at, size=kind.below, priority=9.0 if is_first else 8.5)
    yield from _names(drawing, report, kind)


def _no_entry(drawing: Drawing, report: Report, places: Stations, kind: Type) -> Iterator[Label]:
    """Yield the words of the zone, offered at several calm places of it."""
    ahead, right = report.model.forward[:2], report.model.rightward[:2]
    text = "\n".join(("NOBODY IN HERE", "DURING A RAISE"))
    for rank, (a, b) in enumerate(((-0.33, 0.5), (-0.33, -0.5), (0.4, 0.5), (0.4, -0.5))):
        at = _flat(drawing, (places.zone * (a * ahead + b * right))[np.newaxis])[0]
        yield Label(
            text=text,
            at=at,
            size=kind.head,
            priority=11.0 - 0.1 * rank,
            choice=_NO_ENTRY,
            turn=0.0,
            bold=True,
            color=VERMILION,
        )


def _names(drawing: Drawing, report: Report, kind: Type) -> Iterator[Label]:
    """Yield the names of buildings and lines that are on the plan."""
    for name, shape in plan_shapes(report.model, "building"):
        middle = np.array(rings_of(shape)[0])[:, :2].mean(axis=0)
        at = _flat(drawing, middle[np.newaxis])[0]
        if drawing.window.holds(at[np.newaxis], edge=1.0)[0]:
            yield Label(text=name, at=at, size=kind.below, priority=5.0, turn=0.0, or_beside=True)
    for line in report.model.surroundings.lines:
        paths = drawing.window.cut_lines([_flat(drawing, line.supports)])
        for path in paths[:1]:
            at = (path[0] + path[1]) / 2
            if drawing.window.holds(at[np.newaxis], edge=1.0)[0]:
                yield Label(text=line.name, at=at, size=kind.below, priority=9.5, bold=True)
