"""Where points land on a drawing, and whether they can be seen there."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.scene.camera import View, project
from visual.scene.layers import Points

_NEARLY = 1.015  # a point this much farther than what is drawn there still counts as seen
_CLOSE = 0.5  # so does one this much farther: a mark on the ground must not sink into it [m]
_AROUND = 2  # pixels around a point; it is seen if any of them shows far enough


@dataclass(frozen=True, eq=False)
class Spotter:
    """Finds points of a view on its drawing.

    Parameters
    ----------
    view : View
        The view.
    size : tuple of int
        Width and height of the drawing. [px]
    depth : ndarray, shape (height, width), or None
        Distance of the nearest thing at each pixel; None: everything can be seen. [m]
    """

    view: View
    size: tuple[int, int]
    depth: NDArray[np.float64] | None = field(default=None, repr=False)

    def pixels(self, points: Points) -> NDArray[np.float64]:
        """Return where points land, shape (n, 2). [px]"""
        return project(self.view, points, width=self.size[0], height=self.size[1])[0]

    def seen(self, points: Points) -> NDArray[np.float64]:
        """Return where those points land that are on the drawing and not hidden. [px]"""
        pixels, depth = project(self.view, points, width=self.size[0], height=self.size[1])
        shown = [
            self._inside(at) and self._in_front(at, float(away))
            for at, away in zip(pixels, depth, strict=True)
        ]
        return pixels[shown]

    def _inside(self, at: NDArray[np.float64]) -> bool:
        return bool(np.isfinite(at).all() and (at >= 0).all() and (at <= self.size).all())

    def _in_front(self, at: NDArray[np.float64], away: float) -> bool:
        if self.depth is None:
            return True
        x, y = (int(v) for v in at)
        patch = self.depth[
            max(y - _AROUND, 0) : y + _AROUND + 1, max(x - _AROUND, 0) : x + _AROUND + 1
        ]
        farthest = np.where(np.isfinite(patch), patch, np.inf).max(initial=0.0)
        return bool(away <= farthest * _NEARLY + _CLOSE)
