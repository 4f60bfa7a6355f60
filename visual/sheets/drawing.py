"""Layers of a scene as vector drawing on a sheet."""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.scene.cut import Ring, half_of
from visual.scene.layers import LineLayer, MarkLayer, MarkShape, MeshLayer, Points
from visual.scene.legend import blend
from visual.scene.style import PAPER, RGB, ROLES, Role
from visual.sheets.page import Pen, Sheet
from visual.sheets.window import Flat, Window, rings_of_area, silhouette

_PLOT = 0.72
"""Lines are this much finer than on a picture: print is sharper than a screen."""

_MARK = 0.8


class Drawing:
    """One drawing on a sheet; it remembers which roles it shows, for the legend.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    window : Window
        Where on it, and what of the model.
    """

    def __init__(self, sheet: Sheet, window: Window) -> None:
        self.sheet, self.window = sheet, window
        self.roles: dict[str, MarkShape] = {}
        self.kept_clear: list[tuple[list[Flat], float]] = []
        self.taken: list[Flat] = []

    def lines(self, layers: Iterable[LineLayer], *, fade: float = 1.0, weight: float = 0.0) -> None:
        """Draw lines; text keeps off them as `weight` says."""
        for layer in layers:
            paths = [self.window.flat(path) for path in layer.paths]
            self.stroke(layer.role, paths, fade=fade, weight=weight)

    def stroke(
        self, role: str, paths: Sequence[Flat], *, fade: float = 1.0, weight: float = 0.0
    ) -> None:
        """Draw lines given on the paper as a role looks."""
        cut = self.window.cut_lines(paths)
        if not cut:
            return
        look = ROLES[role]
        width = _PLOT * look.width
        if look.casing and fade == 1.0:
            self.sheet.lines(cut, Pen(width + 1.4 * look.casing, PAPER, cap="butt"))
        self.sheet.lines(cut, Pen(width, faded(look, fade), look.dash))
        self._note(role)
        if weight:
            self.kept_clear.append((cut, weight))

    def area(
        self, role: str, rings: Sequence[Ring], *, fade: float = 1.0, weight: float = 0.0
    ) -> None:
        """Fill an area given by plan rings; text keeps off its edge as `weight` says."""
        flat = [self.window.flat(np.column_stack([r[:, :2], 0.0 * r[:, 0]])) for r in rings]
        cut = self.window.cut_rings(flat)
        self.fill(role, cut, fade=fade)
        if weight and cut:
            self.kept_clear.append((cut, weight))

    def fill(
        self,
        role: str,
        rings: Sequence[Flat],
        *,
        fade: float = 1.0,
        outline: str = "",
    ) -> None:
        """Fill an area given by rings on the paper as a role looks."""
        if not rings:
            return
        look = ROLES[role]
        pen = None
        if outline:
            edge = ROLES[outline]
            pen = Pen(_PLOT * edge.width, faded(edge, fade), edge.dash)
            self._note(outline)
        self.sheet.area(rings, look.color, opacity=look.opacity * fade, outline=pen)
        self._note(role)

    def mesh(
        self,
        layer: MeshLayer,
        *,
        fade: float = 1.0,
        outline: str = "",
        beyond: Points | None = None,
    ) -> None:
        """Fill the outline of a mesh; only what lies on the side that `beyond` points to."""
        corners = layer.vertices[layer.triangles]
        if beyond is not None:
            corners = beyond_plane(corners, beyond)
        if not len(corners):
            return
        flat = self.window.flat(corners.reshape(-1, 3)).reshape(-1, 3, 2)
        rings = rings_of_area(silhouette(flat), self.window.box)
        self.fill(layer.role, rings, fade=fade, outline=outline)

    def marks(self, layer: MarkLayer) -> None:
        """Draw signs, and keep text off them."""
        flat = self.window.flat(layer.at)
        for at in flat[self.window.holds(flat)]:
            self.sign(layer.role, layer.shape, at)

    def sign(self, role: str, shape: MarkShape, at: Flat) -> None:
        """Draw one sign on the paper."""
        look = ROLES[role]
        size = _MARK * look.width
        self.sheet.mark(shape, float(at[0]), float(at[1]), size, look.color)
        self.taken.append(at + size / 2 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]))
        self._note(role, shape)

    def _note(self, role: str, shape: MarkShape = "dot") -> None:
        self.roles.setdefault(role, shape)


def faded(look: Role, fade: float) -> RGB:
    """Return the colour of a role on paper, paler by `fade` (1 full … 0 not at all)."""
    parts = [round(paper + (c - paper) * fade) for c, paper in zip(blend(look), PAPER, strict=True)]
    return parts[0], parts[1], parts[2]


def beyond_plane(corners: NDArray[np.float64], normal: Points) -> NDArray[np.float64]:
    """Return the parts of triangles (n, 3, 3) beyond the upright plane through the hinge."""
    side = corners @ normal
    whole = corners[(side >= 0).all(axis=1)]
    pieces = [whole]
    for triangle, s in zip(corners, side, strict=True):
        if (s < 0).any() and (s > 0).any():
            ring = half_of(triangle, s)
            fan = [[ring[0], ring[k], ring[k + 1]] for k in range(1, len(ring) - 1)]
            pieces.append(np.array(fan).reshape(-1, 3, 3))
    return np.concatenate(pieces)


def line_beyond_plane(path: Points, normal: Points) -> list[Points]:
    """Return the parts of a line beyond the upright plane through the hinge."""
    side = path @ normal
    points: list[Points] = []
    for k in range(len(path) - 1):
        points.append(path[k] if side[k] >= 0 else np.full(3, np.nan))
        if (side[k] >= 0) != (side[k + 1] >= 0):
            share = side[k] / (side[k] - side[k + 1])
            points.append(path[k] + share * (path[k + 1] - path[k]))
    points.append(path[-1] if side[-1] >= 0 else np.full(3, np.nan))
    line = np.array(points)
    known = np.isfinite(line).all(axis=1)
    runs = np.split(line, np.flatnonzero(np.diff(known)) + 1)
    return [run for run in runs if len(run) > 1 and np.isfinite(run[0]).all()]


def ring_flat(shape: shapely.Geometry, window: Window) -> list[Flat]:
    """Return the rings of a plan geometry on the paper. [mm]"""
    found = []
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon":
            for ring in (part.exterior, *part.interiors):
                plan = shapely.get_coordinates(ring)
                found.append(window.flat(np.column_stack([plan, np.zeros(len(plan))])))
    return found
