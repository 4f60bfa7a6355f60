"""Contour lines at whole multiples of an interval above the datum."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from visual.ground.triangle import Array

MOST_LINES = 20
"""About how many contours `contour_interval` draws over the relief."""

MOST_CELLS = 400
"""Cells along the longer side of the grid that contours are drawn on."""

NUDGE = 1e-6
"""Contours run this much above their level, or level ground at it would be all contour. [m]"""


@dataclass(frozen=True, eq=False)
class ContourLine:
    """One line of equal height.

    Parameters
    ----------
    level : float
        Its height in the local frame, z. [m]
    path : ndarray, shape (n, 3)
        The line; a closed one repeats its first point. [m]
    """

    level: float
    path: Array = field(repr=False)


def contour_interval(relief: float, *, unit: float = 1.0) -> float:
    """Return an interval of 1, 2 or 5 times a power of ten that suits the relief. [m]

    Parameters
    ----------
    relief : float
        Highest minus lowest ground. [m]
    unit : float
        Metres per unit that the interval is round in: 0.3048 for feet. [m]
    """
    least = max(relief / unit / MOST_LINES, 0.1)
    power = 10.0 ** math.floor(math.log10(least) + 1e-9)
    return unit * power * next(k for k in (1, 2, 5, 10) if k * power >= least * (1 - 1e-9))


def draw_contours(
    height: Callable[[Array, Array], Array],
    bounds: tuple[float, float, float, float],
    *,
    interval: float,
    offset: float,
) -> tuple[ContourLine, ...]:
    """Draw the contours of a surface within a box.

    Parameters
    ----------
    height : callable
        Takes x and y, returns z; NaN where unknown. [m]
    bounds : tuple of float
        xmin, ymin, xmax, ymax. [m]
    interval : float
        Difference of height between contours. [m]
    offset : float
        True height of z = 0: levels are multiples of the interval in true height. [m]
    """
    xmin, ymin, xmax, ymax = bounds
    step = max(xmax - xmin, ymax - ymin) / MOST_CELLS
    x, y = (
        np.linspace(low, high, math.ceil((high - low) / step - 1e-9) + 1)
        for low, high in ((xmin, xmax), (ymin, ymax))
    )
    return grid_contours(x, y, height(*np.meshgrid(x, y)), interval=interval, offset=offset)


def grid_contours(
    x: Array, y: Array, z: Array, *, interval: float, offset: float
) -> tuple[ContourLine, ...]:
    """Draw the contours of a grid of heights.

    Parameters
    ----------
    x, y : ndarray, shape (columns,) and (rows,)
        Where its columns and rows are, growing. [m]
    z : ndarray, shape (rows, columns)
        Heights; NaN where unknown. [m]
    interval, offset : float
        As for `draw_contours`. [m]
    """
    if not np.isfinite(z).any():
        return ()
    import contourpy  # only pictures need it

    generator = contourpy.contour_generator(x, y, np.ma.masked_invalid(z), corner_mask=True)
    first = math.ceil((float(np.nanmin(z)) + offset) / interval - 1e-9)
    last = math.floor((float(np.nanmax(z)) + offset) / interval + 1e-9)
    lines = []
    for level in (k * interval - offset for k in range(first, last + 1)):
        for path in generator.lines(level + NUDGE):
            lines.append(ContourLine(level, np.insert(np.asarray(path, dtype=float), 2, level, 1)))
    return tuple(lines)
