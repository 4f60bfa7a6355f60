"""Boxes on the picture: upright or turned, and whether they touch. Pixels, x right, y down."""

import math

import numpy as np
from numpy.typing import NDArray

Quad = NDArray[np.float64]
"""Convex polygon, shape (n, 2). [px]"""


def turned_box(middle: NDArray[np.float64], size: tuple[float, float], turn: float) -> Quad:
    """Return a box turned clockwise by `turn` about its middle, upper left corner first."""
    w, h = size[0] / 2, size[1] / 2
    corners = np.array([[-w, -h], [w, -h], [w, h], [-w, h]])
    c, s = math.cos(turn), math.sin(turn)
    return np.asarray(corners @ np.array([[c, s], [-s, c]]) + middle)


def strip(line: Quad, width: float = 2.0) -> Quad:
    """Return a line as a thin convex shape."""
    along = line[1] - line[0]
    length = float(np.linalg.norm(along)) or 1.0
    side = np.array([-along[1], along[0]]) / length * width / 2
    return np.array([line[0] + side, line[1] + side, line[1] - side, line[0] - side])


def grown(box: Quad, gap: float) -> Quad:
    """Return a box with free space around it."""
    middle = box.mean(axis=0)
    across, down = box[1] - box[0], box[3] - box[0]
    w, h = float(np.linalg.norm(across)), float(np.linalg.norm(down))
    u, v = across / max(w, 1e-9), down / max(h, 1e-9)
    corners = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    return np.array([middle + a * (w / 2 + gap) * u + b * (h / 2 + gap) * v for a, b in corners])


def overlap(one: Quad, other: Quad) -> bool:
    """Return whether two convex polygons share any area (separating axes)."""
    if (one.min(axis=0) >= other.max(axis=0)).any() or (other.min(axis=0) >= one.max(axis=0)).any():
        return False
    for shape in (one, other):
        edges = np.roll(shape, -1, axis=0) - shape
        normals = np.column_stack([-edges[:, 1], edges[:, 0]])
        a, b = one @ normals.T, other @ normals.T
        if ((a.max(axis=0) <= b.min(axis=0)) | (b.max(axis=0) <= a.min(axis=0))).any():
            return False
    return True


def crossings(box: Quad, pieces: NDArray[np.float64]) -> int:
    """Return how many straight pieces, shape (n, 2, 2), pass through a rectangle."""
    if not len(pieces):
        return 0
    across, down = box[1] - box[0], box[3] - box[0]
    frame = np.column_stack(
        [across / max(float(across @ across), 1e-12), down / max(float(down @ down), 1e-12)]
    )
    start, end = (pieces[:, 0] - box[0]) @ frame, (pieces[:, 1] - box[0]) @ frame
    way = np.where(np.abs(end - start) < 1e-12, 1e-12, end - start)
    # shares of the piece between which it lies in the unit square, side by side (Liang–Barsky)
    near, far = (
        np.minimum(-start / way, (1 - start) / way),
        np.maximum(-start / way, (1 - start) / way),
    )
    first, last = np.maximum(near.max(axis=1), 0.0), np.minimum(far.min(axis=1), 1.0)
    return int((first < last).sum())
