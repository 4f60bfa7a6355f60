"""A round tube: the material of mast sections and gin poles."""

from dataclasses import dataclass

from visual.mechanics.section import tube_area, tube_second_moment

STEEL_DENSITY = 7850.0  # [kg/m³] EN 1991-1-1:2002, Table A.4 gives 77.0–78.5 kN/m³ (from memory)
STEEL_MODULUS = 210e9  # [Pa] EN 1993-1-1:2005, 3.2.6 (from memory)
STEEL_YIELD = 235e6  # [Pa] grade S235, the lowest common structural grade


@dataclass(frozen=True)
class Tube:
    """One length of round tube.

    Parameters
    ----------
    length : float
        Length along the axis. [m]
    outer_diameter : float
        Outer diameter. [m]
    wall : float
        Wall thickness. [m]
    density : float
        Mass per volume. [kg/m³]
    modulus : float
        Young's modulus. [Pa]
    yield_strength : float
        Yield strength. [Pa]
    """

    length: float
    outer_diameter: float
    wall: float
    density: float = STEEL_DENSITY
    modulus: float = STEEL_MODULUS
    yield_strength: float = STEEL_YIELD

    @property
    def area(self) -> float:
        """Metal area of the cross-section. [m²]"""
        return tube_area(outer_diameter=self.outer_diameter, wall=self.wall)

    @property
    def second_moment(self) -> float:
        """Second moment of area about a diameter. [m⁴]"""
        return tube_second_moment(outer_diameter=self.outer_diameter, wall=self.wall)

    @property
    def mass(self) -> float:
        """Mass of the tube. [kg]"""
        return self.density * self.area * self.length
