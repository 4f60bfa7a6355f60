"""Zones on the ground as layers: fall zone, tow lane, laydown; stake-out dimensions."""

from collections.abc import Iterator

import numpy as np

from visual.checks import FallZone, Report
from visual.checks.lane import lane_strip, laydown_strip
from visual.model import Model
from visual.scene.ground import draped_area, draped_line
from visual.scene.layers import AnyLayer, DimensionLayer
from visual.scene.surroundings import rings_of
from visual.scene.terrain import Terrain, circle
from visual.units import format_length


def zone_layers(report: Report, terrain: Terrain) -> list[AnyLayer]:
    """Return all zones on the ground."""
    return [
        *_fall_zone(report.fall_zone, terrain, level=report.model.base_ground),
        *_strips(report, terrain),
        *stake_out(report.model),
    ]


def _fall_zone(zone: FallZone, terrain: Terrain, *, level: float) -> Iterator[AnyLayer]:
    """Return both fall zones; over unknown ground, which may be hit too, their lines go on level.

    A line that ended with the known ground would look as if the zone did.
    """
    outline = zone.reach[:, None] * np.column_stack([np.sin(zone.bearings), np.cos(zone.bearings)])
    ring = np.concatenate([outline, outline[:1]])
    yield from draped_area(
        terrain, [ring], role="fall_zone", group="zones", name="fall zone", unknown=level
    )
    yield draped_line(
        terrain,
        [circle(radius=zone.circle_radius)],
        role="fall_circle",
        group="zones",
        name="fall zone of the rule",
        unknown=level,
    )


def _strips(report: Report, terrain: Terrain) -> Iterator[AnyLayer]:
    laydown = rings_of(laydown_strip(report.model))
    yield draped_line(
        terrain, laydown, role="laydown_edge", group="only:plan", name="ground the mast lies over"
    )
    lane = lane_strip(report.model, report.raised)
    if lane is not None:
        yield from draped_area(
            terrain, rings_of(lane), role="lane", group="only:lane", name="tow lane"
        )


def stake_out(model: Model) -> Iterator[DimensionLayer]:
    """Return the distance from the base to each anchor."""
    base = np.array([0.0, 0.0, model.base_ground])
    units = model.site.site.units
    for side, anchor in model.anchors.items():
        if not anchor.placed:
            continue
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
