"""The only door between the grid of a site and its local frame, and between kinds of north.

::

    crs.py        coordinate reference systems: text to object, unit, conversion between two
    magnetic.py   declination from the World Magnetic Model
    local.py      the local frame of a site

The local frame has its origin in the middle of the hinge axis, x along grid east, y along grid
north, z up, in metres on the ground. Bearings of the site file are bearings of this frame:
bearing b points to (sin b, cos b).
"""

from visual.frame.crs import LOCAL, crs_unit_metres
from visual.frame.local import EARTH_RADIUS, Frame, make_frame
from visual.frame.magnetic import Declination, declination_and_uncertainty

__all__ = [
    "EARTH_RADIUS",
    "LOCAL",
    "Declination",
    "Frame",
    "crs_unit_metres",
    "declination_and_uncertainty",
    "make_frame",
]
