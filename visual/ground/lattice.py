"""The ground as a lattice of heights that is read window by window, however large the file.

What looks at thousands of places next to each other wants heights at a constant distance, and
no more of them in memory than the places at hand need. A lattice is affine: node (row, column)
lies at ``origin + row · down + column · right``.
"""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import numpy as np

from visual.frame import Frame
from visual.ground.dem import longitude_turn
from visual.ground.raster import (
    grid_of,
    middles,
    open_raster,
    place,
    raster_error,
    read_heights,
    window_of,
)
from visual.ground.tin import Tin
from visual.ground.triangle import Array


class HeightSource(Protocol):
    """What gives heights of nodes."""

    def heights(self, row: int, column: int, shape: tuple[int, int]) -> Array:
        """Return a window of nodes in the local frame; NaN where there is none. [m]"""


@dataclass(frozen=True, eq=False)
class HeightArray:
    """Heights in memory.

    Parameters
    ----------
    z : ndarray, shape (rows, columns)
        Heights in the local frame; NaN where unknown. [m]
    """

    z: Array = field(repr=False)

    def heights(self, row: int, column: int, shape: tuple[int, int]) -> Array:
        """Return a window of nodes; NaN beyond the array. [m]"""
        z, inside = _window_within(self.z.shape, row, column, shape)
        if inside is not None:
            here, (top, left, rows, columns) = inside
            z[here] = self.z[top : top + rows, left : left + columns]
        return z


