"""Cuts through the ground along and square to the raising plane, with their dimensions."""

import math
from collections.abc import Iterator

import numpy as np

from visual.ground import Profile
from visual.model import Model, PlacedLine
from visual.scene.layers import AnyLayer, DimensionLayer, LabelLayer, LineLayer, MeshLayer, Points
from visual.scene.power_line import crossing
from visual.scene.terrain import split_at_gaps
from visual.units import format_length

ALONG, ACROSS = "only:along", "only:across"
"""Groups of the cut along the raising plane and of the one through the hinge axis."""

_REACH = 8.0  # a cut runs this many total heights to each side
_DEPTH = 3.0  # earth is drawn this many total heights deep
_STEEPEST = 0.15  # a line that runs closer to the plane than this has no useful section


def section_layers(model: Model) -> list[AnyLayer]:
    """Return both cuts."""
    along = [*_cut(model, model.rig.front, ALONG, "raising plane"), *_line_sections(model)]
    across = _cut(model, model.rig.front + math.pi / 2, ACROSS, "hinge axis")
    return [*along, *across, *_heights(model)]


def _cut(model: Model, bearing: float, group: str, name: str) -> Iterator[AnyLayer]:
    total = model.rig.mast.total_height
    profile = model.ground.profile(0.0, 0.0, bearing, -_REACH * total, _REACH * total)
    line = _points(profile)
    for run in split_at_gaps(line):
        low = run.copy()
        low[:, 2] = run[:, 2].min() - _DEPTH * total
        n = len(run)
        a = np.arange(n - 1)
        faces = np.stack([a, a + 1, a + 1 + n, a, a + 1 + n, a + n], axis=-1).reshape(-1, 3)
        yield MeshLayer(
            role="ground_cut",
            group=group,
            name=name,
            vertices=np.concatenate([low, run]),
            triangles=faces.astype(np.int32),
        )
        yield LineLayer(role="ground_line", group=group, name=name, paths=(run,))


def _points(profile: Profile) -> Points:
    """Return a profile as points, shape (n, 3). [m]"""
    x = profile.x0 + profile.distance * math.sin(profile.bearing)
    y = profile.y0 + profile.distance * math.cos(profile.bearing)
    return np.column_stack([x, y, profile.height])


def _line_sections(model: Model) -> Iterator[AnyLayer]:
    """Return the required clearance of each overhead line where it crosses the raising plane."""
    for line in model.surroundings.lines:
        required = model.site.limits.overhead_line.required(line.voltage_kv).distance
        if required is None:
            continue
        for at, way in crossing(line, model.rightward):
            ring = _ellipse(at, way, model.rightward, required + line.spread / 2)
            if ring is not None:
                yield from _section(line, at, ring)


def _section(line: PlacedLine, at: Points, ring: Points) -> Iterator[AnyLayer]:
    n = len(ring) - 1
    k = np.arange(n)
    faces = np.column_stack([np.full(n, n), k, (k + 1) % n]).astype(np.int32)
    yield MeshLayer(
        role="required_clearance",
        group=ALONG,
        name=line.name,
        vertices=np.concatenate([ring[:-1], at.reshape(1, 3)]),
        triangles=faces,
    )
    yield LineLayer(role="required_clearance_edge", group=ALONG, name=line.name, paths=(ring,))
    text = f"{line.name}, where it crosses"
    yield LabelLayer(role="label", group=ALONG, name=line.name, text=text, at=at, priority=8)


def _ellipse(at: Points, way: Points, normal: Points, radius: float) -> Points | None:
    """Cut a tube about a line with a plane; None if it runs nearly along the plane."""
    way = way / np.linalg.norm(way)
    through = abs(float(way @ normal))
    if through < _STEEPEST:
        return None
    flat = way - (way @ normal) * normal
    length = float(np.linalg.norm(flat))
    long = flat / length if length > 1e-9 else np.cross(normal, [0.0, 0.0, 1.0])
    turn = np.linspace(0, 2 * math.pi, 73)[:, None]
    short = np.cross(normal, long)
    return at + radius * (np.cos(turn) / through * long + np.sin(turn) * short)


def _heights(model: Model) -> Iterator[DimensionLayer]:
    """Return heights and anchor distances for the view along the raising plane."""
    mast, units = model.rig.mast, model.site.site.units
    widest = max(anchor.radius for anchor in model.anchors.values())
    rows = [(mast.total_height, "total height", widest + 1.5)]
    if mast.head is not None and mast.head.rotor_radius > 0:
        rows.append((mast.hub_height, "hub height", 0.45 * widest))
    for height, name, out in rows:
        foot = out * model.rightward + model.base_ground * model.upward
        yield DimensionLayer(
            role="dimension",
            group=ACROSS,
            name=name,
            start=foot,
            end=foot + height * model.upward,
            text=f"{name} {format_length(height, units)}",
        )
    low = min(float(anchor.eye[2]) for anchor in model.anchors.values()) - 0.08 * mast.total_height
    for side in ("left", "right"):
        out = float(model.anchors[side].eye @ model.rightward)
        base = low * model.upward
        yield DimensionLayer(
            role="dimension",
            group=ACROSS,
            name=f"{side} anchor",
            start=base,
            end=base + out * model.rightward,
            text=format_length(abs(out), units),
        )
