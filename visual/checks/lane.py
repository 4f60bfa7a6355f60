"""Checks of the strips of ground that the raise needs: the lane in front, the laydown behind."""

import math
from collections.abc import Iterator

import numpy as np
from shapely.geometry import LineString, Polygon

from visual.checks.finding import Finding, Status
from visual.checks.judge import not_checked
from visual.checks.setback import plan_shapes
from visual.checks.tow_parts import VEHICLE_LENGTH
from visual.model import Model, Surroundings
from visual.raising import Raise
from visual.units import Quantity, say

PRACTICE = "common practice, no source"
LAYDOWN_WIDTH = 2.0  # [m] room for a person on either side of the mast

BLOCKING: dict[str, Status] = {
    "building": "stop",
    "tree": "stop",
    "water": "stop",
    "keep_out": "stop",
    "road": "caution",
}
"""What may not lie in a strip, and what needs arranging first."""


def lane_strip(model: Model, raised: Raise) -> Polygon | None:
    """Return the plan of the ground the vehicle drives on; None if there is no such place. [m]"""
    if model.rig.tow.by != "vehicle" or np.isnan(raised.tow.distance).any():
        return None
    inner = float(np.nanmin(raised.hitch_distances))
    outer = float(np.nanmax(raised.hitch_distances)) + VEHICLE_LENGTH
    return _strip(model, inner, outer, width=model.site.limits.lane_width.value)


def laydown_strip(model: Model) -> Polygon:
    """Return the plan of the ground the mast lies over. [m]"""
    head = model.rig.mast.head
    width = max(LAYDOWN_WIDTH, head.rotor_diameter if head else 0.0)
    return _strip(model, 0.0, -model.rig.mast.reach, width=width)


def judge_strips(model: Model, raised: Raise) -> list[Finding]:
    """Return findings on what lies in the lane or under the laid mast."""
    findings = list(_judge_strip(model, "laydown", "laid mast", laydown_strip(model)))
    lane = lane_strip(model, raised)
    if lane is not None:
        findings += _judge_strip(model, "tow lane", "tow lane", lane)
    return findings


def _judge_strip(model: Model, check: str, subject: str, strip: Polygon) -> Iterator[Finding]:
    """Yield a finding for everything in the strip; trees under a laid mast are clearances."""
    blocked = False
    for kind, status in BLOCKING.items():
        for name, shape in plan_shapes(model, kind):
            if shape.intersects(strip):
                blocked = True
                yield _in_the_way(model, check, f"{subject} and {name}", status, strip, shape)
    for name, shape in plan_shapes(model, "boundary"):
        beyond = strip.difference(shape)
        if shape.area > 0 and not beyond.is_empty:
            blocked = True
            yield _in_the_way(model, check, f"{subject} over {name}", "caution", strip, beyond)
    if not blocked and model.surroundings == Surroundings():
        yield not_checked(check, f"{subject} in plan", say("no surroundings are known"))
    elif not blocked:
        yield Finding(
            check=check,
            subject=f"{subject} in plan",
            status="ok",
            message=say(
                "{} of ground with nothing known in the way", Quantity(float(strip.area), "m2")
            ),
            basis=PRACTICE,
        )


def _in_the_way(
    model: Model, check: str, subject: str, status: Status, strip: Polygon, shape: Polygon
) -> Finding:
    place = shape.intersection(strip).representative_point()
    height = float(model.ground.height(place.x, place.y))
    return Finding(
        check=check,
        subject=subject,
        status=status,
        where=None if math.isnan(height) else (place.x, place.y, height),
        message=say(
            "in the way; turn the front or move the base"
            if status == "stop"
            else "needs arranging before the day of the raise"
        ),
        basis=PRACTICE,
    )


def _strip(model: Model, inner: float, outer: float, *, width: float) -> Polygon:
    """Return a strip along the front bearing between two distances from the base. [m]"""
    ahead = model.forward[:2]
    line = LineString([inner * ahead, outer * ahead])
    return line.buffer(width / 2, cap_style="flat")
