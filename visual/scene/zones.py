"""Zones on the ground as layers: fall zone, setbacks, tow lane, laydown; stake-out dimensions."""

from collections.abc import Iterator
from typing import Any

import numpy as np

from visual.checks import FallZone, Report, Setback
from visual.checks.lane import lane_strip, laydown_strip
from visual.model import Model
from visual.scene.cut import hatch
from visual.scene.ground import draped_area, draped_line
from visual.scene.layers import AnyLayer, DimensionLayer
from visual.scene.surroundings import rings_of
from visual.scene.terrain import Terrain, circle
from visual.units import format_length

_HATCH = 3.5  # distance of hatch lines [m]
_SMOOTH = 0.05  # outlines are simplified by this much [m]


def zone_layers(report: Report, terrain: Terrain) -> list[AnyLayer]:
    """Return all zones on the ground."""
    return [
        *_setbacks(report.model, report.setbacks, terrain),
        *_fall_zone(report.fall_zone, terrain),
        *_strips(report, terrain),
        *stake_out(report.model),
    ]


def _fall_zone(zone: FallZone, terrain: Terrain) -> Iterator[AnyLayer]:
    outline = zone.reach[:, None] * np.column_stack([np.sin(zone.bearings), np.cos(zone.bearings)])
    ring = np.concatenate([outline, outline[:1]])
    yield from draped_area(terrain, [ring], role="fall_zone", group="zones", name="fall zone")
    yield draped_line(
        terrain,
        [circle(radius=zone.circle_radius)],
        role="fall_circle",
        group="zones",
        name="fall zone of the rule",
    )


def _setbacks(model: Model, setbacks: tuple[Setback, ...], terrain: Terrain) -> Iterator[AnyLayer]:
    """Return where the mast may not stand by any setback, as one area without overlaps."""
    whole: Any = None
    for setback in setbacks:
        band = _band(model, setback)
        whole = band if whole is None else whole.union(band)
    rings = [] if whole is None else rings_of(whole.simplify(_SMOOTH))
    if rings:
        yield from draped_area(terrain, rings, role="setback", group="setbacks", name="setback")
        yield draped_line(
            terrain,
            hatch(rings, spacing=_HATCH),
            role="setback_hatch",
            group="setbacks",
            name="setback",
        )


def _band(model: Model, setback: Setback) -> Any:
    """Return the plan area that a setback keeps free."""
    band = setback.shape.buffer(setback.required)
    if setback.shape.geom_type in ("Polygon", "MultiPolygon"):
        return band.difference(setback.shape)
    for land in model.surroundings.areas_of("boundary"):
        if setback.to == "boundary" and land.name == setback.name and land.shape.area > 0:
            return band.intersection(land.shape)
    return band


def _strips(report: Report, terrain: Terrain) -> Iterator[AnyLayer]:
    laydown = rings_of(laydown_strip(report.model))
    yield draped_line(
        terrain, laydown, role="laydown_edge", group="only:plan", name="ground the mast lies over"
    )
    lane = lane_strip(report.model, report.raised)
    if lane is not None:
        yield from draped_area(
            terrain, rings_of(lane), role="lane", group="only:plan", name="tow lane"
        )


def stake_out(model: Model) -> Iterator[DimensionLayer]:
    """Return the distance from the base to each anchor."""
    base = np.array([0.0, 0.0, model.base_ground])
    units = model.site.site.units
    for side, anchor in model.anchors.items():
        text = format_length(anchor.radius, units)
        yield DimensionLayer(
            role="dimension",
            group="only:plan",
            name=f"base to {side} anchor",
            start=base,
            end=anchor.eye,
            text=text,
            offset=4.0,
        )
