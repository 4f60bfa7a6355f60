"""Zones on the ground as layers: fall zone, setbacks, tow lane, laydown."""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np

from visual.checks import FallZone, Report, Setback
from visual.checks.judge import NEAR, status_of_margin
from visual.checks.lane import lane_strip, laydown_strip
from visual.exports.draping import draped, edges, grid_cover, on_ground, polygons
from visual.exports.drawing import Item, Layer, Plan, Value
from visual.model import Model
from visual.scene.surroundings import paths_of
from visual.units import format_length

_RAYS = 24  # rings of the net that covers a round zone
_OWN = 0.02  # the line of a setback from the boundary does not follow the boundary itself [m]


def zone_layers(report: Report) -> Iterator[Layer]:
    """Yield all zones."""
    model, zone = report.model, report.fall_zone
    zones: tuple[tuple[str, str, str, Plan, tuple[Item, ...]], ...] = (
        (
            "fall_zone_circle",
            "fall zone: circle of the rules",
            "fall_circle",
            "areas",
            (_circle(model, zone),),
        ),
        (
            "fall_zone_contact",
            "fall zone: ground a falling mast can touch",
            "fall_zone_edge",
            "areas",
            (_contact(model, zone),),
        ),
        (
            "setback_lines",
            "lines that setbacks keep the mast behind",
            "setback",
            "lines",
            tuple(item for one in report.setbacks for item in _setback_line(model, one)),
        ),
        (
            "setback_distances",
            "shortest distances that setbacks are measured along",
            "dimension",
            "lines",
            tuple(_setback_distance(model, one) for one in report.setbacks),
        ),
        ("laydown", "ground the mast lies over", "laydown_edge", "areas", (_laydown(model),)),
        ("tow_lane", "ground the vehicle drives on", "lane_edge", "areas", tuple(_lane(report))),
    )
    for key, word, role, plan, items in zones:
        yield Layer(key=key, word=word, role=role, plan=plan, items=items, on_ground=True)


def _circle(model: Model, zone: FallZone) -> Item:
    ring = np.asarray(zone.circle.exterior.coords)
    return Item(
        name="fall zone: circle of the rules",
        attributes={"radius_m": zone.circle_radius, "area_m2": zone.circle_area},
        areas=polygons(model, zone.circle),
        paths=(draped(model, ring),),
    )


def _contact(model: Model, zone: FallZone) -> Item:
    """Return the contact zone; each corner is as far from the hinge as the mast is high."""
    contact = on_ground(model, np.asarray(zone.contact.exterior.coords))
    shares = np.linspace(0.02, 1.0, _RAYS)
    # rings run clockwise with the bearings, so the inner one lies to the right of the outer one
    net = [share * contact[:, :2] for share in shares]
    return Item(
        name="fall zone: ground a falling mast can touch",
        attributes={
            "total_height_m": zone.total_height,
            "area_m2": zone.contact_area,
            "ground_known_everywhere": zone.complete,
        },
        areas=polygons(model, zone.contact),
        paths=(contact,),
        cover=grid_cover(model, net),
    )


def _verdict(one: Setback) -> dict[str, Value]:
    return {
        "to": one.to,
        "thing": one.name,
        "measured_from": one.measured_from,
        "required_m": one.required,
        "distance_m": one.distance,
        "margin_m": one.margin,
        "status": status_of_margin(one.margin, near=NEAR),
        "basis": one.basis,
    }


def _setback_line(model: Model, one: Setback) -> Iterator[Item]:
    outline = _outline(model, one)
    paths = tuple(draped(model, path) for path in paths_of(outline))
    if paths:
        name = f"{format_length(one.required, model.site.site.units)} from {one.name}"
        yield Item(name=name, attributes=_verdict(one), paths=paths)


def _outline(model: Model, one: Setback) -> Any:
    """Return the line at the distance a setback asks for; for a boundary, on its land only."""
    band = one.shape.buffer(one.required)
    for land in model.surroundings.areas_of("boundary") if one.to == "boundary" else ():
        if land.name == one.name and land.shape.area > 0:
            own = land.shape.boundary.buffer(_OWN)
            return band.intersection(land.shape).boundary.difference(own)
    return band.boundary


def _setback_distance(model: Model, one: Setback) -> Item:
    name = f"{one.measured_from.replace('_', ' ')} to {one.name}"
    ends = np.array(one.nearest)
    touching = math.dist(*one.nearest) < 1e-6
    return Item(
        name=name,
        attributes=_verdict(one),
        at=on_ground(model, ends)[0],
        paths=() if touching else (draped(model, ends),),
    )


def _laydown(model: Model) -> Item:
    strip = laydown_strip(model)
    return Item(
        name="ground the mast lies over",
        attributes={"length_m": model.rig.mast.reach, "area_m2": strip.area},
        areas=polygons(model, strip),
        paths=edges(model, strip),
    )


def _lane(report: Report) -> Iterator[Item]:
    lane = lane_strip(report.model, report.raised)
    if lane is not None:
        yield Item(
            name="tow lane",
            attributes={
                "travel_m": float(report.raised.tow.travel[-1]),
                "width_m": report.model.site.limits.lane_width.value,
                "area_m2": lane.area,
            },
            areas=polygons(report.model, lane),
            paths=edges(report.model, lane),
        )
