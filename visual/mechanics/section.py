"""Cross-section properties of round tubes."""

import math


def tube_area(*, outer_diameter: float, wall: float) -> float:
    """Return the metal area of a round tube. [m²]

    ``A = π/4 (D² − d²)``: any handbook, e.g. Mott, Machine Elements in Mechanical Design,
    Table A16-6.

    Parameters
    ----------
    outer_diameter, wall : float
        Outer diameter and wall thickness. [m]
    """
    inner = outer_diameter - 2 * wall
    return math.pi / 4 * (outer_diameter**2 - inner**2)


def tube_second_moment(*, outer_diameter: float, wall: float) -> float:
    """Return the second moment of area of a round tube about a diameter. [m⁴]

    ``I = π/64 (D⁴ − d⁴)``: same source as `tube_area`.

    Parameters
    ----------
    outer_diameter, wall : float
        Outer diameter and wall thickness. [m]
    """
    inner = outer_diameter - 2 * wall
    return math.pi / 64 * (outer_diameter**4 - inner**4)
