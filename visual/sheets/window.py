"""The window of a drawing: which part of the model lands where on the paper, in true scale."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.scene.layers import Points
from visual.sheets.paper import Box

Flat = NDArray[np.float64]
"""Points on the paper, shape (n, 2). [mm]"""

EAST, NORTH, UP = np.eye(3)

_FINE = 0.015  # lines are simplified by this much on paper [mm]
_BEYOND = 1.0  # lines are cut this far outside of the box, so that their ends are not seen [mm]


@dataclass(frozen=True, eq=False)
class Window:
    """An orthographic view of the model on a box of the paper.

    Parameters
    ----------
    box : Box
        Where on the paper. [mm]
    denominator : float
        The scale is one to this.
    right, up : ndarray, shape (3,)
        Unit vectors of the model that point right and up on the paper.
    middle : tuple of float
        What lies in the middle of the box, along `right` and `up`. [m]
    """

    box: Box
    denominator: float
    right: Points = field(repr=False)
    up: Points = field(repr=False)
    middle: tuple[float, float] = (0.0, 0.0)

    @property
    def scale(self) -> float:
        """Millimetres on paper per metre of the model."""
        return 1000.0 / self.denominator

    @property
    def towards(self) -> Points:
        """Unit vector out of the paper, to who looks at it."""
        return np.cross(self.right, self.up)

    def flat(self, points: Points) -> Flat:
        """Return where points of the model land on the paper, shape (n, 2). [mm]"""
        at = np.asarray(points, float).reshape(-1, 3)
        x, y = self.box.middle
        across, along = at @ self.right - self.middle[0], at @ self.up - self.middle[1]
        return np.column_stack([x + self.scale * across, y - self.scale * along])

    def holds(self, at: Flat, *, edge: float = 0.0) -> NDArray[np.bool_]:
        """Return which points of the paper lie in the box, `edge` from its sides. [mm]"""
        box = self.box.shrunk(edge)
        x, y = at[:, 0], at[:, 1]
        return (x >= box.left) & (x <= box.right) & (y >= box.top) & (y <= box.bottom)

    @property
    def reach(self) -> tuple[float, float, float, float]:
        """What the box shows along `right` and `up`: least and most of each. [m]"""
        w, h = self.box.width / 2 / self.scale, self.box.height / 2 / self.scale
        a, b = self.middle
        return a - w, b - h, a + w, b + h

    def cut_lines(self, lines: Iterable[Flat]) -> list[Flat]:
        """Return the parts of lines that lie in the box. [mm]"""
        return cut_lines(lines, self.box)

    def cut_rings(self, rings: Sequence[Flat]) -> list[Flat]:
        """Return the part of an area (even-odd rings) that lies in the box, as rings. [mm]"""
        return rings_of_area(area_of_rings(rings), self.box)


def _cut_box(box: Box) -> tuple[float, float, float, float]:
    wide = box.shrunk(-_BEYOND)
    return wide.left, wide.top, wide.right, wide.bottom


def cut_lines(lines: Iterable[Flat], box: Box) -> list[Flat]:
    """Return the parts of lines that lie in a box, without needless points. [mm]"""
    known = [line for line in lines if len(line) > 1 and np.isfinite(line).all()]
    if not known:
        return []
    cut = shapely.clip_by_rect([shapely.LineString(line) for line in known], *_cut_box(box))
    parts = shapely.get_parts(shapely.simplify(cut, _FINE))
    return [
        shapely.get_coordinates(part)
        for part in parts
        if part.geom_type == "LineString" and not part.is_empty
    ]


def area_of_rings(rings: Sequence[Flat]) -> shapely.Geometry:
    """Return an area given by outer rings and holes (even-odd)."""
    area: shapely.Geometry = shapely.Polygon()
    for ring in rings:
        if len(ring) > 3:
            area = area.symmetric_difference(shapely.make_valid(shapely.Polygon(ring)))
    return area


def rings_of_area(area: shapely.Geometry, box: Box) -> list[Flat]:
    """Return the part of an area that lies in a box, as rings. [mm]"""
    cut = shapely.intersection(shapely.make_valid(area), shapely.box(*_cut_box(box)))
    polygons = [p for p in shapely.get_parts(shapely.simplify(cut, _FINE)) if p.area > 1e-6]
    rings = [ring for p in polygons if p.geom_type == "Polygon" for ring in _rings(p)]
    return [shapely.get_coordinates(ring) for ring in rings]


def _rings(polygon: shapely.Geometry) -> list[shapely.Geometry]:
    return [polygon.exterior, *polygon.interiors]


def silhouette(triangles: NDArray[np.float64]) -> shapely.Geometry:
    """Return the outline of flat triangles, shape (n, 3, 2), all together. [mm]"""
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    size = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    shown = triangles[(size > 1e-4) & np.isfinite(triangles).all(axis=(1, 2))]
    if not len(shown):
        return shapely.Polygon()
    closed = np.concatenate([shown, shown[:, :1]], axis=1)
    return shapely.union_all(shapely.polygons(closed), grid_size=1e-3)