@dataclass(frozen=True, eq=False)
class Lattice:
    """Heights on a lattice in the local frame.

    Parameters
    ----------
    origin, down, right : ndarray, shape (2,)
        Node (0, 0), and the steps to the next row and the next column, x and y. [m]
    shape : tuple of int
        Rows and columns.
    dem : HeightSource or None
        Where heights come from outside the survey.
    survey : Tin or None
        The surveyed surface; within its hull it counts.
    """

    origin: Array = field(repr=False)
    down: Array
    right: Array
    shape: tuple[int, int]
    dem: HeightSource | None
    survey: Tin | None

    @property
    def cell(self) -> float:
        """Shorter side of a cell. [m]"""
        return float(min(np.hypot(*self.down), np.hypot(*self.right)))

    def places(self, rows: Array, columns: Array) -> tuple[Array, Array]:
        """Return x and y of nodes, fractions allowed. [m]"""
        x = self.origin[0] + rows * self.down[0] + columns * self.right[0]
        y = self.origin[1] + rows * self.down[1] + columns * self.right[1]
        return x, y

    def index(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Return row and column of places, with fractions."""
        steps = np.linalg.inv(np.column_stack([self.down, self.right]))
        east, north = np.asarray(x) - self.origin[0], np.asarray(y) - self.origin[1]
        return (
            steps[0, 0] * east + steps[0, 1] * north,
            steps[1, 0] * east + steps[1, 1] * north,
        )

    def heights(self, row: int, column: int, shape: tuple[int, int]) -> Array:
        """Read a window of nodes; NaN where there is no ground, outside the data too. [m]

        Parameters
        ----------
        row, column : int
            First node; may be negative.
        shape : tuple of int
            Rows and columns.
        """
        z = np.full(shape, np.nan)
        if self.dem is not None:
            z = self.dem.heights(row, column, shape)
        if self.survey is not None:
            rows, columns = np.indices(shape, dtype=float)
            x, y = self.places(rows + row, columns + column)
            surveyed = self.survey.height(x.ravel(), y.ravel()).reshape(shape)
            z = np.where(np.isnan(surveyed), z, surveyed)
        return z


@dataclass(frozen=True, eq=False)
class DemFile:
    """A raster of heights that stays on disk.

    Parameters
    ----------
    path : Path
        The file.
    shape : tuple of int
        Rows and columns of the file.
    factor : float
        Metres per unit of height.
    lift : float
        Added to every height: from the datum to the local frame. [m]
    """

    path: Path
    shape: tuple[int, int]
    factor: float
    lift: float

    def heights(self, row: int, column: int, shape: tuple[int, int]) -> Array:
        """Read a window, in the local frame; NaN beyond the file. [m]"""
        z, inside = _window_within(self.shape, row, column, shape)
        if inside is not None:
            here, part = inside
            with open_raster(self.path) as dataset:
                found = read_heights(dataset, window_of(*part), factor=self.factor)
            z[here] = found + self.lift
        return z


Inside = tuple[tuple[slice, slice], tuple[int, int, int, int]]
"""Where the known part lies in a window; its first row and column in the data, and its size."""


def _window_within(
    whole: tuple[int, ...], row: int, column: int, shape: tuple[int, int]
) -> tuple[Array, Inside | None]:
    """Return a window full of NaN, and which part of it lies in the data, if any does."""
    empty = np.full(shape, np.nan)
    top, left = max(row, 0), max(column, 0)
    bottom, right = min(row + shape[0], whole[0]), min(column + shape[1], whole[1])
    if top >= bottom or left >= right:
        return empty, None
    here = slice(top - row, bottom - row), slice(left - column, right - column)
    return empty, (here, (top, left, bottom - top, right - left))


def dem_lattice(
    path: Path,
    *,
    frame: Frame,
    near: tuple[float, float] = (0.0, 0.0),
    crs: str | None = None,
    height_unit: str | None = None,
    survey: Tin | None = None,
) -> Lattice:
    """Open a DEM as a lattice.

    Map projections bend a lattice a little: one metre on the ground at `near` is within a few
    millimetres of one metre on the lattice a kilometre away.

    Parameters
    ----------
    path : Path
        Any raster the raster library opens; the first band holds the heights.
    frame : Frame
        Local frame of the site.
    near : tuple of float
        Where the lattice is to be true: the middle of the land. [m]
    crs, height_unit : str or None
        As in `read_dem`.
    survey : Tin or None
        The surveyed surface, if there is one.

    Raises
    ------
    InputError
        As `read_dem` does.
    """
    with open_raster(path) as dataset:
        transform, file_crs, factor = grid_of(dataset, path, crs=crs, height_unit=height_unit)
        shape = (int(dataset.height), int(dataset.width))
        try:
            easting, northing = frame.to_crs(file_crs, np.array([near[0]]), np.array([near[1]]))
            turn = longitude_turn(dataset, transform, easting, northing)
            row, column = (
                np.round(value[0]) + np.array([-8.0, 8.0])
                for value in place(transform, easting + turn, northing)
            )
            easting, northing = middles(transform, row, column)
            x, y = frame.from_crs(file_crs, easting - turn, northing)
        except ValueError as error:
            raise raster_error(path, str(error), "check `site.crs`") from error
    corner = np.array([x[0, 0], y[0, 0]])
    down = (np.array([x[1, 0], y[1, 0]]) - corner) / 16
    right = (np.array([x[0, 1], y[0, 1]]) - corner) / 16
    return Lattice(
        origin=corner - row[0] * down - column[0] * right,
        down=down,
        right=right,
        shape=shape,
        dem=DemFile(path, shape, factor, float(frame.local_height(0.0))),
        survey=survey,
    )


def survey_lattice(survey: Tin, *, cell: float) -> Lattice:
    """Lay a square lattice over a surveyed surface; rows run north, columns east.

    Parameters
    ----------
    survey : Tin
        The surface.
    cell : float
        Side of a cell. [m]
    """
    xmin, ymin, xmax, ymax = survey.bounds
    shape = (int((ymax - ymin) // cell) + 2, int((xmax - xmin) // cell) + 2)
    first = np.floor(np.array([xmin, ymin]) / cell) * cell
    return Lattice(
        origin=first,
        down=np.array([0.0, cell]),
        right=np.array([cell, 0.0]),
        shape=shape,
        dem=None,
        survey=survey,
    )
