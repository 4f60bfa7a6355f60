"""The way of a table down the sheets: how far it is, and when the next sheet is begun."""

from collections.abc import Callable

from visual.scene.style import FAINT_INK, RGB
from visual.sheets.page import Pen, Sheet

NextSheet = Callable[[], Sheet]
"""Starts the sheet that a table goes on to."""

HEAD_FILL: RGB = (236, 234, 230)
"""Ground of the headings of all tables."""

RULE = Pen(width=0.13, color=FAINT_INK)
"""Line between rows of all tables."""

_BESIDE, _ABOVE, _BELOW = 3.0, 4.0, 2.0  # free space around a table in the body of a sheet [mm]


class WayDown:
    """Where on which sheet a table has got to.

    Parameters
    ----------
    sheet : Sheet
        Where it starts.
    next_sheet : callable
        Starts the next sheet.
    y : float
        Top of the table. [mm]
    first : float or None
        Top on the following sheets; None: 4 mm below the top of the body. [mm]
    low : float or None
        How far down rows may reach; None: 2 mm above the end of the body. [mm]
    """

    def __init__(
        self,
        sheet: Sheet,
        next_sheet: NextSheet,
        *,
        y: float,
        first: float | None = None,
        low: float | None = None,
    ) -> None:
        self.sheet, self.y = sheet, y
        self._next = next_sheet
        self._first = sheet.body.top + _ABOVE if first is None else first
        self._low = sheet.body.bottom - _BELOW if low is None else low

    @property
    def room(self) -> float:
        """Room that is left on this sheet. [mm]"""
        return self._low - self.y

    @property
    def most_room(self) -> float:
        """Room of a sheet that nothing is on yet. [mm]"""
        return self._low - self._first

    @property
    def at_the_top(self) -> bool:
        """Whether a next sheet would be no better than this one."""
        return self.y <= self._first

    def turn_over(self) -> None:
        """Go on to the next sheet."""
        self.sheet, self.y = self._next(), self._first


def table_place(sheet: Sheet, left: float | None, width: float | None) -> tuple[float, float]:
    """Return left side and width of a table; for None the body less 3 mm on each side. [mm]"""
    left = sheet.body.left + _BESIDE if left is None else left
    return left, sheet.body.right - _BESIDE - left if width is None else width
