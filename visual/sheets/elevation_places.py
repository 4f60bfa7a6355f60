"""Where elevations stand on the paper, and the standard scale that fits both."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.scene.camera import View
from visual.scene.furniture import looking
from visual.sheets.paper import Box
from visual.sheets.scales import fitting_scale
from visual.sheets.window import Window
from visual.units import UnitSystem

ROWS = 20.0
"""Room for rows of dimensions below the ground. [mm]"""

_EDGE = 14.0  # room for heights along the side of a drawing [mm]
_HEAD = 10.0  # room for its title [mm]
_STRIP = 48.0  # least height of the strip below [mm]
_PANEL = 96.0  # least width of the panel beside [mm]
_PAD = 3.0


@dataclass(frozen=True, eq=False)
class Elevation:
    """One elevation: how it looks and what it must show.

    Parameters
    ----------
    name : str
        What it is.
    view : View
        Where it is seen from, and which layers it shows.
    is_along : bool
        Whether it shows the raising plane.
    corners : ndarray, shape (2, 2)
        Least and most of what must be seen, to the right and up. [m]
    """

    name: str
    view: View
    is_along: bool
    corners: NDArray[np.float64] = field(repr=False)

    @property
    def title(self) -> str:
        """What stands over it."""
        return f"{self.name}, {looking(self.view)}"

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of what must be seen. [m]"""
        width, height = self.corners[1] - self.corners[0]
        return float(width), float(height)

    def window(self, box: Box, denominator: float) -> Window:
        """Return its window on a box of the paper."""
        right, up, _ = self.view.axes
        x, mm = float(self.corners[:, 0].mean()), 1000.0 / denominator
        # below the lowest there is room for rows of dimensions, and what is left over is sky
        below = (ROWS if self.is_along else ROWS / 2) / mm
        z = float(self.corners[0, 1]) - below + box.height / 2 / mm
        return Window(box, denominator, right, up, (x, z))


@dataclass(frozen=True)
class Arrangement:
    """Scale and places of both elevations.

    Parameters
    ----------
    scale : float
        One to this.
    boxes : tuple of Box
        Where they stand. [mm]
    rest : Box
        Room for tables, on the last sheet. [mm]
    is_apart : bool
        Whether each has a sheet of its own.
    """

    scale: float
    boxes: tuple[Box, Box]
    rest: Box
    is_apart: bool


def together(both: Sequence[Elevation], body: Box, units: UnitSystem) -> Arrangement:
    """Return both elevations side by side on one sheet, tables below."""
    (w1, h1), (w2, h2) = (one.size for one in both)
    high = max(h1, h2)
    rows = ROWS + _HEAD
    need = [(w1 + w2, body.width - 2 * _EDGE), (high, body.height - _STRIP - rows)]
    scale = fitting_scale(need, units)
    mm = 1000.0 / scale
    spare = body.width - (w1 + w2) * mm
    middle = body.left + w1 * mm + spare / 2
    # what the drawings do not need is for the tables
    foot = min(body.top + high * mm + rows + 6.0, body.bottom - _STRIP)
    room = body.part(bottom=foot)
    rest = Box(body.left + _PAD, foot + 2.0, body.right - _PAD, body.bottom - 1.5)
    return Arrangement(scale, (room.part(right=middle), room.part(left=middle)), rest, False)


def apart(both: Sequence[Elevation], body: Box, units: UnitSystem) -> Arrangement:
    """Return each elevation on a sheet of its own, tables beside the second."""
    (w1, h1), (w2, h2) = (one.size for one in both)
    high = body.height - ROWS - _HEAD
    need = [(w1, body.width - _EDGE), (h1, high), (w2, body.width - _PANEL - _EDGE), (h2, high)]
    scale = fitting_scale(need, units)
    right = body.left + w2 * 1000.0 / scale + _EDGE
    right = min(max(right, body.left + 0.5 * body.width), body.right - _PANEL)
    rest = Box(right + _PAD, body.top + _PAD, body.right - _PAD, body.bottom - 1.5)
    return Arrangement(scale, (body, body.part(right=right)), rest, True)
