"""What needs attention as layers: the closest approach of all."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Clearance, Report
from visual.scene.layers import AnyLayer, LabelLayer, LineLayer, MarkLayer, MarkShape, Points
from visual.units import format_length

CLOSEST = "only:closest"


def worst_clearance(report: Report) -> Clearance | None:
    """Return the clearance with the smallest margin, or None if nothing stands around."""
    known = [c for c in report.clearances if math.isfinite(c.closest.distance)]
    judged = [c for c in known if c.obstacle.requirement.distance is not None]
    if judged:
        return min(judged, key=lambda c: c.margin)
    return min(known, key=lambda c: c.closest.distance, default=None)


def closest_layers(report: Report) -> Iterator[AnyLayer]:
    """Return the shortest line between the worst part and its obstacle, with its length."""
    worst = worst_clearance(report)
    if worst is None:
        return
    ends = shortest_line(worst)
    required = worst.obstacle.requirement.distance
    # what nobody could judge must not look clear
    is_clear = required is not None and worst.margin >= 0
    role = "worst_clear" if is_clear else "worst"
    yield LineLayer(role=role, group=CLOSEST, name="closest approach", paths=(ends,))
    shape: MarkShape = "dot" if is_clear else "triangle"
    yield MarkLayer(role=f"{role}_mark", group=CLOSEST, name="ends", at=ends, shape=shape)
    yield LabelLayer(
        role="label" if is_clear else "warning",
        group=CLOSEST,
        name="closest approach",
        text=describe(report, worst),
        at=ends.mean(axis=0),
        priority=20,
        label_kind="warning",
    )


def shortest_line(worst: Clearance) -> Points:
    """Return the ends of the clearance on both surfaces, shape (2, 3). [m]"""
    part, obstacle = worst.closest.at_part, worst.closest.at_obstacle
    between = float(np.linalg.norm(obstacle - part))
    if between < 1e-9:
        return np.array([part, obstacle])
    way = (obstacle - part) / between
    behind = min(worst.obstacle.shape.radius, between)
    end = obstacle - behind * way
    return np.array([end - min(worst.closest.distance, between) * way, end])


def describe(report: Report, worst: Clearance) -> str:
    """Return a clearance in words."""
    units = report.model.site.site.units
    required = worst.obstacle.requirement.distance
    found = format_length(worst.closest.distance, units)
    word = "NOT CHECKED: "
    if required is not None:
        word = "TOO NEAR: " if worst.margin < 0 else "clear: "
    needs = "no table gives a distance"
    if required is not None:
        needs = f"needs {format_length(required, units)}"
    at = f"at {math.degrees(worst.closest.angle):.0f}°"
    return f"{word}{worst.part} to {worst.obstacle.name}\n{found} {at}, {needs}"
