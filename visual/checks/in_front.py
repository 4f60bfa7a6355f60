"""Checks of what happens in front: gin pole, tow line and lane."""

import math
from dataclasses import dataclass

import numpy as np

from visual.checks.clearance import Closest
from visual.checks.finding import Finding
from visual.checks.first_raise import said_when, worse_sample, worse_strike
from visual.checks.judge import (
    UNPLACED,
    as_place,
    degrees_or_none,
    not_checked,
    status_of_margin,
)
from visual.checks.over_ground import OverGround, find_over_ground
from visual.model import Model
from visual.raising import Raise, Strike, TowPath
from visual.units import Sentence, degrees, metres, say

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Room:
    """Room between a part and the ground: a certified distance, or a depth if it is in the ground.

    Parameters
    ----------
    value : float
        Distance; negative: height of the ground above the part. [m]
    angle : float
        Raising angle. [rad]
    where : tuple of float
        Place on the part. [m]
    """

    value: float
    angle: float
    where: tuple[float, float, float]

    @classmethod
    def of(
        cls, depth: float, angle: float, where: tuple[float, float, float], closest: Closest
    ) -> "Room":
        """Take the sampled height above the ground if below 0, else the certified distance."""
        if depth < 0.0:
            return cls(depth, angle, where)
        x, y, z = (float(value) for value in closest.at_part)
        return cls(closest.distance, closest.angle, (x, y, z))


def judge_gin_pole(
    model: Model, raised: Raise, over_ground: OverGround | None = None
) -> list[Finding]:
    """Return the finding on the gin pole against the ground in front; see `judge_off_ground`."""
    strike = worse_strike(raised)
    found = find_over_ground(model, raised, ("gin pole",)) if over_ground is None else over_ground
    closest = found["gin pole"]
    if math.isnan(strike.least_room) or closest is None:
        reason = say("the ground in front is not known")
        return [not_checked("gin tip", "gin pole to ground", reason)]
    room = Room.of(strike.least_room, strike.at_angle, strike.where, closest)
    needed = model.site.limits.ground_clearance
    margin = room.value - needed.value
    accuracy = float(model.ground.accuracy_at(room.where[0], room.where[1]))
    return [
        Finding(
            check="gin tip",
            subject="gin pole to ground",
            status=status_of_margin(margin, near=accuracy),
            value=room.value,
            limit=needed.value,
            bound="at least",
            unit="m",
            margin=margin,
            angle=degrees_or_none(room.angle),
            where=room.where,
            message=say("{}{}", _gin_advice(strike, margin), said_when(raised, room.angle)),
            basis=needed.basis,
        )
    ]


def _gin_advice(strike: Strike, margin: float) -> Sentence:
    if strike.strikes_at is not None:
        return say(
            "strikes the slope at {}, before the mast is upright; raise the hinge, cut the slope, "
            "or make the angle to the mast smaller",
            degrees(strike.strikes_at, decimals=1),
        )
    if margin < 0:
        return say("nearly touches the slope in front; raise the hinge or cut the slope")
    return say("distance of the pole from the ground at its nearest")


def judge_tow(model: Model, raised: Raise, over_ground: OverGround | None = None) -> list[Finding]:
    """Return findings on tow line and lane; see `judge_off_ground`."""
    if np.isnan(raised.tow.distance).any():
        return [_no_lane(model, raised.tow)]
    found = find_over_ground(model, raised, ("tow line",)) if over_ground is None else over_ground
    findings = [_judge_line(raised, found["tow line"])]
    if np.isnan(raised.hitch_distances).any() and raised.first is not None:
        findings += [_no_lane(model, raised.first.tow, when=", first raise")]
    if model.rig.tow.by == "vehicle":
        findings += [_judge_slope(model, raised)]
    return findings


def _no_lane(model: Model, path: TowPath, *, when: str = "") -> Finding:
    subject = f"vehicle and tow line{when}"
    if np.isnan(path.lane.height).any():
        reason = say("the ground along the lane is not known as far as the line reaches")
        return not_checked("tow lane", subject, reason)
    uses_anchor = model.rig.tow.by == "winch" or model.rig.tow.through_front_anchor
    if uses_anchor and not model.anchors["front"].placed:
        return not_checked("tow lane", f"tow line{when}", UNPLACED)
    pole, line = model.rig.gin_pole.length, model.rig.tow.line_length
    return Finding(
        check="tow lane",
        subject=subject,
        status="stop",
        value=line,
        unit="m",
        message=say(
            "no place on the lane stretches a line of {} from a pole of {}; use a longer line",
            metres(line),
            metres(pole),
        ),
        basis="the line keeps its length",
    )


def _judge_line(raised: Raise, closest: Closest | None) -> Finding:
    first, sampled = raised.first, raised.line_ground
    if first is not None and not np.isnan(first.tow.distance).any():
        sampled = worse_sample(sampled, first.line_ground)
    if math.isnan(sampled.least_room) or closest is None:
        reason = say("the ground under it is not known")
        return not_checked("tow line", "tow line to ground", reason)
    room = Room.of(sampled.least_room, sampled.at_angle, sampled.where, closest)
    touches = room.value <= 0.0
    said = (
        "lies on a hump, where it chafes and pulls at another angle than computed{}"
        if touches
        else "clears the ground when tight{}"
    )
    return Finding(
        check="tow line",
        subject="tow line to ground",
        status="caution" if touches else "ok",
        value=room.value,
        limit=0.0,
        bound="at least",
        unit="m",
        margin=room.value,
        angle=degrees_or_none(room.angle),
        where=room.where,
        message=say(said, said_when(raised, room.angle)),
        basis=PRACTICE,
    )


def _judge_slope(model: Model, raised: Raise) -> Finding:
    """Return the steepest slope under the vehicle between first and last hitch place."""
    limit = model.site.limits.lane_slope
    lane = raised.tow.lane
    places = raised.hitch_distances
    inner, outer = float(np.nanmin(places)), float(np.nanmax(places))
    places = np.linspace(inner, outer, 200)
    slopes = lane.slope_at(places)
    if np.isnan(slopes).any():
        reason = say("the ground under the vehicle is not known everywhere")
        return not_checked("tow lane", "slope of the lane", reason, basis=limit.basis)
    worst = int(np.argmax(np.abs(slopes)))
    slope = float(slopes[worst])
    margin = limit.value - abs(slope)
    point = places[worst] * model.forward
    return Finding(
        check="tow lane",
        subject="slope of the lane",
        status=status_of_margin(margin),
        value=math.degrees(slope),
        limit=math.degrees(limit.value),
        bound="at most",
        unit="deg",
        margin=math.degrees(margin),
        where=as_place([point[0], point[1], float(lane.height_at(places[worst]))]),
        message=say(
            "driven from {} to {} in front of the base; positive slopes rise to the front",
            metres(inner),
            metres(outer),
        ),
        basis=limit.basis,
    )
