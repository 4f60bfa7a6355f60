"""A small map of the whole property beside the site plan, where there is room for it."""

import numpy as np

from visual.model import Model
from visual.scene.build import SceneMaker
from visual.scene.layers import LineLayer
from visual.scene.style import INK
from visual.scene.surroundings import rings_of
from visual.scene.terrain import circle
from visual.sheets.drawing import Drawing
from visual.sheets.furniture import draw_heading
from visual.sheets.page import Pen, Sheet
from visual.sheets.paper import Box
from visual.sheets.plan_window import whole_place
from visual.sheets.scales import fitting_scale, scale_words
from visual.sheets.window import EAST, NORTH, Window
from visual.units import UnitSystem

LEAST = 42.0
"""A map lower than this would show nothing. [mm]"""

_LINES = ("road_edge", "water_edge", "building_edge", "conductor", "boundary")
_EDGE = 3.0  # [mm]
_HEADING = 4.5  # height of the heading [mm]


def draw_location(
    sheet: Sheet, room: Box, maker: SceneMaker, plan: Window, *, units: UnitSystem
) -> None:
    """Draw the property, what stands on it, the fall zone and the frame of the site plan."""
    model = maker.report.model
    corners = whole_place(maker.report)
    width, height = corners[1] - corners[0]
    heading, room = room.top, room.part(top=room.top + _HEADING)
    need = [(width, room.width - 2 * _EDGE), (height, room.height - 2 * _EDGE)]
    scale = fitting_scale(need, units)
    west, south, east, north = plan.reach
    low, high = corners
    if (low >= [west, south]).all() and (high <= [east, north]).all():
        return  # the plan itself shows as much
    draw_heading(sheet, room.left, heading, room.width, "Location")
    x, y = (float(part) for part in corners.mean(axis=0))
    drawing = Drawing(sheet, Window(room, scale, EAST, NORTH, (x, y)))
    with sheet.clip(room):
        _draw(drawing, model, maker)
        ring = [(west, south), (east, south), (east, north), (west, north), (west, south)]
        frame = drawing.window.flat(np.column_stack([np.array(ring), np.zeros(5)]))
        sheet.lines([frame], Pen(width=0.18, dash=(1.2, 0.8)))
        words = f"{scale_words(scale, units)}; dashed: the site plan"
        sheet.text(room.left + 1.0, room.bottom - 3.0, words, size=5.8, halo=0.4)
    sheet.box(room, Pen(width=0.2))


def _draw(drawing: Drawing, model: Model, maker: SceneMaker) -> None:
    around = model.surroundings
    for kind in ("water", "road"):
        for area in around.areas_of(kind):
            drawing.area(kind, rings_of(area.shape))
    drawing.area("fall_zone", [circle(radius=maker.report.fall_zone.circle_radius)])
    for tree in around.trees:
        at = (float(tree.foot[0]), float(tree.foot[1]))
        drawing.area("tree", [circle(radius=tree.crown_radius, centre=at, n=16)], fade=0.75)
    for building in around.buildings:
        drawing.area("building", rings_of(building.footprint))
    lines = [layer for layer in maker.drawn if isinstance(layer, LineLayer)]
    for role in (*_LINES, "fall_circle"):
        drawing.lines([line for line in lines if line.role == role])
    (base,) = drawing.window.flat(np.zeros((1, 3)))
    drawing.sheet.mark("dot", float(base[0]), float(base[1]), 1.0, INK)
