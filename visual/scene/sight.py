"""Lines of sight: what of a mast an eye can see past buildings, trees, ground and lines."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.checks import Report
from visual.scene.layers import Points
from visual.scene.terrain import Terrain

_EARTH = 0.4  # a sight line that dips this deep into the drawn ground is blocked [m]
_STEPS = 14  # places along a sight line where the ground is asked
_TOUCH = 1e-3  # a face nearer to the point than this share of the line does not hide it


@dataclass(frozen=True, eq=False)
class Screens:
    """What can stand between an eye and a point.

    Parameters
    ----------
    triangles : ndarray, shape (n, 3, 3)
        Faces of buildings and trees. [m]
    conductors : ndarray, shape (m, 2, 3)
        Pieces of overhead lines. [m]
    keep : ndarray, shape (m,)
        Half width of the clearance drawn around each piece. [m]
    terrain : Terrain
        The ground.
    """

    triangles: NDArray[np.float64] = field(repr=False)
    conductors: NDArray[np.float64] = field(repr=False)
    keep: NDArray[np.float64] = field(repr=False)
    terrain: Terrain = field(repr=False)

    def hidden(self, eye: Points, points: Points) -> NDArray[np.bool_]:
        """Return which points, shape (n, 3), an eye cannot see."""
        return crossed(eye, points, self.triangles) | self._buried(eye, points)

    def veiled(self, eye: Points, points: Points) -> NDArray[np.bool_]:
        """Return which points an eye sees through the clearance of an overhead line."""
        if not len(self.conductors):
            return np.zeros(len(points), dtype=bool)
        apart = _line_distance(eye, points, self.conductors)
        return np.asarray((apart < self.keep).any(axis=1))

    def _buried(self, eye: Points, points: Points) -> NDArray[np.bool_]:
        share = (np.arange(_STEPS) + 1) / (_STEPS + 1)
        path = points[:, None] + share[:, None] * (eye - points)[:, None]
        ground = self.terrain.height(path[..., 0], path[..., 1])
        return np.asarray((ground > path[..., 2] + _EARTH).any(axis=1))


def screens_of(report: Report, terrain: Terrain, *, within: float) -> Screens:
    """Return what stands within a distance of the base. [m]"""
    faces: list[NDArray[np.float64]] = [np.empty((0, 3, 3))]
    pieces: list[NDArray[np.float64]] = [np.empty((0, 2, 3))]
    keep: list[NDArray[np.float64]] = [np.empty(0)]
    for obstacle in report.around.obstacles:
        shape = obstacle.shape
        if obstacle.kind == "overhead_line":
            pieces.append(shape.segments[:: max(1, len(shape.segments) // 60)])
            wide = shape.radius + (obstacle.requirement.distance or 0.0)
            keep.append(np.full(len(pieces[-1]), wide))
        elif np.hypot(*shape.triangles[..., :2].reshape(-1, 2).T).min(initial=np.inf) < within:
            faces.append(shape.triangles)
    return Screens(np.concatenate(faces), np.concatenate(pieces), np.concatenate(keep), terrain)


def crossed(eye: Points, points: Points, triangles: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which sight lines from an eye to points pass through a triangle (Möller–Trumbore)."""
    if not len(triangles):
        return np.zeros(len(points), dtype=bool)
    a, ab, ac = (
        triangles[:, 0],
        triangles[:, 1] - triangles[:, 0],
        triangles[:, 2] - triangles[:, 0],
    )
    way = (eye - points)[:, None]  # from the point on, so that shares count from there
    p = np.cross(way, ac)
    det = np.einsum("ntk,tk->nt", p, ab)
    safe = np.where(np.abs(det) < 1e-12, np.nan, det)
    from_corner = points[:, None] - a
    u = np.einsum("ntk,ntk->nt", from_corner, p) / safe
    q = np.cross(from_corner, ab)
    v = np.einsum("ntk,ntk->nt", np.broadcast_to(way, q.shape), q) / safe
    share = np.einsum("ntk,tk->nt", q, ac) / safe
    hit = (u >= 0) & (v >= 0) & (u + v <= 1) & (share > _TOUCH) & (share < 1)
    return np.asarray(hit.any(axis=1))


def _line_distance(eye: Points, points: Points, pieces: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far sight lines pass from the middles of pieces, shape (points, pieces). [m]"""
    middle = pieces.mean(axis=1)
    way = points - eye
    length = np.linalg.norm(way, axis=1, keepdims=True)
    unit = way / np.maximum(length, 1e-9)
    offset = middle - eye
    along = np.clip(unit @ offset.T, 0.0, length)
    nearest = eye + along[..., None] * unit[:, None]
    return np.asarray(np.linalg.norm(nearest - middle, axis=2))
