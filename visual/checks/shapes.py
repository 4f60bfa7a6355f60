"""Obstacles as plain arrays: what stands around the mast, ready for distances.

Each shape holds at least all of its obstacle, and only as much more as is said here: a building
is its prism, a tree the upright 24-sided prism around its crown, an overhead line its hanging
curve to `CURVE_ERROR`. Where a height is unknown there is no shape but a `Missing` that says
why, so that nobody takes it for "nothing there".
"""

import math
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from visual.mechanics.catenary import conductor_points_for_error, conductor_shape
from visual.model.placed import PlacedBuilding, PlacedLine, PlacedTree

Floats = NDArray[np.float64]

CURVE_ERROR = 0.2e-3
"""The straight pieces of a conductor stay this close to its curve. [m]"""

UNKNOWN_SAG_SHARE = 0.03
"""Largest sag, as a share of the span, that is reckoned with where the sag is unknown.

Common practice, no source: spans of ordinary lines hang less.
"""

_UNKNOWN_SAG = f"sag unknown: taken as anything up to {UNKNOWN_SAG_SHARE:.0%} of the span"

CROWN_SIDES = 24
"""Sides of the prism around a crown: at most 0.9 % wider than the crown."""


def _none(*shape: int) -> Floats:
    return np.empty(shape)


@dataclass(frozen=True, eq=False)
class Shape:
    """An obstacle.

    Parameters
    ----------
    name, kind : str
        As in the data file: ``"barn"``, ``"building"``.
    triangles : ndarray, shape (n, 3, 3)
        Faces. [m]
    segments : ndarray, shape (m, 2, 3)
        Lines. [m]
    radius : float
        Everything nearer than this to a face or a line belongs to the obstacle too. [m]
    outline : ndarray, shape (e, 2, 2)
        Edges of the plan of a solid, holes included, in any order; none for an open shape. [m]
    bottom, top : float
        Where a solid begins and ends, z. [m]
    note : str
        What was assumed; empty if nothing was.
    """

    name: str
    kind: str
    triangles: Floats = field(default_factory=lambda: _none(0, 3, 3), repr=False)
    segments: Floats = field(default_factory=lambda: _none(0, 2, 3), repr=False)
    radius: float = 0.0
    outline: Floats = field(default_factory=lambda: _none(0, 2, 2), repr=False)
    bottom: float = math.inf
    top: float = -math.inf
    note: str = ""

    @cached_property
    def pieces(self) -> Floats:
        """Triangles, then segments as triangles with two equal corners, shape (n + m, 3, 3)."""
        return np.concatenate([self.triangles, self.segments[:, [0, 1, 1]]])

    @cached_property
    def middle(self) -> Floats:
        """Middle of the box around all pieces, shape (3,). [m]"""
        corners = self.pieces.reshape(-1, 3)
        return np.asarray((corners.min(axis=0) + corners.max(axis=0)) / 2)

    @cached_property
    def half_sides(self) -> Floats:
        """Half the sides of the box around all pieces, shape (3,). [m]"""
        return np.asarray(np.ptp(self.pieces, axis=(0, 1)) / 2)

    @cached_property
    def balls(self) -> tuple[Floats, Floats]:
        """A ball around each piece whose middle is a point of the piece.

        Returns
        -------
        tuple of ndarray, shape (n + m, 3) and (n + m,)
            Middles and radii. [m]
        """
        middles = self.pieces[:, 0] / 2 + (self.pieces[:, 1] + self.pieces[:, 2]) / 4
        squared = ((self.pieces - middles[:, None]) ** 2).sum(axis=2)
        return middles, np.sqrt(squared.max(axis=1, initial=0.0))

    def contains(self, points: Floats) -> NDArray[np.bool_]:
        """Tell which points, shape (n, 3), lie inside the solid; none in an open shape.

        A segment that meets no face lies inside as a whole or not at all, so asking for one of
        its points is enough.
        """
        inside = np.zeros(len(points), dtype=bool)
        level = (points[:, 2] >= self.bottom) & (points[:, 2] <= self.top)
        if not len(self.outline) or not level.any():
            return inside
        inside[level] = _inside_outline(points[level, :2], self.outline)
        return inside


@dataclass(frozen=True)
class Missing:
    """An obstacle, or a part of one, that could not be placed.

    Parameters
    ----------
    name, kind : str
        As in the data file.
    reason : str
        Why, in a few words.
    """

    name: str
    kind: str
    reason: str


def building_shape(building: PlacedBuilding) -> Shape | Missing:
    """Make the closed prism of a building: walls, floor and roof."""
    if not math.isfinite(building.base + building.top):
        reason = f"the ground under {building.name} or its height is unknown"
        return Missing(building.name, "building", reason)
    plan = shapely.constrained_delaunay_triangles(shapely.force_2d(building.footprint))
    faces = shapely.get_coordinates(plan).reshape(-1, 4, 2)[:, :3]
    rings = shapely.get_rings(building.footprint)
    outline = np.concatenate([_edges(shapely.get_coordinates(ring)) for ring in rings])
    return _prism(building.name, "building", outline, faces, bottom=building.base, top=building.top)


