"""Wind on slender parts.

Velocity pressure ``q = 0.613 V²`` in Pa and m/s (read; half of 1.225 kg/m³).  Force coefficient
of a round tube 1.2, as below the drag crisis: all fluid handbooks, EN 1991-1-4 figure 7.28
(from memory); a 4 inch tube at 10 m/s has a Reynolds number of 8e4, well below.
"""

TUBE_FORCE = 1.2
"""Force coefficient of a round tube or wire across the wind (from memory). [1]"""

BLADE_FORCE = 1.5
"""Force coefficient of a stopped blade: IEC 61400-2 simplified load model (from memory). [1]"""


def velocity_pressure(speed: float) -> float:
    """Return the pressure of a wind [m/s]. [Pa]"""
    return 0.613 * speed**2


def tube_load(speed: float, *, diameter: float) -> float:
    """Return the load per length on a round tube across the wind. [N/m]

    Parameters
    ----------
    speed : float
        Wind speed across. [m/s]
    diameter : float
        Outer diameter. [m]
    """
    return TUBE_FORCE * velocity_pressure(speed) * diameter
