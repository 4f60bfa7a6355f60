"""Dashed lines, cut to length on the picture so that dashes look alike near and far."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from visual.scene.camera import View, project
from visual.scene.layers import Points
from visual.scene.terrain import split_at_gaps

_FAR = 2.0  # points farther than this many pictures from the middle are left out


def dashed(
    paths: Sequence[Points], pattern: Sequence[float], view: View, *, width: int, height: int
) -> list[Points]:
    """Cut lines into dashes.

    Parameters
    ----------
    paths : sequence of ndarray, each shape (n, 3)
        Lines. [m]
    pattern : sequence of float
        Lengths drawn and left out by turns. [px]
    view : View
        The view in which the lengths hold.
    width, height : int
        Size of the picture. [px]
    """
    pieces: list[Points] = []
    for path in paths:
        pixels, _ = project(view, path, width=width, height=height)
        # a line that runs past the eye is endlessly long on the picture
        near = np.abs(pixels - [width / 2, height / 2]).max(axis=1) < _FAR * max(width, height)
        known = np.where(near[:, None], path, np.nan)
        for run in split_at_gaps(known):
            flat, _ = project(view, run, width=width, height=height)
            pieces += cut_by_length(run, flat, pattern)
    return pieces


def cut_by_length(
    path: Points, pixels: NDArray[np.float64], pattern: Sequence[float]
) -> list[Points]:
    """Cut a line into dashes by its length on the picture, given point by point."""
    steps = np.linalg.norm(np.diff(pixels, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    fresh = np.append(0, np.flatnonzero(steps > 1e-9) + 1)
    path, along = path[fresh], along[fresh]
    if len(path) < 2:
        return []
    return [_between(path, along, a, b) for a, b in _spans(float(along[-1]), pattern)]


def _spans(length: float, pattern: Sequence[float]) -> list[tuple[float, float]]:
    """Return where the drawn parts start and end; a line far too long is drawn firm."""
    period = sum(pattern)
    if length / period > 4000:
        return [(0.0, length)]
    spans, start = [], 0.0
    while start < length:
        for k, part in enumerate(pattern):
            if k % 2 == 0 and start < length:
                spans.append((start, min(start + part, length)))
            start += part
    return spans


def _between(path: Points, along: NDArray[np.float64], a: float, b: float) -> Points:
    inner = path[(along > a) & (along < b)]
    ends = np.column_stack([np.interp([a, b], along, path[:, k]) for k in range(3)])
    return np.concatenate([ends[:1], inner, ends[1:]])
