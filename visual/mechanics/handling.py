"""Lifting by hand: walking up a pole that is hinged at its foot.

Reference masses: NIOSH, revised lifting equation, load constant 23 kg (read); ISO 11228-1,
25 kg for men in ideal conditions (from memory).  Both are for ideal lifts; walking a pole up
over rough ground is none, so people counted from them are the least that will do.
"""

import math

REFERENCE_MASS = 23.0
"""Most that one person should lift in ideal conditions: NIOSH load constant (read). [kg]"""

REFERENCE_MASS_ISO = 25.0
"""The same for men in ISO 11228-1 (from memory). [kg]"""

REACH = 1.5
"""Height at which people walking under a pole hold it: common practice, no source. [m]"""


def recommended_mass(
    *, horizontal: float, height: float, travel: float, turned: float = 0.0
) -> float:
    """Return NIOSH's recommended weight limit as a mass, coupling and frequency ideal. [kg]

    ``23 · HM · VM · DM · AM`` with HM = 25/H, VM = 1 − 0.003 |V − 75|, DM = 0.82 + 4.5/D in
    centimetres (read) and AM = 1 − 0.0032 A in degrees (from memory).

    Parameters
    ----------
    horizontal : float
        Hands in front of the ankles. [m]
    height : float
        Hands above the floor at the start. [m]
    travel : float
        Height of the lift. [m]
    turned : float
        Angle by which the body is turned. [rad]
    """
    h, v, d = (max(100 * value, 0.0) for value in (horizontal, height, travel))
    across = min(1.0, 25 / h) if h else 1.0
    up = max(0.0, 1 - 0.003 * abs(v - 75))
    far = min(1.0, 0.82 + 4.5 / d) if d else 1.0
    return REFERENCE_MASS * across * up * far * (1 - 0.0032 * math.degrees(turned))


def grip_distance(angle: float, *, length: float, reach: float = REACH) -> float:
    """Return where on the pole the hands are, from its foot: at the tip until it is too high. [m]

    Parameters
    ----------
    angle : float
        Pole above horizontal. [rad]
    length : float
        Foot to tip. [m]
    reach : float
        Greatest height of the hands above the foot. [m]
    """
    rise = math.sin(angle)
    return length if rise * length <= reach else reach / rise


def hand_force(moment: float, *, distance: float) -> float:
    """Return the force square to the pole that holds it. [N]

    Parameters
    ----------
    moment : float
        Moment of the weights about the foot. [N m]
    distance : float
        From the foot to the hands. [m]
    """
    return moment / distance


def people_needed(force: float, *, gravity: float, mass: float = REFERENCE_MASS) -> int:
    """Return how many people share a force, each no more than a reference mass."""
    return max(1, math.ceil(force / (mass * gravity) - 1e-9))
