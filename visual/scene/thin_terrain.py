"""The ground of pictures: few triangles, and a picture of every height laid on them."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from visual.ground import ContourLine, GroundImage, Surface, grid_contours
from visual.scene.layers import MeshLayer, Points
from visual.scene.right_triangles import right_triangles
from visual.scene.shade import multiply, shade_of, shaded_picture
from visual.scene.terrain import Terrain

Picture = NDArray[np.uint8]
"""Colours, first row in the north, shape (rows, columns, 3)."""

QUARTER_PIXEL = 1.2e-4
"""Angle that a quarter of a pixel covers on a picture of 1600 pixels, 50° wide. [rad]"""

MOST_TRIANGLES = 200_000
"""Rough ground takes no more; see `right_triangles`."""

_LEAST_CELLS = 400  # along the longer side, however coarse the data are
_MOST_CELLS = 2048
_SPECK = 0.005  # size of a ring of a contour, as a share of the ground


@dataclass(frozen=True, eq=False)
class ThinTerrain(Terrain):
    """Ground as few triangles; `heights` are theirs at every grid point.

    Parameters
    ----------
    sampled : ndarray, shape (rows, columns)
        Heights of the ground itself at the grid points; NaN where unknown. [m]
    nodes : ndarray of int, shape (n,)
        Grid points that are corners of triangles, counted row after row.
    mesh : ndarray of int, shape (m, 3)
        Numbers into `nodes`, counter-clockwise from above.
    loosened : float
        What the allowed difference was multiplied with to keep to the number of triangles.
    """

    alternating: ClassVar[bool] = True

    sampled: NDArray[np.float64] = field(repr=False)
    nodes: NDArray[np.int64] = field(repr=False)
    mesh: NDArray[np.int32] = field(repr=False)
    loosened: float = 1.0

    @classmethod
    def thinned(cls, whole: Terrain, *, allowed: NDArray[np.float64], most: int) -> "ThinTerrain":
        """Return sampled ground with fewer triangles; see `right_triangles`."""
        found = right_triangles(whole.heights, allowed=allowed, most=most)
        return cls(
            whole.west,
            whole.south,
            whole.step,
            found.heights,
            whole.heights,
            found.nodes,
            found.triangles,
            found.loosened,
        )

    @property
    def vertices(self) -> Points:
        """Corners of the triangles, shape (n, 3). [m]"""
        row, column = np.divmod(self.nodes, self.heights.shape[1])
        x, y = self.west + self.step * column, self.south + self.step * row
        return np.column_stack([x, y, self.heights.ravel()[self.nodes]])

    @property
    def at_the_end(self) -> NDArray[np.bool_]:
        """Which of `vertices` lie on the rim of the grid or beside an unknown height.

        An open edge is the rim's, or that of a smallest triangle beside one that lacks a height.
        """
        return self._ends.ravel()[self.nodes]

    def contours(self, interval: float, *, offset: float) -> tuple[ContourLine, ...]:
        """Return contour lines of every height, so that they keep their level on steep banks.

        Rings so small that a picture shows a speck are left out; see `Surface.contours`.
        """
        rows, columns = self.sampled.shape
        x = np.asarray(self.west + self.step * np.arange(columns), dtype=float)
        y = np.asarray(self.south + self.step * np.arange(rows), dtype=float)
        lines = grid_contours(x, y, self.sampled, interval=interval, offset=offset)
        if max(rows, columns) <= _LEAST_CELLS + 1:
            return lines
        speck = _SPECK * self.step * max(rows, columns)
        return tuple(line for line in lines if np.ptp(line.path[:, :2], axis=0).max() > speck)

    @property
    def triangles(self) -> NDArray[np.int32]:
        """Triangles of known ground, shape (m, 3), counter-clockwise from above."""
        return self.mesh

    def triangles_in(
        self, lowest: NDArray[np.float64], highest: NDArray[np.float64]
    ) -> NDArray[np.int32]:
        """Return those `triangles`, in their order, whose box meets a plan box (corners) [m]."""
        corners = self.vertices[self.mesh, :2]
        beside = (corners.max(axis=1) < lowest) | (corners.min(axis=1) > highest)
        found: NDArray[np.int32] = self.mesh[~beside.any(axis=1)]
        return found


def sampled_ground(ground: Surface, bounds: tuple[float, float, float, float]) -> Terrain:
    """Sample the ground as finely as its data are, within reason."""
    west, south, east, north = bounds
    cell = ground.dem.cell if ground.dem is not None else np.inf
    fine = round(max(east - west, north - south) / cell)
    cells = min(max(fine, _LEAST_CELLS), _MOST_CELLS)
    return Terrain.sample(ground.height, bounds=bounds, cells=cells)


def thin_ground_layer(terrain: ThinTerrain, *, image: GroundImage | None = None) -> MeshLayer:
    """Return the ground with its shading at every height on it, or with an image over it.

    Parameters
    ----------
    terrain : ThinTerrain
        The ground.
    image : GroundImage or None
        Colours over the whole of the ground.
    """
    shade = shade_of(terrain.sampled, step=terrain.step)
    rows, columns = terrain.heights.shape
    row, column = np.divmod(terrain.nodes, columns)
    if image is None:
        # a pixel for each grid point, with the grid point in its middle
        picture = shaded_picture(shade)
        uv = np.column_stack([(column + 0.5) / columns, (row + 0.5) / rows])
    else:
        picture = shaded_image(image, shade)
        uv = np.column_stack([column / (columns - 1), row / (rows - 1)])
    return MeshLayer(
        role="ground",
        group="ground",
        name="ground",
        vertices=terrain.vertices,
        triangles=terrain.triangles,
        texture=picture,
        uv=uv,
    )


def shaded_image(image: GroundImage, shade: NDArray[np.float32]) -> Picture:
    """Lay shade (rows from the south) over an image; where that is unknown the ground shows."""
    light = resampled(shade, image.known.shape)
    lit = multiply(image.rgb, light).astype(np.float32)
    # paled, so that lines and zones stay the loudest things on the picture
    pale = np.rint(255 - np.float32(0.65) * (255 - lit)).astype(np.uint8)
    return np.where(image.known[..., None], pale, shaded_picture(light))


def resampled(grid: NDArray[np.float32], shape: Sequence[int]) -> NDArray[np.float32]:
    """Return a grid of points, whose rim is the rim of a picture, at the middles of its pixels."""
    for axis, pixels in enumerate(shape):
        place = (np.arange(pixels) + 0.5) / pixels * (grid.shape[axis] - 1)
        first = np.minimum(place.astype(int), grid.shape[axis] - 2)
        share = (place - first).astype(np.float32).reshape([-1, 1] if axis == 0 else [1, -1])
        low, high = grid.take(first, axis), grid.take(first + 1, axis)
        grid = low + share * (high - low)
    return grid
