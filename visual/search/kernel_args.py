"""What kernels are handed, bundled: ground, rig, and room to work in."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from visual.search.cover import Cover
from visual.search.curves import Curves
from visual.search.level import Level
from visual.search.numbers import Numbers
from visual.search.tables import Tables

Array = NDArray[np.float64]


class Ground(NamedTuple):
    """The ground of a window.

    Parameters
    ----------
    heights : ndarray of float32, shape (nodes,)
        Ground, row by row, for the rings. [m]
    exact : ndarray, shape (nodes,)
        The same in double precision, for close looks. [m]
    fields : ndarray of float32, shape (FIELDS, nodes)
        Distances in plan that are left over. [m]
    active : ndarray of bool, shape (FIELDS,)
        Which fields hold anything.
    width : int
        Columns of the window.
    """

    heights: NDArray[np.float32]
    exact: Array
    fields: NDArray[np.float32]
    active: NDArray[np.bool_]
    width: int


class Rig(NamedTuple):
    """What is put up, and where it is looked at.

    Parameters
    ----------
    tables, cover, n, level : Tables, Cover, Numbers, Level
        Samples, discs, the rig in numbers and what level ground leaves it.
    curves : Curves
        What the rings can leave at most.
    """

    tables: Tables
    cover: Cover
    n: Numbers
    level: Level
    curves: Curves


class Room(NamedTuple):
    """Room for the looks of one thread.

    Parameters
    ----------
    behind, front : ndarray
        Profiles behind and in front of a place, above its hinge. [m]
    eyes : ndarray, shape (4,)
        Eyes of the anchors above the hinge. [m]
    found : ndarray, shape (4,)
        Start angle [rad], where the hitch begins and ends [m], and start angle without the head.
    shares : ndarray, shape (SHARES,)
        What is left by cause; NaN where nobody looked.
    """

    behind: Array
    front: Array
    eyes: Array
    found: Array
    shares: Array


def ground_of(heights: Array, fields: NDArray[np.float32], active: NDArray[np.bool_]) -> Ground:
    """Return the ground of a window from its heights, shape (width, width) [m], and fields."""
    exact = np.ascontiguousarray(heights, dtype=np.float64).ravel()
    return Ground(exact.astype(np.float32), exact, fields, active, heights.shape[1])
