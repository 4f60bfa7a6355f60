"""How far what stands around is from the base, and from a cut through it, in plan."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import get_coordinates, shortest_line
from shapely.geometry import Point

from visual.checks.setback import plan_shapes
from visual.model import Model


@dataclass(frozen=True, kw_only=True)
class FromBase:
    """The distance of one thing from the base in plan.

    Parameters
    ----------
    kind, name : str
        What it is. A boundary is its line.
    distance : float
        From the hinge to the nearest place of it. [m]
    place : tuple of float
        That place. [m]
    """

    kind: str
    name: str
    distance: float
    place: tuple[float, float]


def from_base(model: Model, kinds: Iterable[str]) -> Iterator[FromBase]:
    """Yield everything of some kinds with its distance from the base."""
    for kind in kinds:
        for name, shape in plan_shapes(model, kind):
            line = shape.boundary if kind == "boundary" and shape.area > 0 else shape
            if line.is_empty:
                continue
            nearest = shortest_line(Point(0.0, 0.0), line)
            x, y, *_ = nearest.coords[-1]
            place = float(x), float(y)
            yield FromBase(kind=kind, name=name, distance=float(nearest.length), place=place)


def behind(
    model: Model, kinds: Iterable[str], *, at: NDArray[np.float64], normal: NDArray[np.float64]
) -> Iterator[tuple[float, str, str]]:
    """Yield kind and name of everything of some kinds, and how far beyond a line it begins.

    Parameters
    ----------
    model : Model
        The mast on its site.
    kinds : iterable of str
        Kinds.
    at, normal : ndarray, shape (2,)
        A point of the line in plan, and the level unit vector that points beyond it. [m]
    """
    for kind in kinds:
        for name, shape in plan_shapes(model, kind):
            depth = float(((get_coordinates(shape) - at) @ normal).min())
            yield depth, kind, name
