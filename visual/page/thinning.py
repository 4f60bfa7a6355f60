"""Lines with fewer points: on the ground they come with one for every triangle they cross."""

from dataclasses import replace

import numpy as np

from visual.page.packing import Numbers
from visual.scene.layers import AnyLayer, LineLayer

TOLERANCE = 0.012
"""No point that is left out lies farther than this from the line drawn. [m]"""

_FEW = 2


def thinned(layer: AnyLayer) -> AnyLayer:
    """Return a line with fewer points, lifted so that it does not dip into the ground.

    Anything but a long line comes back as it is.
    """
    if not isinstance(layer, LineLayer) or layer.motion != "fixed":
        return layer
    lift = np.array([0.0, 0.0, TOLERANCE])
    paths = [thin_line(path) + lift if len(path) > _FEW else path for path in layer.paths]
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
    keep = np.zeros(len(path), dtype=bool)
    keep[[0, -1]] = True
    todo = [(0, len(path) - 1)]
    while todo:
        first, last = todo.pop()
        if last - first < 2:
            continue
        away = _distances(path[first + 1 : last], path[first], path[last])
        worst = int(np.argmax(away))
        if away[worst] > tolerance:
            middle = first + 1 + worst
            keep[middle] = True
            todo += [(first, middle), (middle, last)]
    return np.asarray(path[keep], dtype=float)


def _distances(points: Numbers, start: Numbers, end: Numbers) -> Numbers:
    """Return how far points are from a piece of straight line. [m]"""
    way = end - start
    square = float(way @ way)
    share = np.clip((points - start) @ way / square, 0.0, 1.0) if square > 0 else 0.0
    nearest = start + np.multiply.outer(share, way)
    return np.asarray(np.linalg.norm(points - nearest, axis=1))
