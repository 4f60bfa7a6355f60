"""Moving parts against the ground, certified for the whole raise."""

import functools
import math
from collections.abc import Iterator, Sequence

import numpy as np

from visual.checks.clearance import Closest, certified_minima_of_all, nearer_of
from visual.checks.finding import Finding
from visual.checks.first_raise import lower_span, said_when
from visual.checks.judge import as_place, degrees_or_none, not_checked, status_of_margin
from visual.checks.kept_minima import MinimaOf
from visual.checks.parts import head_and_rotor, outer_mast
from visual.checks.shapes import Shape, ground_shape
from visual.checks.sweep import MovingPart
from visual.model import Model
from visual.raising import Raise
from visual.raising.motion import Array
from visual.site import Limit
from visual.units import metres, say

LEVELLING = 0.002  # [m] the start angle is found on sampled points, so a hair is forgiven
AROUND = 1.0  # [m] ground beyond the part's own plan that can still be its nearest

RESTS = Limit(
    0.0, "the mast may rest on its trestle and on nothing else; common practice, no source"
)


def closest_ground(
    model: Model,
    part: MovingPart,
    raised: Raise,
    *,
    lower: MovingPart | None = None,
    minima_of: MinimaOf = certified_minima_of_all,
) -> Closest | None:
    """Return the certified smallest distance of a part to the ground; None if that is unknown.

    Parameters
    ----------
    model : Model
        The mast on its site.
    part : MovingPart
        The part, from the start angle with the head on.
    raised : Raise
        The raise.
    lower : MovingPart or None
        The same part on the first raise, below that angle; None: it is not there.
    minima_of : callable
        What finds the minima.
    """
    parts, angles = [part], [raised.angles]
    spans = [(raised.first_angle, float(raised.angles[-1]))]
    if lower is not None and raised.first is not None:
        parts.append(lower)
        angles.append(raised.first.angles)
        spans.append(lower_span(raised.first))
    ground = _ground_around(model, parts, angles)
    if not len(ground.triangles):
        return None
    found = minima_of(parts, [ground], spans=spans)
    return functools.reduce(nearer_of, (one for (one,) in found))


def _ground_around(model: Model, parts: Sequence[MovingPart], angles: Sequence[Array]) -> Shape:
    """Return the ground below everything that parts sweep over, each at its own angles."""
    places = [one.ends(at)[..., :2].reshape(-1, 2) for one, at in zip(parts, angles, strict=True)]
    plan = np.concatenate(places)
    spare = max(part.radius for part in parts) + AROUND
    xmin, ymin = (float(value) for value in plan.min(axis=0) - spare)
    xmax, ymax = (float(value) for value in plan.max(axis=0) + spare)
    return ground_shape(model.ground.triangles(xmin, ymin, xmax, ymax))


def judge_off_ground(
    model: Model, raised: Raise, *, minima_of: MinimaOf = certified_minima_of_all
) -> list[Finding]:
    """Return a finding for mast, head and rotor each: least distance to the ground on the way."""
    return list(_findings(model, raised, minima_of))


def _findings(model: Model, raised: Raise, minima_of: MinimaOf) -> Iterator[Finding]:
    mast = outer_mast(model)
    closest = closest_ground(model, mast, raised, lower=mast, minima_of=minima_of)
    yield _judge(raised, mast, RESTS, closest)
    for part in head_and_rotor(model):
        needed = model.site.limits.head_clearance
        closest = closest_ground(model, part, raised, minima_of=minima_of)
        yield _judge(raised, part, needed, closest)


def _judge(
    raised: Raise, part: MovingPart, needed: Limit[float], closest: Closest | None
) -> Finding:
    subject = f"{part.name} to ground"
    if math.isnan(raised.start.angle) or closest is None:
        reason = say("the ground where the mast would lie is not known")
        return not_checked("off the ground", subject, reason)
    margin = closest.distance + LEVELLING - needed.value
    when = said_when(raised, closest.angle) or ", from the start angle on"
    return Finding(
        check="off the ground",
        subject=subject,
        status=status_of_margin(margin),
        value=closest.distance,
        limit=needed.value,
        bound="at least",
        unit="m",
        margin=margin,
        angle=degrees_or_none(closest.angle),
        where=as_place(closest.at_part),
        message=say("{} at its nearest{}", metres(closest.distance), when),
        basis=needed.basis,
    )
