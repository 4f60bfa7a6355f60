"""A search as tiles that know nothing of each other: what one tile needs, in one record."""

import math
from dataclasses import dataclass, field
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from visual.errors import InputError
from visual.ground import Lattice
from visual.model import Model
from visual.search.around import Around, around_of
from visual.search.cover import Cover, make_cover
from visual.search.curves import Curves, make_curves
from visual.search.level import Level, level_of
from visual.search.numbers import Ball, Numbers, balls_of, numbers_of
from visual.search.tables import Tables, looker, make_tables, reach_of

Array = NDArray[np.float64]

TILE = 128
"""Places along the side of a tile."""

FINEST = 32
"""Places along the side of a cell at most: the ground says nothing that fine."""

MOST_PLACES = 400_000_000
"""Places in the box around the land at most: the result takes twelve bytes for each."""

NEARLY = 0.02
"""So much of a cell a step may be off: map projections stretch cells a little."""


@dataclass(frozen=True, eq=False)
class Job:
    """All that the tiles of a search have in common; it can be sent to another process.

    Parameters
    ----------
    lattice : Lattice
        The ground.
    land : shapely geometry
        Where bases are looked for. [m]
    around : Around
        What stands around.
    numbers, balls, level : Numbers, tuple of Ball, Level
        The rig, and what it has left on level ground.
    curves : Curves
        What the rings of anchors can leave at most.
    tables, cover : tuple of Tables, tuple of Cover
        Samples and discs, one entry per shift of the places in their cell.
    shifts : tuple of (float, float)
        These shifts, in shares of a row and a column.
    stride : int
        Nodes from one place to the next of the same shift.
    tile : int
        Places along the side of a tile.
    margin : int
        Nodes around a tile that are needed too.
    first : tuple of int
        Row and column, in strides, of the first place of the first tile.
    tiles : tuple of int
        How many tiles there are along rows and columns.
    rotor_low, rotor_above, rotor_within : float
        Lowest point of the rotor above the hinge; what it is to be above things; how near a thing
        counts. NaN without a rotor. [m]
    """

    lattice: Lattice
    land: BaseGeometry = field(repr=False)
    around: Around = field(repr=False)
    numbers: Numbers = field(repr=False)
    balls: tuple[Ball, ...]
    level: Level = field(repr=False)
    curves: Curves = field(repr=False)
    tables: tuple[Tables, ...] = field(repr=False)
    cover: tuple[Cover, ...] = field(repr=False)
    shifts: tuple[tuple[float, float], ...]
    stride: int
    tile: int
    margin: int
    first: tuple[int, int]
    tiles: tuple[int, int]
    rotor_low: float
    rotor_above: float
    rotor_within: float

    @property
    def parts(self) -> int:
        """Places along the side of a cell."""
        return math.isqrt(len(self.shifts))

    @property
    def width(self) -> int:
        """Nodes along the side of a tile's window."""
        return self.tile * self.stride + 2 * self.margin + 2

    @property
    def count(self) -> int:
        """Number of tiles."""
        return self.tiles[0] * self.tiles[1]

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of all places, of all shifts."""
        size = self.tile * self.parts
        return self.tiles[0] * size, self.tiles[1] * size

    @property
    def step(self) -> float:
        """Distance from place to place. [m]"""
        return self.lattice.cell * self.stride / self.parts

    def place(self, row: ArrayLike, column: ArrayLike) -> tuple[Array, Array]:
        """Return x and y of places by row and column of the whole search. [m]"""
        share = self.stride / self.parts
        return self.lattice.places(
            self.first[0] * self.stride + np.asarray(row) * share,
            self.first[1] * self.stride + np.asarray(column) * share,
        )


def make_job(
    model: Model,
    lattice: Lattice,
    land: BaseGeometry,
    *,
    step: float,
    bearings: int,
    tile: int = TILE,
) -> Job:
    """Prepare a search.

    Parameters
    ----------
    model : Model
        The rig, its limits, and what stands around.
    lattice : Lattice
        The ground.
    land : shapely geometry
        Where bases are looked for. [m]
    step : float
        Distance from place to place; taken as the next smaller one that fits the lattice. [m]
    bearings : int
        Front bearings, evenly around; a multiple of 4.
    tile : int
        Places along the side of a tile; of longer steps fewer, so that its ground is the same.
    """
    n, balls = numbers_of(model), balls_of(model)
    stride = max(1, math.floor(step / lattice.cell + NEARLY))
    parts = 1 if stride > 1 else max(1, math.ceil(lattice.cell / step - NEARLY))
    _refuse_odd(lattice, land, step=step, parts=parts)
    tile = max(8, math.ceil(tile / parts)) if stride == 1 else max(1, tile // stride)
    margin = math.ceil((reach_of(n, balls) + 2.0) / lattice.cell) + 2
    width = tile * stride + 2 * margin + 2
    shifts = tuple((i / parts, j / parts) for i in range(parts) for j in range(parts))
    make = partial(make_tables, lattice, n, balls, bearings=bearings, width=width)
    tables = tuple(make(shift=shift) for shift in shifts)
    look, cover = partial(looker, lattice, width=width), partial(make_cover, model, n)
    first, tiles = _tiling(lattice, land, stride=stride, tile=tile)
    (low, above, within), level = _rotor(model), level_of(model, n, tables[0], width=width)
    return Job(
        lattice=lattice,
        land=land,
        around=around_of(model),
        numbers=n,
        balls=balls,
        level=level,
        curves=make_curves(n, level, tables[0]),
        tables=tables,
        cover=tuple(cover(look(shift), tables[0].bearings) for shift in shifts),
        shifts=shifts,
        stride=stride,
        tile=tile,
        margin=margin,
        first=first,
        tiles=tiles,
        rotor_low=low,
        rotor_above=above,
        rotor_within=within,
    )


def _refuse_odd(lattice: Lattice, land: BaseGeometry, *, step: float, parts: int) -> None:
    """Refuse steps that ask for more than there is: of land, of ground, or of memory."""
    xmin, ymin, xmax, ymax = land.bounds
    rule = way_out = ""
    if parts > FINEST:
        rule = f"there are more than {FINEST} places along a cell of the ground"
        way_out = f'give a step of "{math.ceil(1000 * lattice.cell / FINEST)} mm" or more'
    elif step > max(xmax - xmin, ymax - ymin) and step > lattice.cell:
        rule, way_out = "it is longer than the land", "give a step that fits in it several times"
    elif (xmax - xmin) * (ymax - ymin) / step**2 > MOST_PLACES:
        rule = f"there are more than {MOST_PLACES:,} places".replace(",", " ")
        way_out = "give a longer step, or search the land in pieces"
    if rule:
        raise InputError.one(file="--step", key="", value=step, rule=rule, way_out=way_out)


def _rotor(model: Model) -> tuple[float, float, float]:
    """Return the numbers of a job that tell of the rotor; NaN for its lowest point without one."""
    mast, limits = model.rig.mast, model.site.limits
    radius = mast.head.rotor_radius if mast.head else 0.0
    low = mast.hub_above_hinge - radius if radius > 0 else math.nan
    return low, limits.rotor_above.value, limits.rotor_within.value


def _tiling(
    lattice: Lattice, land: BaseGeometry, *, stride: int, tile: int
) -> tuple[tuple[int, int], tuple[int, int]]:
    """Return the first place, in strides, and the number of tiles that cover the land.

    The first place does not depend on the size of the tiles, nor does any other.
    """
    xmin, ymin, xmax, ymax = land.bounds
    rows, columns = lattice.index(
        np.array([xmin, xmin, xmax, xmax]), np.array([ymin, ymax, ymin, ymax])
    )
    first = math.floor(rows.min() / stride), math.floor(columns.min() / stride)
    last = math.ceil(rows.max() / stride), math.ceil(columns.max() / stride)
    tiles = tuple(max(1, math.ceil((b - a + 1) / tile)) for a, b in zip(first, last, strict=True))
    return first, (tiles[0], tiles[1])
