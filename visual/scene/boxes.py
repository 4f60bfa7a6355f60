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


def crossings(boxes: NDArray[np.float64], pieces: NDArray[np.float64]) -> NDArray[np.int64]:
    """Return how many straight pieces pass through each of several rectangles.

    Parameters
    ----------
    boxes : ndarray, shape (k, 4, 2)
        Corners of the rectangles, in order. [px]
    pieces : ndarray, shape (n, 2, 2)
        Ends of the pieces. [px]
    """
    if not len(pieces):
        return np.zeros(len(boxes), dtype=np.int64)
    corner = boxes[:, 0]
    sides = np.stack([boxes[:, 1] - corner, boxes[:, 3] - corner], axis=2)
    frame = sides / np.maximum((sides**2).sum(axis=1, keepdims=True), 1e-12)
    ends = pieces[None] - corner[:, None, None]
    start, end = (np.einsum("knc,kcs->kns", ends[:, :, e], frame) for e in (0, 1))
    way = np.where(np.abs(end - start) < 1e-12, 1e-12, end - start)
    # shares of the piece between which it lies in the unit square, side by side (Liang–Barsky)
    one, other = -start / way, (1 - start) / way
    first = np.maximum(np.minimum(one, other).max(axis=2), 0.0)
    last = np.minimum(np.maximum(one, other).min(axis=2), 1.0)
    return np.asarray((first < last).sum(axis=1), dtype=np.int64)
