"""Moving parts against the ground, certified for the whole raise."""

import math

from visual.checks.clearance import Closest
from visual.checks.finding import Finding
from visual.checks.first_raise import said_when
from visual.checks.judge import as_place, degrees_or_none, not_checked, status_of_margin
from visual.checks.over_ground import OverGround, find_over_ground
from visual.model import Model
from visual.raising import Raise
from visual.site import Limit
from visual.units import metres, say

LEVELLING = 0.002  # [m] the start angle is found on sampled points, so a hair is forgiven

RESTS = Limit(
    0.0, "the mast may rest on its trestle and on nothing else; common practice, no source"
)


def judge_off_ground(
    model: Model, raised: Raise, over_ground: OverGround | None = None
) -> list[Finding]:
    """Return a finding for mast, head and rotor each: least distance to the ground on the way.

    Parameters
    ----------
    model, raised : Model, Raise
        The mast on its site, and its raise.
    over_ground : mapping or None
        What `find_over_ground` found, where that is worked out already.
    """
    limits = {"mast": RESTS, **dict.fromkeys(("head", "rotor"), model.site.limits.head_clearance)}
    found = find_over_ground(model, raised, limits) if over_ground is None else over_ground
    return [
        _judge(raised, name, limit, found[name]) for name, limit in limits.items() if name in found
    ]


def _judge(raised: Raise, name: str, needed: Limit[float], closest: Closest | None) -> Finding:
    subject = f"{name} to ground"
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
