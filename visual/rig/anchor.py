"""The four ground anchors as planned or as built."""

import math
from dataclasses import dataclass
from typing import Literal, get_args

Side = Literal["front", "right", "back", "left"]

SIDES: tuple[Side, ...] = get_args(Side)
"""The four sides, clockwise as seen from above, starting at the front."""


@dataclass(frozen=True)
class AnchorPlan:
    """What the site file says of one anchor.

    Parameters
    ----------
    side : {"front", "right", "back", "left"}
        Which anchor.
    radius : float
        Horizontal distance from the base. [m]
    turn : float
        Clockwise off the nominal bearing. [rad]
    eye_height : float
        Eye above the ground. [m]
    capacity : float or None
        Working load of the anchor; None where not stated. [N]
    built_at : tuple of float or None
        Easting and northing in the site's grid where it really is; None while only planned.
    built_height : float or None
        Height of the eye in the site's height system; None where not measured. [m]
    built_accuracy : float or None
        One standard deviation of that place against the hinge, in the direction of its wires;
        None where not stated. [m]
    """

    side: Side
    radius: float
    turn: float
    eye_height: float
    capacity: float | None = None
    built_at: tuple[float, float] | None = None
    built_height: float | None = None
    built_accuracy: float | None = None

    @property
    def nominal_bearing(self) -> float:
        """Clockwise from the front, turn included. [rad]"""
        return SIDES.index(self.side) * math.pi / 2 + self.turn