def tree_shape(tree: PlacedTree) -> Shape | Missing:
    """Make the upright prism around a tree's crown, from its foot to its top."""
    if not np.isfinite([*tree.foot, tree.height, tree.crown_radius]).all():
        reason = f"the ground under {tree.name}, its height or its crown is unknown"
        return Missing(tree.name, "tree", reason)
    angles = 2 * np.pi * np.arange(CROWN_SIDES + 1) / CROWN_SIDES
    reach = tree.crown_radius / math.cos(math.pi / CROWN_SIDES)
    ring = tree.foot[:2] + reach * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    ring[-1] = ring[0]
    outline = _edges(ring)
    centre = np.broadcast_to(tree.foot[:2], (len(outline), 1, 2))
    faces = np.concatenate([outline, centre], axis=1)
    return _prism(tree.name, "tree", outline, faces, bottom=float(tree.foot[2]), top=tree.top)


def line_shapes(line: PlacedLine) -> tuple[Shape | Missing, ...]:
    """Make the hanging conductor of an overhead line, over all spans with known ends.

    Where the sag is unknown the shape is the upright ribbon between the straight line from
    support to support and the deepest sag to reckon with, so that every sag between is covered.

    Returns
    -------
    tuple of Shape or Missing
        The known spans as one shape, then what is missing; one of the two or both.
    """
    known = np.isfinite(line.supports.sum(axis=1))
    spans = [line.supports[i : i + 2] for i in np.flatnonzero(known[:-1] & known[1:])]
    found: list[Shape | Missing] = [_hanging(line, spans)] if spans else []
    if not known.all():
        numbers = ", ".join(str(i + 1) for i in np.flatnonzero(~known))
        reason = f"the conductor's height is unknown at support {numbers} of {line.name}"
        found.append(Missing(line.name, "overhead_line", reason))
    elif not spans:
        reason = f"{line.name} has fewer than two supports"
        found.append(Missing(line.name, "overhead_line", reason))
    return tuple(found)


def ground_shape(triangles: Floats) -> Shape:
    """Make the ground of its triangles, shape (n, 3, 3); those without heights are left out."""
    known = np.isfinite(triangles.sum(axis=(1, 2)))
    return Shape("ground", "ground", triangles[known])


def _edges(ring: Floats) -> Floats:
    """Cut a path, shape (n, d), into its pieces, shape (n - 1, 2, d)."""
    return np.stack([ring[:-1], ring[1:]], axis=1)


def _at_height(plan: Floats, z: float) -> Floats:
    return np.concatenate([plan, np.full((*plan.shape[:-1], 1), z)], axis=-1)


def _walls(outline: Floats, bottom: float, top: float) -> Floats:
    low, high = _at_height(outline, bottom), _at_height(outline, top)
    first = np.stack([low[:, 0], low[:, 1], high[:, 1]], axis=1)
    second = np.stack([low[:, 0], high[:, 1], high[:, 0]], axis=1)
    return np.concatenate([first, second])


def _prism(
    name: str, kind: str, outline: Floats, faces: Floats, *, bottom: float, top: float
) -> Shape:
    parts = [_walls(outline, bottom, top), _at_height(faces, bottom), _at_height(faces, top)]
    triangles = np.concatenate(parts)
    return Shape(name, kind, triangles, outline=outline, bottom=bottom, top=top)


def _hanging(line: PlacedLine, spans: list[Floats]) -> Shape:
    kind, radius = "overhead_line", line.spread / 2
    if line.sag is None:
        faces = np.concatenate(_ribbons(spans))
        return Shape(line.name, kind, faces, radius=radius, note=_UNKNOWN_SAG)
    lines = np.concatenate([_edges(_hang(span, line.sag)) for span in spans])
    return Shape(line.name, kind, segments=lines, radius=radius)


def _ribbons(spans: list[Floats]) -> list[Floats]:
    """Fill each span between its chord and the deepest sag to reckon with."""
    paths = [_hang(span, UNKNOWN_SAG_SHARE * math.dist(*span)) for span in spans]
    return [_strip(_chord(span, path), path) for span, path in zip(spans, paths, strict=True)]


def _chord(span: Floats, path: Floats) -> Floats:
    """Give the points of the chord straight above those of the path."""
    level = span[1, :2] - span[0, :2]
    length = level @ level
    if length == 0:
        return path
    share: Floats = (path[:, :2] - span[0, :2]) @ level / length
    chord: Floats = span[0] + share[:, None] * (span[1] - span[0])
    return chord


def _strip(upper: Floats, lower: Floats) -> Floats:
    """Fill the strip between two paths with the same number of points."""
    first = np.stack([upper[:-1], lower[:-1], lower[1:]], axis=1)
    second = np.stack([upper[:-1], lower[1:], upper[1:]], axis=1)
    return np.concatenate([first, second])


def _hang(span: Floats, sag: float) -> Floats:
    """Hang one span between two supports, as points; a plumb or tight one is straight."""
    if sag <= 0 or np.array_equal(span[0, :2], span[1, :2]):
        return span
    count = conductor_points_for_error(sag, CURVE_ERROR)
    return conductor_shape(span[0], span[1], sag, count)


def _inside_outline(points: Floats, outline: Floats) -> NDArray[np.bool_]:
    """Count the edges east of each point: an odd number means inside, whatever the holes."""
    x, y = points[:, 0, None], points[:, 1, None]
    (x0, y0), (x1, y1) = outline[:, 0].T, outline[:, 1].T
    spans = (y0 > y) != (y1 > y)
    rise = np.where(y1 == y0, 1.0, y1 - y0)
    crossing = x0 + (y - y0) / rise * (x1 - x0)
    inside: NDArray[np.bool_] = (np.count_nonzero(spans & (crossing > x), axis=1) % 2).astype(bool)
    return inside
