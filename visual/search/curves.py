"""What the rings can leave at most, as curves over the height of an anchor's eye.

At one anchor all that counts is how high its eye lies above the hinge. So wire angles, and what
tight, slack and laydown leave together at the best start angle there could be, are worked out once
for steps of that height; in the search each is one look-up. The value of a step is never less than
what holds anywhere within it.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from visual.search.level import Level
from visual.search.numbers import Numbers
from visual.search.tables import Tables

STEP = 0.004
"""Of the eye's height. [m]"""

_BEYOND = 1.0  # [m] that curves go on where the wire angles leave nothing any more
_UPRIGHTMOST = math.radians(85.0)  # of limits of wire angles: beyond, nothing is bounded


class Curves(NamedTuple):
    """Curves of each ring; all of them upper bounds.

    Parameters
    ----------
    first : ndarray of float32, shape (rings,)
        Lowest height of an eye above the hinge. [m]
    wire : ndarray of float32, shape (rings, steps)
        What the wire angles leave.
    sides : ndarray of float32, shape (rings, steps)
        The least of that and of what tight, slack and laydown leave, if it is a side anchor.
    """

    first: NDArray[np.float32]
    wire: NDArray[np.float32]
    sides: NDArray[np.float32]


def make_curves(n: Numbers, level: Level, tables: Tables) -> Curves:
    """Work out the curves of a search; see `Curves`."""
    from visual.search.kernel import fill_curve

    rings = tables.ring.offset.shape[0]
    spans = [_span(n, ring) for ring in range(rings)]
    count = math.ceil(max(last - first for first, last in spans) / STEP)
    wire, sides = np.empty((rings, count)), np.empty((rings, count))
    for ring, (first, _) in enumerate(spans):
        eyes = first + STEP * np.arange(count + 1)
        of_wire, of_change = np.empty(count + 1), np.empty(count + 1)
        fill_curve(eyes, ring, ring if rings > 1 else 1, n, level, of_wire, of_change)
        wire[ring] = _at_most(of_wire)
        sides[ring] = np.minimum(wire[ring], _at_most(of_change))
    return Curves(
        np.array([first for first, _ in spans], dtype=np.float32),
        wire.astype(np.float32),
        sides.astype(np.float32),
    )


def _span(n: Numbers, side: int) -> tuple[float, float]:
    """Return between which heights the wire angles of an anchor can leave anything. [m]"""
    radius, high = float(n.anchor_radius[side]), min(n.wire_high, _UPRIGHTMOST)
    ends = (
        float(n.collars.max(initial=0.0)) - radius * math.tan(high),
        float(n.collars.min(initial=n.length)) - radius * math.tan(n.wire_low),
    )
    return min(ends) - _BEYOND, max(ends) + _BEYOND


def _at_most(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return bounds of the steps between values: where two slopes meet it is a little more.

    What lies beyond the ends is read at the last step. So it may only bound if it leaves nothing.
    """
    change = np.pad(np.abs(np.diff(values)), 1, mode="edge")
    steepest = np.maximum(np.maximum(change[:-2], change[2:]), change[1:-1])
    bound = np.maximum(values[:-1], values[1:]) + steepest / 2
    for end in (0, -1):
        if bound[end] > 0.0:
            bound[end] = 1.0
    return np.asarray(bound)
