"""What the site plan must show, and the standard scale at which it does."""

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.checks import Report
from visual.scene.framing import laid_rotor, vehicle_places
from visual.scene.terrain import circle
from visual.sheets.paper import Box
from visual.sheets.scales import fitting_scale
from visual.sheets.window import EAST, NORTH, Window
from visual.units import UnitSystem

_ROOM = 1.06  # the circle of the fall zone is given this much room
_NEAR = 1.5  # what a setback is measured to is shown within this many times what is asked
_DEARER = 2.5  # boundaries are shown if that makes the scale at most so many times smaller

Corners = NDArray[np.float64]


def plan_window(
    report: Report, box: Box, *, units: UnitSystem, denominator: float | None = None
) -> Window:
    """Return the window of the site plan, north up.

    Parameters
    ----------
    report : Report
        The judged model.
    box : Box
        Room for the drawing. [mm]
    units : {"metric", "imperial"}
        Which standard scales.
    denominator : float or None
        The scale, if it is asked for.
    """
    needed = _needed(report)
    wishes = [
        _corners(np.concatenate([needed, *more]))
        for more in ([_property(report), _to_boundary(report)], [_to_boundary(report)], [])
    ]
    scales = [_fitting(corners, box, units) for corners in wishes]
    best = next(k for k, scale in enumerate(scales) if scale <= _DEARER * scales[-1])
    shown, scale = wishes[best], scales[best] if denominator is None else denominator
    x, y = shown.mean(axis=0)
    return Window(box, scale, EAST, NORTH, (float(x), float(y)))


def whole_place(report: Report) -> Corners:
    """Return the least and most of x and y of the property, or of all buildings around. [m]"""
    around = report.model.surroundings
    shapes = [building.footprint for building in around.buildings]
    places = [shapely.get_coordinates(shape) for shape in shapes]
    return _corners(np.concatenate([_needed(report), _property(report), *places]))


def _needed(report: Report) -> Corners:
    """Return the plan points that no site plan may lack. [m]"""
    model = report.model
    reach = max(report.fall_zone.circle_radius, report.fall_zone.total_height)
    eyes = [a.eye[:2] for a in model.anchors.values() if np.isfinite(a.eye[:2]).all()]
    near = [s.nearest[1] for s in report.setbacks if s.distance <= _NEAR * s.required]
    return np.concatenate(
        [
            circle(radius=_ROOM * reach, n=48),
            vehicle_places(report)[:, :2],
            laid_rotor(report)[:, :2],
            *(np.reshape(part, (-1, 2)) for part in (eyes, near) if len(part)),
        ]
    )


def _property(report: Report) -> Corners:
    """Return the corners of the boundary. [m]"""
    shapes = [area.shape for area in report.model.surroundings.areas_of("boundary")]
    return np.concatenate([np.zeros((1, 2)), *(shapely.get_coordinates(s) for s in shapes)])


def _to_boundary(report: Report) -> Corners:
    """Return where the distances to boundaries end. [m]"""
    near = [s.nearest[1] for s in report.setbacks if s.to == "boundary"]
    return np.concatenate([np.zeros((1, 2)), np.reshape(near, (-1, 2))])


def _corners(points: Corners) -> Corners:
    return np.array([points.min(axis=0), points.max(axis=0)])


def _fitting(corners: Corners, box: Box, units: UnitSystem) -> float:
    width, height = corners[1] - corners[0]
    # grid numbers stand along the frame
    return fitting_scale(((width, box.width - 8.0), (height, box.height - 8.0)), units)
