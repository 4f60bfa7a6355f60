"""Head and rotor against the ground, certified for the whole raise."""

import math

import numpy as np

from visual.checks.clearance import certified_minimum
from visual.checks.finding import Finding
from visual.checks.judge import as_place, degrees_or_none, not_checked, number, status_of_margin
from visual.checks.parts import rigid_ground_parts
from visual.checks.shapes import Shape, ground_shape
from visual.checks.sweep import MovingPart
from visual.model import Model
from visual.raising import Raise

LEVELLING = 0.002  # [m] the start angle is found on sampled points, so a hair is forgiven
LOW_ENOUGH = math.radians(45.0)  # above this the head is far from any ground it came from


def judge_off_ground(model: Model, raised: Raise) -> list[Finding]:
    """Return a finding for head and rotor each: least distance to the ground on the way up."""
    parts = rigid_ground_parts(model)
    if not parts:
        return []
    ground = ground_shape(_ground_below(model))
    unknown = math.isnan(raised.start.angle) or not len(ground.triangles)
    if unknown:
        reason = "the ground where the mast would lie is not known"
        return [not_checked("off the ground", part.name, reason) for part in parts]
    return [_judge(model, raised, part, ground) for part in parts]


def _ground_below(model: Model) -> np.ndarray:
    """Return the ground triangles around the laid mast, shape (n, 3, 3). [m]"""
    reach = model.rig.mast.reach * 1.1
    side = (model.rig.mast.head.rotor_diameter if model.rig.mast.head else 0.0) + 1.0
    ahead, aside = model.forward[:2], model.rightward[:2]
    corners = np.array([a * ahead + b * aside for a in (-reach, 0) for b in (-side, side)])
    (xmin, ymin), (xmax, ymax) = corners.min(axis=0), corners.max(axis=0)
    return model.ground.triangles(float(xmin), float(ymin), float(xmax), float(ymax))


def _judge(model: Model, raised: Raise, part: MovingPart, ground: Shape) -> Finding:
    needed = model.site.limits.head_clearance
    end = max(LOW_ENOUGH, raised.first_angle)
    closest = certified_minimum(part, ground, start=raised.first_angle, end=end)
    margin = closest.distance + LEVELLING - needed.value
    return Finding(
        check="off the ground",
        subject=f"{part.name} to ground",
        status=status_of_margin(margin),
        value=closest.distance,
        limit=needed.value,
        unit="m",
        margin=margin,
        angle=degrees_or_none(closest.angle),
        where=as_place(closest.at_part),
        message=f"{number(closest.distance)} on the way up from the start angle",
        basis=needed.basis,
    )
