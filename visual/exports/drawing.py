"""What is exported, before it is a file: named layers of things with every form they have.

A thing may be a place, lines, plan areas and a solid at once. Each file format takes the forms
that it can hold, so that all files say the same.

All coordinates are in the local frame: x grid east, y grid north, z up, origin at the hinge. [m]
NaN as z means: no height is known there.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from visual.frame import Frame

Points = NDArray[np.float64]
"""Points, shape (n, 3). [m]"""

Solid = tuple[Points, NDArray[np.int32]]
"""Vertices, shape (n, 3) [m], and triangles, shape (m, 3), counter-clockwise from outside."""

Polygon = tuple[Points, ...]
"""Closed rings, the outer one first and holes after it, each shape (n, 3). [m]"""

Plan = Literal["areas", "lines", "places"]
"""What things are in plan."""

Value = str | float | bool | None
"""An attribute; None where a value does not exist. Names of numbers end in their unit."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Item:
    """One thing.

    Parameters
    ----------
    name : str
        Its name on this site, in any script.
    attributes : mapping of str to Value
        What else is known of it.
    at : ndarray, shape (3,), or None
        Where it is, as one place. [m]
    paths : tuple of ndarray, each shape (n, 3)
        Lines; a closed one repeats its first point. [m]
    areas : tuple of Polygon
        The ground it takes up, in plan, each corner on the ground. [m]
    top : float or None
        Level z up to which it stands on its areas as an upright prism; None if it does not. [m]
    solid : Solid or None
        Its surface. [m]
    cover : Solid or None
        Its areas laid on the ground as triangles. [m]
    """

    name: str
    attributes: Mapping[str, Value] = field(default_factory=dict)
    at: Points | None = field(default=None, repr=False)
    paths: tuple[Points, ...] = field(default=(), repr=False)
    areas: tuple[Polygon, ...] = field(default=(), repr=False)
    top: float | None = None
    solid: Solid | None = field(default=None, repr=False)
    cover: Solid | None = field(default=None, repr=False)

    @property
    def rings(self) -> tuple[Points, ...]:
        """Every ring of its areas, shape (n, 3) each. [m]"""
        return tuple(ring for polygon in self.areas for ring in polygon)

    @property
    def lines(self) -> tuple[Points, ...]:
        """Its lines, or the edges of its areas if it has none. [m]"""
        return self.paths or self.rings


@dataclass(frozen=True, eq=False, kw_only=True)
class Layer:
    """Things of one subject.

    Parameters
    ----------
    key : str
        Name of the layer, table or node in a file: lower-case ASCII and underscores.
    word : str
        What it holds, in a few words.
    role : str
        Key into `visual.scene.style.ROLES`: its colour.
    faces_role : str
        Likewise, of its faces; empty if they are coloured as its lines.
    plan : {"areas", "lines", "places"}
        What most of its things are in plan.
    items : tuple of Item
        The things.
    on_ground : bool
        True if its lines and areas lie on the ground, False if they have heights of their own.
    named : bool
        True if a drawing shows the names of its things.
    """

    key: str
    word: str
    role: str
    faces_role: str = ""
    plan: Plan = "lines"
    items: tuple[Item, ...] = field(repr=False)
    on_ground: bool = False
    named: bool = False


@dataclass(frozen=True, eq=False, kw_only=True)
class Drawing:
    """All layers of one site.

    Parameters
    ----------
    site : str
        Name of the site, in any script.
    crs : str
        The site's CRS, or ``"local"``.
    date : str
        Date of the site file, ``"2026-06-01"``; empty if it states none.
    standing : str
        How sure the positions are, and what the files are not, in a sentence or two.
    frame : Frame
        Door between local frame and the site's grid.
    layers : tuple of Layer
        From the ground up; none is empty.
    """

    site: str
    crs: str
    date: str
    standing: str
    frame: Frame = field(repr=False)
    layers: tuple[Layer, ...] = field(repr=False)

    def items_of(self, *keys: str) -> tuple[Item, ...]:
        """Return the things of layers; nothing where there is no such layer."""
        return tuple(item for one in self.layers if one.key in keys for item in one.items)

    def to_grid(self, points: Points) -> Points:
        """Return points as easting, northing [unit of the CRS] and height [m], shape (n, 3)."""
        easting, northing = self.frame.to_grid(points[:, 0], points[:, 1])
        return np.column_stack([easting, northing, self.frame.height(points[:, 2])])

    def to_degrees(self, points: Points) -> Points:
        """Return points as longitude, latitude [deg, WGS 84] and height [m], shape (n, 3).

        The height stays that of the site's height system; it is none above the ellipsoid.

        Raises
        ------
        ValueError
            If the site has no place on Earth, or no datum shift to WGS 84 is known.
        """
        longitude, latitude = self.frame.geographic(points[:, 0], points[:, 1])
        return np.column_stack([longitude, latitude, self.frame.height(points[:, 2])])


def known_runs(path: Points) -> Iterator[Points]:
    """Yield the pieces of a line whose heights are known, of at least two points each."""
    known = np.isfinite(path).all(axis=1)
    for run in np.split(path, np.flatnonzero(np.diff(known)) + 1):
        if len(run) > 1 and np.isfinite(run[0]).all():
            yield run
