"""Level hints: the fronts for which both side anchors lie on the hinge line."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from visual.checks.on_the_way import tight_limit
from visual.crew.moved import with_front
from visual.crew.side_margin import SWUNG_SIDES, side_margin
from visual.model import Model, Vector
from visual.raising import find_start
from visual.raising.analysis import raise_angles
from visual.raising.wires import wire_change


@dataclass(frozen=True)
class FrontHint:
    """The fronts for which both side anchors are within the limits.

    Parameters
    ----------
    front : float
        Now, from grid north. [rad]
    nearest : float or None
        The nearest whole degree that fits; None if none does. [rad]
    fitting : tuple of (float, float)
        First and last of every run of whole degrees that fit, clockwise. [rad]
    best : float or None
        The whole degree with the most room, or the least excess; None if nothing is known. [rad]
    best_margin : float
        How far inside the limits it is; negative: outside. [m]
    """

    front: float
    nearest: float | None
    fitting: tuple[tuple[float, float], ...]
    best: float | None
    best_margin: float


def front_hint(model: Model, angles: Vector) -> FrontHint:
    """Return the fronts for which both side anchors are within the limits.

    Every whole degree is tried on the real ground, every anchor as planned.

    Parameters
    ----------
    model : Model
        The mast on its site.
    angles : ndarray, shape (n,)
        Raising angles of the raise as it is now. [rad]
    """
    front = model.rig.front
    level = np.concatenate([[min(angles[0], 0.0)], angles[angles > 0.0]])
    fronts = np.radians(np.arange(360.0))
    margins = _margins(model, fronts, level)
    near = sorted(fronts[margins >= 0], key=lambda b: abs(math.remainder(b - front, math.tau)))
    nearest = next((float(b) for b in near if _holds(model, float(b))), None)
    known = np.isfinite(margins)
    best = int(np.argmax(np.where(known, margins, -math.inf)))
    return FrontHint(
        front=front,
        nearest=nearest,
        fitting=tuple(_runs(margins >= 0)),
        best=float(fronts[best]) if known.any() else None,
        best_margin=float(margins[best]) if known.any() else math.nan,
    )


def _margins(model: Model, fronts: Vector, angles: Vector) -> Vector:
    """Return the margin of both side anchors for many fronts at once, shape (n,). [m]

    With f and z of the eye, c the height of the collar and D their distance:
    D²(θ) − D²(90°) = 2 c (f cos θ + z (1 − sin θ)).
    """
    least = np.full(len(fronts), math.inf)
    for side in SWUNG_SIDES:
        plan = model.rig.anchors[side]
        bearings = fronts + plan.nominal_bearing
        ground = model.ground.height(plan.radius * np.sin(bearings), plan.radius * np.cos(bearings))
        z = (ground + plan.eye_height)[:, np.newaxis]
        f = plan.radius * math.cos(plan.nominal_bearing)
        for level in range(len(model.rig.mast.collars)):
            collar = model.rig.mast.collars[level].height
            upright = plan.radius**2 + (collar - z) ** 2
            swung = upright + 2 * collar * (f * np.cos(angles) + z * (1 - np.sin(angles)))
            change = np.sqrt(swung) - np.sqrt(upright)
            # the stretch that is allowed grows with the length by parts in a thousand only
            tight = tight_limit(model, wire_change(model, side, level, angles))[0]
            slack = model.site.limits.side_wire_slack.value
            least = np.minimum(least, tight - change.max(axis=1))
            least = np.minimum(least, slack + change.min(axis=1))
    return np.where(np.isnan(least), -math.inf, least)


def _holds(model: Model, front: float) -> bool:
    """Return whether a front fits by the full geometry, from where its own raise begins."""
    turned = with_front(model, front)
    limits = model.site.limits
    start = find_start(
        turned, trestle=limits.trestle.value, head_clearance=limits.head_clearance.value
    )
    angles = raise_angles(start.angle)
    return all(side_margin(turned, side, angles) >= 0 for side in SWUNG_SIDES)


def _runs(fit: NDArray[np.bool_]) -> Iterator[tuple[float, float]]:
    """Return first and last of every run of whole degrees that fit, across north too. [rad]"""
    if fit.all():
        yield 0.0, math.radians(359.0)
        return
    for first in np.flatnonzero(fit & ~np.roll(fit, 1)):
        last = int(first)
        while fit[(last + 1) % 360]:
            last += 1
        yield math.radians(float(first)), math.radians(float(last % 360))
