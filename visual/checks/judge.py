"""Turning a number and a limit into a finding, the same way everywhere."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from visual.checks.finding import Finding, Status
from visual.units import Sentence, say

UNPLACED = say("the ground at its anchor is not known")

NEAR = 0.5  # [m] a margin smaller than this is worth a second look: setting out is no better


def status_of_margin(margin: float, *, near: float = 0.0) -> Status:
    """Return stop below zero, caution below `near`, ok above, and not checked for NaN."""
    if math.isnan(margin):
        return "not checked"
    if margin < 0.0:
        return "stop"
    return "caution" if margin < near else "ok"


def not_checked(
    check: str, subject: str, reason: Sentence, *, basis: str = "", missing: str = ""
) -> Finding:
    """Return a finding that says plainly that, and why, nobody looked.

    `missing` is the key of the site file that would let it be checked.
    """
    return Finding(
        check=check,
        subject=subject,
        status="not checked",
        message=reason,
        basis=basis,
        missing=missing,
    )


def degrees_or_none(angle: float | None) -> float | None:
    """Return an angle [rad] in degrees; None stays None, and so becomes NaN."""
    return None if angle is None or math.isnan(angle) else math.degrees(angle)


def as_place(point: Sequence[float] | NDArray[np.float64]) -> tuple[float, float, float] | None:
    """Return a point as plain numbers; None where any of them is unknown. [m]"""
    x, y, z = (float(value) for value in point)
    return None if math.isnan(x + y + z) else (x, y, z)
