"""The drawing of the site plan: everything on it, from the layers of the scene, and its labels."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely

from visual.checks import Report
from visual.scene.layers import AnyLayer, DimensionLayer, LabelLayer, LineLayer, MarkLayer
from visual.scene.overlay import upright
from visual.scene.style import ROLES
from visual.scene.surroundings import rings_of
from visual.scene.terrain import circle
from visual.sheets.dimension import dimension_labels, measured
from visual.sheets.drawing import Drawing
from visual.sheets.labelling import Label, labels_of, shortened
from visual.sheets.verdicts import WORDS, JudgedSetback, status_color
from visual.units import UnitSystem, format_length

_UNDER = ("contour", "contour_index")
_OVER = (
    "road_edge", "water_edge", "keep_out_edge", "boundary", "building_edge", "conductor",
    "required_clearance_edge", "lane_edge", "laydown_edge", "fall_zone_edge", "fall_circle",
    "setback", "setback_comb", "mast_laid", "wire", "rotor",
)  # fmt: skip
_WEIGHTS = {
    "wire": 40.0, "mast_laid": 60.0, "boundary": 25.0, "fall_circle": 14.0, "conductor": 14.0,
    "setback": 14.0, "fall_zone_edge": 14.0, "road_edge": 6.0, "laydown_edge": 8.0,
    "lane_edge": 10.0,
}  # fmt: skip
_FAR = 2.0  # a setback that is kept this many times over is not dimensioned
_OFFERS = 12  # places around a circle that are offered to its name


def draw_plan(
    drawing: Drawing, report: Report, layers: Sequence[AnyLayer], setbacks: Sequence[JudgedSetback]
) -> list[Label]:
    """Draw all of the site plan but its lettering and return its labels."""
    lines = [layer for layer in layers if isinstance(layer, LineLayer)]
    _ground(drawing, report)
    _stroke(drawing, lines, _UNDER)
    _solids(drawing, report)
    _stroke(drawing, lines, _OVER)
    _supports(drawing, report)
    labels = _setback_lines(drawing, report, setbacks)
    for layer in layers:
        if isinstance(layer, MarkLayer):
            drawing.marks(layer)
    dimensions = [layer for layer in layers if isinstance(layer, DimensionLayer)]
    labels += dimension_labels(drawing, dimensions)
    labels += labels_of(drawing, [x for x in layers if isinstance(x, LabelLayer)])
    labels += [*_zone_names(drawing, report), *_clearance_names(drawing, report, lines)]
    labels += _boundary_names(drawing, lines)
    return labels


def _stroke(drawing: Drawing, lines: Sequence[LineLayer], roles: Sequence[str]) -> None:
    for role in roles:
        weight = _WEIGHTS.get(role, 0.0)
        drawing.lines([line for line in lines if line.role == role], weight=weight)


def _ground(drawing: Drawing, report: Report) -> None:
    """Fill what lies flat on the ground."""
    around = report.model.surroundings
    for kind in ("water", "road", "keep_out"):
        for area in around.areas_of(kind):
            drawing.area(kind, rings_of(area.shape))
    drawing.area("fall_zone", rings_of(report.fall_zone.contact))


def _solids(drawing: Drawing, report: Report) -> None:
    """Fill trees, buildings and the space around overhead lines as seen from above."""
    around = report.model.surroundings
    for tree in around.trees:
        ring = circle(
            radius=tree.crown_radius, centre=(float(tree.foot[0]), float(tree.foot[1])), n=48
        )
        drawing.area("tree", [ring], fade=0.75, weight=20.0)
    for building in around.buildings:
        drawing.area("building", rings_of(building.footprint), weight=20.0)
    for line in around.lines:
        required = report.model.site.limits.overhead_line.required(line.voltage_kv).distance
        supports = line.supports[np.isfinite(line.supports).all(axis=1), :2]
        if required is None or len(supports) < 2:
            continue
        band = shapely.LineString(supports).buffer(required + line.spread / 2, cap_style="flat")
        drawing.area("required_clearance", rings_of(band))


def _supports(drawing: Drawing, report: Report) -> None:
    """Mark the supports of overhead lines."""
    for line in report.model.surroundings.lines:
        flat = drawing.window.flat(np.column_stack([line.supports[:, :2], 0 * line.support_feet]))
        for x, y in flat[drawing.window.holds(np.nan_to_num(flat, nan=-1e9))]:
            drawing.sheet.mark("dot", float(x), float(y), 1.8, ROLES["support"].color)


def _setback_lines(
    drawing: Drawing, report: Report, setbacks: Sequence[JudgedSetback]
) -> list[Label]:
    """Draw where each setback was measured, with key, distance and verdict."""
    labels: list[Label] = []
    units = report.model.site.site.units
    for one in setbacks:
        if one.setback is None or not _is_near(one):
            continue
        ends = np.array([[*place, 0.0] for place in one.setback.nearest])
        start, end = drawing.window.flat(ends)
        verdict = "" if one.finding.status == "ok" else f" {WORDS[one.finding.status]}"
        text = f"{one.key} {format_length(one.setback.distance, units)}{verdict}"
        if drawing.sheet.text_width(text, size=6.5, bold=True) > np.linalg.norm(end - start) - 3.0:
            text = f"{one.key}{verdict}"
        color = ROLES["setback_name"].color
        if one.finding.status == "stop":
            color = status_color("stop")
        shares = (0.75, 0.6, 0.9, 0.45, 0.3)
        labels += measured(
            drawing, start, end, text, choice=f"setback {one.key}", priority=9.5, color=color,
            bold=one.finding.status == "stop", width=0.22, shares=shares,
        )  # fmt: skip
    return labels


def _is_near(one: JudgedSetback) -> bool:
    """Return whether a setback is worth a line on the plan; the table has them all."""
    assert one.setback is not None  # asked of measured ones only
    if one.finding.status != "ok" or one.setback.to == "boundary":
        return True
    return one.setback.distance <= _FAR * one.setback.required


def _zone_names(drawing: Drawing, report: Report) -> Iterator[Label]:
    """Name the circle of the rules with its radius, at the calmest place along it."""
    zone, units = report.fall_zone, report.model.site.site.units
    text = f"fall zone of the rules, radius {format_length(zone.circle_radius, units)}"
    yield from _along_circle(drawing, zone.circle_radius, text, priority=5.0)


def _along_circle(
    drawing: Drawing, radius: float, text: str, *, priority: float
) -> Iterator[Label]:
    window = drawing.window
    for k in range(_OFFERS):
        bearing = 2 * math.pi * (k + 0.5) / _OFFERS
        out = np.array([math.sin(bearing), math.cos(bearing), 0.0])
        away = radius + 2.4 / window.scale
        (at,) = window.flat(away * out)
        if not window.holds(at[None], edge=4.0)[0]:
            continue
        yield Label(
            text=text,
            at=at,
            size=6.2,
            priority=priority - 0.02 * k,
            choice=text,
            turn=upright(bearing),
            slide=2.0,
            color=ROLES["fall_circle"].color,
        )


def _clearance_names(
    drawing: Drawing, report: Report, lines: Sequence[LineLayer]
) -> Iterator[Label]:
    """Write the required clearance of each overhead line along the side of its space."""
    model = report.model
    units: UnitSystem = model.site.site.units
    needs = {
        line.name: model.site.limits.overhead_line.required(line.voltage_kv).distance
        for line in model.surroundings.lines
    }
    for layer in lines:
        need = needs.get(layer.name)
        if layer.role != "required_clearance_edge" or need is None:
            continue
        text = f"required clearance {format_length(need, units)}"
        yield from _along_lines(drawing, layer, text, priority=4.0, inward=True)


def _boundary_names(drawing: Drawing, lines: Sequence[LineLayer]) -> Iterator[Label]:
    for layer in lines:
        if layer.role == "boundary":
            name = layer.name if "boundary" in layer.name else f"boundary of {layer.name}"
            yield from _along_lines(drawing, layer, shortened(name), priority=3.5)


def _along_lines(
    drawing: Drawing, layer: LineLayer, text: str, *, priority: float, inward: bool = False
) -> Iterator[Label]:
    """Offer places for a text beside the straight pieces of a line, within the window."""
    window = drawing.window
    width = drawing.sheet.text_width(text, size=6.2)
    middle = np.array(window.box.middle)
    offers: list[tuple[float, np.ndarray, float]] = []
    for path in window.cut_lines([window.flat(path) for path in layer.paths]):
        for a, b in pairwise(path):
            length = float(np.linalg.norm(b - a))
            if length < width + 4.0:
                continue
            way = (b - a) / length
            across = np.array([-way[1], way[0]])
            for share in (0.5, 0.3, 0.7):
                for side in (1.9, -1.9):
                    at = a + share * (b - a) + side * across
                    if window.holds(at[None], edge=3.0)[0]:
                        offers.append(
                            (float(np.linalg.norm(at - middle)), at, math.atan2(*way[::-1]))
                        )
    offers.sort(key=lambda offer: offer[0], reverse=inward)
    for rank, (_, at, turn) in enumerate(offers[:16]):
        yield Label(
            text=text,
            at=at,
            size=6.2,
            priority=priority - 0.01 * rank,
            choice=f"{layer.role} {layer.name}",
            turn=upright(turn),
            slide=4.0,
            color=ROLES[layer.role].color,
        )
