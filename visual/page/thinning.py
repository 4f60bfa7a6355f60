"""Lines with fewer points: on the ground they come with one for every triangle they cross."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from visual.page.packing import Numbers
from visual.scene.layers import AnyLayer, LineLayer

TOLERANCE = 0.012
"""No point that is left out lies farther than this from the line drawn. [m]"""

_FEW = 2

_Places = NDArray[np.intp]


def thinned(layer: AnyLayer) -> AnyLayer:
    """Return a line with fewer points, lifted so that it does not dip into the ground.

    Anything but a long line comes back as it is.
    """
    if not isinstance(layer, LineLayer) or layer.motion != "fixed":
        return layer
    lift = np.array([0.0, 0.0, TOLERANCE])
    long = iter(thin_lines([path for path in layer.paths if len(path) > _FEW]))
    paths = [next(long) + lift if len(path) > _FEW else path for path in layer.paths]
    return replace(layer, paths=tuple(paths))


def thin_line(path: Numbers, tolerance: float = TOLERANCE) -> Numbers:
    """Return the points of a line that hold its shape (Ramer 1972; Douglas and Peucker 1973).

    Parameters
    ----------
    path : ndarray, shape (n, 3)
        The line. [m]
    tolerance : float
        Farthest that a point may lie from the line that is left. [m]
    """
    return thin_lines([path], tolerance)[0]


def thin_lines(paths: Sequence[Numbers], tolerance: float = TOLERANCE) -> list[Numbers]:
    """Return `thin_line` of many lines, worked on together."""
    if not paths:
        return []
    whole = np.concatenate(paths)
    end = np.cumsum([len(path) for path in paths])
    first, last = np.concatenate([[0], end[:-1]]), end - 1
    keep = np.zeros(len(whole), dtype=bool)
    keep[first] = keep[last] = True
    while True:
        long = last - first >= _FEW
        first, last = first[long], last[long]
        if not len(first):
            kept = np.split(keep, end[:-1])
            return [path[some] for path, some in zip(paths, kept, strict=True)]
        middle, away = _farthest(whole, first, last)
        far = away > tolerance
        first, middle, last = first[far], middle[far], last[far]
        keep[middle] = True
        first, last = np.concatenate([first, middle]), np.concatenate([middle, last])


def _farthest(path: Numbers, first: _Places, last: _Places) -> tuple[_Places, Numbers]:
    """Return for pieces of a line the point farthest from the straight one, and how far it is.

    All pieces at once: a line on the ground comes apart into thousands.
    """
    inside = last - first - 1
    begin = np.cumsum(inside) - inside
    piece = np.repeat(np.arange(len(first)), inside)
    place = np.arange(len(piece)) - begin[piece] + first[piece] + 1
    away = _distances(path[place], path[first][piece], path[last][piece])
    most = np.maximum.reduceat(away, begin)
    worst = np.flatnonzero(away == most[piece])
    _, earliest = np.unique(piece[worst], return_index=True)
    return place[worst[earliest]], most


def _distances(points: Numbers, start: Numbers, end: Numbers) -> Numbers:
    """Return how far points are from pieces of straight line, one for each. [m]"""
    way = end - start
    square = (way * way).sum(axis=1)
    along = ((points - start) * way).sum(axis=1)
    share = np.clip(along / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    nearest = start + share[:, None] * way
    return np.asarray(np.linalg.norm(points - nearest, axis=1))
