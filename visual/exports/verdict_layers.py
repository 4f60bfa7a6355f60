"""What was judged as layers: closest approaches, and findings that have a place."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Clearance, Finding, Report
from visual.exports.drawing import Item, Layer
from visual.exports.site_layers import number


def verdict_layers(report: Report) -> Iterator[Layer]:
    """Yield the closest approach to every obstacle, and the placed findings, worst first."""
    yield Layer(
        key="closest_approaches",
        word="closest approach of any part to each thing around, at its raising angle",
        role="worst",
        items=tuple(_approach(one) for one in _worst_of_each(report)),
    )
    yield Layer(
        key="findings",
        word="findings that have a place; all of them are in the table of findings",
        role="worst_mark",
        items=tuple(_finding(one) for one in report.findings if one.where is not None),
    )


def _worst_of_each(report: Report) -> Iterator[Clearance]:
    for obstacle in report.around.obstacles:
        of_this = [
            one
            for one in report.clearances
            if one.obstacle is obstacle and math.isfinite(one.closest.distance)
        ]
        if of_this:
            yield min(of_this, key=lambda one: one.margin)


def _approach(one: Clearance) -> Item:
    closest, required = one.closest, one.obstacle.requirement
    ends = np.array([closest.at_part, closest.at_obstacle], dtype=float)
    touching = bool(np.allclose(ends[0], ends[1], atol=1e-6))
    return Item(
        name=f"{one.part} to {one.obstacle.name}",
        attributes={
            "part": one.part,
            "thing": one.obstacle.name,
            "distance_m": number(closest.distance),
            "required_m": number(required.distance),
            "margin_m": None if required.distance is None else number(one.margin),
            "angle_deg": number(math.degrees(closest.angle)),
            "basis": required.basis,
        },
        at=ends[0],
        paths=() if touching else (ends,),
    )


def _finding(one: Finding) -> Item:
    return Item(
        name=f"{one.check}: {one.subject}",
        attributes={
            "check": one.check,
            "subject": one.subject,
            "status": one.status,
            "value": number(one.value),
            "limit": number(one.limit),
            "margin": number(one.margin),
            "unit": one.unit,
            "angle_deg": number(one.angle),
            "message": one.message,
            "basis": one.basis,
        },
        at=np.array(one.where, dtype=float),
    )
