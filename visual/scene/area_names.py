"""Where the name of a plan area may stand: in it, along it where it is narrow."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from visual.scene.cut import inside
from visual.scene.layers import LabelLayer
from visual.scene.terrain import Terrain, densify

_STEP = 2.0  # distance of the places tried along an outline [m]
_APART = 5.0  # places offered are at least this far apart [m]
_MOST = 14
_NARROW = 9.0  # in what is narrower than this the name follows it [m]
_TRUE = 0.4  # a chord counts if the area is about as wide as it everywhere near its middle
_BEND = 6.0  # and it must run straight for this far to both sides [m]
_STRAIGHT = 0.97  # cosine of the largest turn on the way

Place = tuple[NDArray[np.float64], NDArray[np.float64], float]
"""Where a name may stand, the direction of the area there, and the width of the area. [m]"""


def area_names(
    rings: Sequence[NDArray[np.float64]],
    lines: Sequence[NDArray[np.float64]],
    text: str,
    terrain: Terrain,
    *,
    letter: float,
) -> Iterator[LabelLayer]:
    """Offer places for the name of an area, the nearest to the base first.

    Parameters
    ----------
    rings, lines : sequence of ndarray, each shape (n, 2)
        Outline of the area, or the lines that it is. [m]
    text : str
        The name.
    terrain : Terrain
        The drawn ground.
    letter : float
        About how high a line of type is on a plan. [m]
    """
    places = list(_in_rings(rings)) if rings else list(_on_lines(lines))
    for rank, (at, way, width) in enumerate(_beside(_picked(places), letter)):
        point = terrain.on(float(at[0]), float(at[1]))
        if not np.isfinite(point).all():
            continue
        yield LabelLayer(
            role="label",
            group="area_names",
            name=text,
            text=text,
            at=point,
            along=np.array([*way, 0.0]) if width < _NARROW else None,
            over=True,
            priority=2 - 0.02 * rank,
            choice=f"area {text}",
        )


def _beside(places: Sequence[Place], letter: float) -> Iterator[Place]:
    """Yield places, to both sides of an area that is so narrow that the name would hide it."""
    for at, way, width in places:
        if width >= 1.8 * letter:
            yield at, way, width
            continue
        aside = (width / 2 + 0.5 * letter) * np.array([-way[1], way[0]])
        yield at + aside, way, width
        yield at - aside, way, width


def _picked(places: Sequence[Place]) -> list[Place]:
    """Return the roomiest places near the base, well apart."""
    if not places:
        return []
    widest = float(np.quantile([width for _, _, width in places], 0.9))
    roomy = [place for place in places if place[2] >= 0.7 * widest]
    picked: list[Place] = []
    for place in sorted(roomy, key=lambda p: float(np.hypot(*p[0]))):
        if all(np.hypot(*(place[0] - other[0])) > _APART for other in picked):
            picked.append(place)
    return picked[:_MOST]


def _in_rings(rings: Sequence[NDArray[np.float64]]) -> Iterator[Place]:
    """Yield the middles of the chords that cross an area square to its outline."""
    edges = np.concatenate([np.stack([r[:-1, :2], r[1:, :2]], axis=1) for r in rings])
    stations = [station for ring in rings for station in _stations(ring[:, :2])]
    for side in (1.0, -1.0):
        inward = [side * np.array([-way[1], way[0]]) for _, way, _ in stations]
        starts = np.array([at + 1e-4 * n for (at, _, _), n in zip(stations, inward, strict=True)])
        is_in = inside(rings, starts[:, 0], starts[:, 1])
        for k in np.flatnonzero(is_in):
            at, way, is_straight = stations[k]
            width = _first_hit(starts[k], inward[k], edges)
            middle = at + width / 2 * inward[k]
            is_across = _to_edges(middle, edges) > _TRUE * width
            if is_across and (is_straight or width >= _NARROW):
                yield middle, way, width


def _on_lines(lines: Sequence[NDArray[np.float64]]) -> Iterator[Place]:
    for line in lines:
        for at, way, is_straight in _stations(line[:, :2]):
            if is_straight:
                yield at, way, 0.0


def _stations(
    path: NDArray[np.float64],
) -> Iterator[tuple[NDArray[np.float64], NDArray[np.float64], bool]]:
    """Yield places along a line, its direction, and whether it runs straight there."""
    fine = densify(path, _STEP)
    way = np.diff(fine, axis=0)
    length = np.linalg.norm(way, axis=1, keepdims=True)
    way = way / np.maximum(length, 1e-12)
    span = max(1, round(_BEND / _STEP))
    is_short = len(way) < 4 * span
    for k in range(len(way)):
        near = way[max(k - span, 0) : k + span + 1]
        is_straight = is_short or bool((near @ way[k]).min() > _STRAIGHT)
        yield (fine[k] + fine[k + 1]) / 2, way[k], is_straight


def _to_edges(at: NDArray[np.float64], edges: NDArray[np.float64]) -> float:
    """Return the distance of a point from the nearest edge. [m]"""
    way = edges[:, 1] - edges[:, 0]
    square = np.maximum((way**2).sum(axis=1), 1e-12)
    share = np.clip(((at - edges[:, 0]) * way).sum(axis=1) / square, 0.0, 1.0)
    return float(np.linalg.norm(edges[:, 0] + share[:, None] * way - at, axis=1).min())


def _first_hit(
    start: NDArray[np.float64], way: NDArray[np.float64], edges: NDArray[np.float64]
) -> float:
    """Return how far a ray runs until it meets an edge; 0 if it meets none. [m]"""
    along = edges[:, 1] - edges[:, 0]
    det = way[0] * along[:, 1] - way[1] * along[:, 0]
    safe = np.where(np.abs(det) < 1e-12, np.nan, det)
    offset = edges[:, 0] - start
    share = (offset[:, 0] * along[:, 1] - offset[:, 1] * along[:, 0]) / safe
    on_edge = (offset[:, 0] * way[1] - offset[:, 1] * way[0]) / safe
    hits = share[(share > 0) & (on_edge >= 0) & (on_edge <= 1)]
    return float(hits.min(initial=np.inf)) if len(hits) else 0.0
