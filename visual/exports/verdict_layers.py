"""What was judged as layers: closest approaches, and findings that have a place."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Clearance, Finding, Report
from visual.exports.drawing import Item, Layer
from visual.exports.site_layers import number
from visual.units import UnitSystem


def verdict_layers(report: Report) -> Iterator[Layer]:
    """Yield the closest approaches, and the findings that ask for attention, worst first.

    What is farther away than the mast is high, and what is in order, would only cover the rest;
    both are in the tables.
    """
    yield Layer(
        key="closest_approaches",
        word="closest approach to each thing within the total height, at its raising angle",
        role="worst",
        items=tuple(_approach(one) for one in _worst_of_each(report)),
    )
    placed = (one for one in report.findings if one.where is not None and one.status != "ok")
    units = report.model.site.site.units
    yield Layer(
        key="findings",
        word="findings that ask for attention and have a place",
        role="worst_mark",
        plan="places",
        items=tuple(_finding(one, units) for one in placed),
    )


def _worst_of_each(report: Report) -> Iterator[Clearance]:
    reach = report.model.rig.mast.total_height
    for obstacle in report.around.obstacles:
        of_this = [one for one in report.clearances if one.obstacle is obstacle]
        near = [one for one in of_this if one.closest.distance <= reach]  # a NaN is not
        if near:
            yield min(near, key=lambda one: one.margin)


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


def _finding(one: Finding, units: UnitSystem) -> Item:
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
            "message": one.message.in_units(units),
            "basis": one.basis,
        },
        at=np.array(one.where, dtype=float),
    )
