"""The contour through the base: where the ground is as high as at the mast.

A side anchor on it stands level with the base, so that its wires keep their length on the way up.
"""

import math

import numpy as np
from numpy.typing import NDArray

from visual.ground import Surface

_STEPS = 1440  # bearings around the base that are looked at; between them heights run straight
_LINE_STEPS = 480  # the same on each circle of the line, which is only drawn and kept to by hand
_SWERVE = math.radians(25.0)  # a contour that turns more from one circle to the next has ended
_FIRST_SWERVE = math.radians(60.0)  # on the first circle, off square to the way down the slope


def level_bearings(ground: Surface, *, radius: float) -> tuple[float, float] | None:
    """Return the two grid bearings, in 0 … 2π, at which the ground is as high as at the base.

    Parameters
    ----------
    ground : Surface
        The ground in the local frame.
    radius : float
        How far from the base. [m]

    Returns
    -------
    tuple of float or None
        The first one lies to the right of the way down the slope at the base; None where the
        ground does not tell: it is level or unknown, or all of it rises or falls there. [rad]
    """
    fall = _fall(ground, radius)
    if math.isnan(fall):
        return None
    found = _levels(ground, np.array([radius]), _STEPS)[0]
    ends = [_nearest(found, fall + side * math.pi / 2, math.pi / 2) for side in (1, -1)]
    right, left = ends
    return None if right is None or left is None else (right, left)


def level_fronts(ground: Surface, *, radius: float) -> tuple[float, float] | None:
    """Return the two fronts that put both side anchors at `radius` as level as can be. [rad]

    The first one points down the slope, so that the mast lies uphill; the second the other way.
    """
    bearings = level_bearings(ground, radius=radius)
    if bearings is None:
        return None
    right, left = bearings
    # the middle of what looks to the right: `right` itself, and the opposite of `left`
    across = right + _turn(right, left + math.pi) / 2
    down = (across - math.pi / 2) % math.tau
    return down, (down + math.pi) % math.tau


def level_line(ground: Surface, *, reach: float, step: float = 1.0) -> NDArray[np.float64]:
    """Return the contour through the base as far as it can be followed.

    Parameters
    ----------
    ground : Surface
        The ground in the local frame.
    reach : float
        How far from the base at most. [m]
    step : float
        Distance between circles about the base on which it is followed. [m]

    Returns
    -------
    ndarray, shape (n, 3)
        From one end through the base to the other; the base alone where there is no contour. [m]
    """
    fall = _fall(ground, step)
    circles = np.arange(step, reach + step / 2, step)
    found = _levels(ground, circles, _LINE_STEPS)
    right, left = (_arm(circles, found, fall + side * math.pi / 2) for side in (1, -1))
    plan = np.array([*reversed(right), (0.0, 0.0), *left])
    return np.column_stack([plan, ground.height(plan[:, 0], plan[:, 1])])


def _arm(
    circles: NDArray[np.float64], found: list[NDArray[np.float64]], bearing: float
) -> list[tuple[float, float]]:
    """Follow a contour outward from circle to circle, beginning in a direction."""
    arm: list[tuple[float, float]] = []
    for radius, bearings in zip(circles, found, strict=True):
        following = _nearest(bearings, bearing, _SWERVE if arm else _FIRST_SWERVE)
        if following is None:
            break
        bearing = following
        arm.append((float(radius) * math.sin(bearing), float(radius) * math.cos(bearing)))
    return arm


def _fall(ground: Surface, radius: float) -> float:
    """Return the bearing the ground around the base falls to; NaN if to none. [rad]"""
    bearings = np.arange(_STEPS) * math.tau / _STEPS
    heights = ground.height(radius * np.sin(bearings), radius * np.cos(bearings))
    known = np.isfinite(heights)
    if not known.any() or np.ptp(heights[known]) < 1e-6:
        return math.nan
    lift = heights[known] - heights[known].mean()
    east, north = lift @ np.sin(bearings[known]), lift @ np.cos(bearings[known])
    return math.atan2(-east, -north) % math.tau if math.hypot(east, north) > 1e-9 else math.nan


def _levels(ground: Surface, circles: NDArray[np.float64], steps: int) -> list[NDArray[np.float64]]:
    """Return, for each circle, every bearing at which it crosses the height of the base. [rad]"""
    bearings = np.arange(steps + 1) * math.tau / steps
    x, y = np.outer(circles, np.sin(bearings)), np.outer(circles, np.cos(bearings))
    above = ground.height(x, y) - ground.height(0.0, 0.0)
    return [_crossings(bearings, row) for row in above]


def _crossings(bearings: NDArray[np.float64], above: NDArray[np.float64]) -> NDArray[np.float64]:
    here, there = above[:-1], above[1:]
    crossing = (here > 0) != (there > 0)
    crossing &= np.isfinite(here) & np.isfinite(there)
    share = here[crossing] / (here[crossing] - there[crossing])
    return np.asarray(bearings[:-1][crossing] + share * (bearings[1] - bearings[0]))


def _nearest(bearings: NDArray[np.float64], wanted: float, within: float) -> float | None:
    """Return the bearing nearest to the wanted one, in 0 … 2π; None if none is near enough."""
    if math.isnan(wanted) or not bearings.size:
        return None
    off = np.array([abs(_turn(wanted, one)) for one in bearings])
    best = int(off.argmin())
    return float(bearings[best]) % math.tau if off[best] <= within else None


def _turn(start: float, end: float) -> float:
    """Return the turn from one bearing to another, in −π … π. [rad]"""
    return (end - start + math.pi) % math.tau - math.pi
