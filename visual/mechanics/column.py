"""Struts: Euler's load, and bending of a strut with its own weight and a bow.

Sources: S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd edition 1961, p. 7–9
(uniform load and thrust), p. 32 (bow) and p. 46–47 (Euler); pages from memory.  The equation of
the pinned strut under uniform load was read in T. H. G. Megson, §8.4; its solution is worked out
again, as a differential equation, in the tests.
"""

import math
from dataclasses import dataclass

BOW = 0.002
"""Bow of a tube over its length: EN 10210-2, 0.20 % (read in two printed tables of it). [1]"""


@dataclass(frozen=True)
class Strut:
    """A strut pinned at both ends.

    Parameters
    ----------
    length : float
        Between the pins. [m]
    flexural : float
        Bending stiffness EI. [N m²]
    """

    length: float
    flexural: float

    @property
    def euler_load(self) -> float:
        """Thrust at which it buckles, π² EI/L². [N]"""
        return math.pi**2 * self.flexural / self.length**2


def uniform_load_moment(strut: Strut, *, load: float, thrust: float) -> float:
    """Return the moment at mid-length under a uniform load across and a thrust. [N m]

    ``M = w L²/8 · 2 (sec u − 1)/u²`` with ``u = L/2 · sqrt(P/EI)``.

    Parameters
    ----------
    strut : Strut
        Length and stiffness.
    load : float
        Load per length across the strut. [N/m]
    thrust : float
        Compression, 0 or more; at or beyond Euler's load the moment is infinite. [N]
    """
    plain = load * strut.length**2 / 8
    if thrust >= strut.euler_load:
        return math.inf
    u = strut.length / 2 * math.sqrt(max(thrust, 0.0) / strut.flexural)
    if u < 1e-3:
        return plain * (1 + 5 / 12 * u**2)  # the first terms of the series, good to 1e-12
    # sec u − 1 without the loss of digits that 1/cos u − 1 has
    return plain * 4 * math.sin(u / 2) ** 2 / (math.cos(u) * u**2)


def amplification(thrust: float, *, critical: float) -> float:
    """Return how much a thrust enlarges a bow or a first-order moment, 1/(1 − P/P_cr). [1]

    Infinite at or beyond the critical thrust; 1 under tension.
    """
    if thrust >= critical:
        return math.inf
    return 1 / (1 - max(thrust, 0.0) / critical)


def bow_moment(strut: Strut, *, thrust: float, bow: float = BOW) -> float:
    """Return the moment at mid-length of a strut with a sine-shaped bow. [N m]

    Parameters
    ----------
    strut : Strut
        Length and stiffness.
    thrust : float
        Compression. [N]
    bow : float
        Bow before loading over the length. [1]
    """
    if thrust <= 0.0:
        return 0.0
    return thrust * bow * strut.length * amplification(thrust, critical=strut.euler_load)


def edge_stress(*, thrust: float, moment: float, area: float, modulus: float) -> float:
    """Return the largest stress of a section, |P|/A + |M|/W. [Pa]

    Parameters
    ----------
    thrust : float
        Axial force of either sign. [N]
    moment : float
        Bending moment. [N m]
    area : float
        Metal area. [m²]
    modulus : float
        Section modulus. [m³]
    """
    return abs(thrust) / area + abs(moment) / modulus
