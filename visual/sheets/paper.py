"""Paper: its sizes, and boxes on it. Millimetres from the upper left corner, x right, y down."""

from dataclasses import dataclass

POINT = 25.4 / 72
"""A typographic point. [mm]"""

MARGIN = 10.0
"""Paper outside of the frame, which a printer need not reach. [mm]"""


@dataclass(frozen=True)
class Box:
    """An upright rectangle on the paper.

    Parameters
    ----------
    left, top, right, bottom : float
        Its sides. [mm]
    """

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width. [mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height. [mm]"""
        return self.bottom - self.top

    @property
    def middle(self) -> tuple[float, float]:
        """Middle. [mm]"""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    @property
    def outline(self) -> list[tuple[float, float]]:
        """Corners, closed. [mm]"""
        a, b, c, d = self.left, self.top, self.right, self.bottom
        return [(a, b), (c, b), (c, d), (a, d), (a, b)]

    def shrunk(self, by: float) -> "Box":
        """Return a box smaller by `by` on every side. [mm]"""
        return Box(self.left + by, self.top + by, self.right - by, self.bottom - by)

    def part(
        self,
        *,
        left: float | None = None,
        top: float | None = None,
        right: float | None = None,
        bottom: float | None = None,
    ) -> "Box":
        """Return a box with some sides put elsewhere. [mm]"""
        return Box(
            self.left if left is None else left,
            self.top if top is None else top,
            self.right if right is None else right,
            self.bottom if bottom is None else bottom,
        )


@dataclass(frozen=True)
class Paper:
    """A size of paper, lying across.

    Parameters
    ----------
    name : str
        Its usual name.
    width, height : float
        Sides. [mm]
    """

    name: str
    width: float
    height: float

    @property
    def frame(self) -> Box:
        """The frame inside the margins."""
        return Box(MARGIN, MARGIN, self.width - MARGIN, self.height - MARGIN)


PAPERS = {
    "A3": Paper("A3", 420.0, 297.0),
    "A4": Paper("A4", 297.0, 210.0),
    "letter": Paper("letter", 279.4, 215.9),
    "tabloid": Paper("tabloid", 431.8, 279.4),
}
"""Paper by name. A4 and A3: ISO 216; letter and tabloid: ANSI/ASME Y14.1, sizes A and B."""
