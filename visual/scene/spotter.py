"""Where points land on a drawing, and whether they can be seen there."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.scene.camera import View, project
from visual.scene.layers import AnyLayer, LabelLayer, Points

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
    depth : ndarray, shape (height, width)
        Distance of the nearest thing at each pixel. [m]
    """

    view: View
    size: tuple[int, int]
    depth: NDArray[np.float64] = field(repr=False)

    def pixels(self, points: Points) -> NDArray[np.float64]:
        """Return where points land, shape (n, 2). [px]"""
        return project(self.view, points, width=self.size[0], height=self.size[1])[0]

    def seen(self, layer: AnyLayer) -> NDArray[np.float64]:
        """Return where those points of a layer land that are on the drawing and not hidden. [px]"""
        # a name with alternatives need not stand at an edge
        sharp = isinstance(layer, LabelLayer) and bool(layer.choice)
        shown = self.is_seen(layer.points, behind=self.can_hide(layer), sharp=sharp)
        return self.pixels(layer.points)[shown]

    def can_hide(self, layer: AnyLayer) -> bool:
        """Return whether something may stand in front of a layer.

        Orthographic views draw what matters over everything; only their background hides.
        """
        if self.view.projection == "perspective":
            return True
        return self.view.clip is not None and layer.group in self.view.clipped

    def is_seen(
        self, points: Points, *, behind: bool = True, sharp: bool = False
    ) -> NDArray[np.bool_]:
        """Return which points are on the drawing and not hidden.

        Parameters
        ----------
        points : ndarray, shape (n, 3)
            The points. [m]
        behind : bool
            False if nothing can stand in front of them.
        sharp : bool
            True if a point just beside the edge of what hides it counts as hidden, as suits
            faces; False as suits fine lines.
        """
        pixels, depth = project(self.view, points, width=self.size[0], height=self.size[1])
        shown = self._inside(pixels)
        if behind:
            shown[shown] = self._in_front(pixels[shown], depth[shown], sharp=sharp)
        return shown

    def _inside(self, pixels: NDArray[np.float64]) -> NDArray[np.bool_]:
        known = np.where(np.isfinite(pixels), pixels, -1.0)
        return np.asarray(((known >= 0) & (known <= self.size)).all(axis=1))

    def _in_front(
        self, pixels: NDArray[np.float64], away: NDArray[np.float64], *, sharp: bool
    ) -> NDArray[np.bool_]:
        patch = self._patch(pixels)
        drawn = np.where(np.isfinite(patch), patch, np.inf)
        limit = drawn.min(axis=(1, 2)) if sharp else drawn.max(axis=(1, 2))
        return np.asarray(away <= limit * self._nearly + _CLOSE)

    def _patch(self, pixels: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the distances drawn around pixels, shape (n, k, k). [m]"""
        rows, columns = self.depth.shape
        column, row = np.clip(pixels.astype(int), 0, [columns - 1, rows - 1]).T
        around = np.arange(-_AROUND, _AROUND + 1)
        r = np.clip(row[:, None, None] + around[:, None], 0, rows - 1)
        c = np.clip(column[:, None, None] + around, 0, columns - 1)
        return np.asarray(self.depth[r, c], dtype=float)

    @property
    def _nearly(self) -> float:
        return _NEARLY if self.view.projection == "perspective" else 1.0
