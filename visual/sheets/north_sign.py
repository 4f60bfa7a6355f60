"""The north arrow of a drawing that is turned."""

import math

from visual.scene.style import INK
from visual.sheets.page import Pen, Sheet


def draw_north(sheet: Sheet, x: float, y: float, *, turn: float, size: float = 10.0) -> None:
    """Draw an arrow to north with its letter, its middle at x, y.

    Parameters
    ----------
    sheet : Sheet
        Where.
    x, y : float
        Middle. [mm]
    turn : float
        How far north lies clockwise from the upper edge of the paper. [rad]
    size : float
        Length of the arrow. [mm]
    """
    up, right = (math.sin(turn), -math.cos(turn)), (math.cos(turn), math.sin(turn))

    def at(along: float, across: float) -> tuple[float, float]:
        return (
            x + size * (along * up[0] + across * right[0]),
            y + size * (along * up[1] + across * right[1]),
        )

    half = [at(0.5, 0.0), at(-0.5, 0.22), at(-0.32, 0.0)]
    other = [at(0.5, 0.0), at(-0.5, -0.22), at(-0.32, 0.0)]
    sheet.area([half], INK)
    sheet.lines([other], Pen(width=0.2), closed=True)
    # the letter stays upright beside the foot, so that it reads however the arrow is turned
    letter = at(-0.72, 0.0)
    points = 1.6 * size * 0.5
    sheet.text(letter[0], letter[1] - 0.22 * size, "N", size=points, bold=True, align="center")
