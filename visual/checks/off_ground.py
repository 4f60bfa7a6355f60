"""Moving parts against the ground, certified for the whole raise."""

import math
from collections.abc import Iterator

from visual.checks.clearance import Closest, certified_minimum
from visual.checks.finding import Finding
from visual.checks.judge import as_place, degrees_or_none, not_checked, number, status_of_margin
from visual.checks.parts import head_and_rotor, outer_mast
from visual.checks.shapes import Shape, ground_shape
from visual.checks.sweep import MovingPart
from visual.model import Model
from visual.raising import Raise
from visual.site import Limit

LEVELLING = 0.002  # [m] the start angle is found on sampled points, so a hair is forgiven
AROUND = 1.0  # [m] ground beyond the part's own plan that can still be its nearest

RESTS = Limit(
    0.0, "the mast may rest on its trestle and on nothing else; common practice, no source"
)


def closest_ground(model: Model, part: MovingPart, raised: Raise) -> Closest | None:
    """Return the certified smallest distance of a part to the ground; None if that is unknown."""
    ground = _ground_around(model, part, raised)
    if not len(ground.triangles):
        return None
    end = float(raised.angles[-1])
    return certified_minimum(part, ground, start=raised.first_angle, end=end)


def _ground_around(model: Model, part: MovingPart, raised: Raise) -> Shape:
    """Return the ground below everything the part sweeps over."""
    plan = part.ends(raised.angles)[..., :2].reshape(-1, 2)
    spare = part.radius + AROUND
    xmin, ymin = (float(value) for value in plan.min(axis=0) - spare)
    xmax, ymax = (float(value) for value in plan.max(axis=0) + spare)
    return ground_shape(model.ground.triangles(xmin, ymin, xmax, ymax))


def judge_off_ground(model: Model, raised: Raise) -> list[Finding]:
    """Return a finding for mast, head and rotor each: least distance to the ground on the way."""
    return [_judge(model, raised, part, needed) for part, needed in _parts(model)]


def _parts(model: Model) -> Iterator[tuple[MovingPart, Limit[float]]]:
    yield outer_mast(model), RESTS
    for part in head_and_rotor(model):
        yield part, model.site.limits.head_clearance


def _judge(model: Model, raised: Raise, part: MovingPart, needed: Limit[float]) -> Finding:
    closest = closest_ground(model, part, raised)
    subject = f"{part.name} to ground"
    if math.isnan(raised.start.angle) or closest is None:
        reason = "the ground where the mast would lie is not known"
        return not_checked("off the ground", subject, reason)
    margin = closest.distance + LEVELLING - needed.value
    return Finding(
        check="off the ground",
        subject=subject,
        status=status_of_margin(margin),
        value=closest.distance,
        limit=needed.value,
        unit="m",
        margin=margin,
        angle=degrees_or_none(closest.angle),
        where=as_place(closest.at_part),
        message=f"{number(closest.distance)} at its nearest, from the start angle on",
        basis=needed.basis,
    )
