"""Cuts through the ground along and square to the raising plane, with their dimensions."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from visual.ground import Profile
from visual.model import Model, PlacedLine
from visual.scene.layers import AnyLayer, DimensionLayer, LabelLayer, LineLayer, MeshLayer, Points
from visual.scene.power_line import crossing
from visual.scene.terrain import split_at_gaps
from visual.units import format_length

ALONG, ACROSS = "only:along", "only:across"
"""Groups of the cut along the raising plane and of the one through the hinge axis."""
BARE_CUT = "only:bare cut"
"""Group of the cut along the raising plane again, without the lines that cross it."""

_REACH = 8.0  # a cut runs this many total heights to each side
_DEPTH = 3.0  # earth is drawn this many total heights deep
_ROW = 0.09  # heights stand this share of the total height apart
_NEAR_AXIS = 0.02  # their witness lines end this share of it beside the mast
_STEEPEST = 0.15  # a line that runs closer to the plane than this has no useful section


def section_layers(model: Model) -> list[AnyLayer]:
    """Return both cuts."""
    along = list(_cut(model, model.rig.front, ALONG, "raising plane"))
    return [
        *along,
        *(replace(layer, group=BARE_CUT) for layer in along),
        *_line_sections(model, model.rightward, ALONG),
        *_cut(model, model.rig.front + math.pi / 2, ACROSS, "hinge axis"),
        *_line_sections(model, model.forward, ACROSS),
        *_heights(model),
    ]


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


def _line_sections(model: Model, normal: Points, group: str) -> Iterator[AnyLayer]:
    """Return the required clearance of each overhead line where it crosses a plane."""
    for line in model.surroundings.lines:
        required = model.site.limits.overhead_line.required(line.voltage_kv).distance
        if required is None:
            continue
        for at, way in crossing(line, normal):
            ring = _ellipse(at, way, normal, required + line.spread / 2)
            if ring is not None:
                yield from _section(line, at, ring, group)


def _section(line: PlacedLine, at: Points, ring: Points, group: str) -> Iterator[AnyLayer]:
    n = len(ring) - 1
    k = np.arange(n)
    faces = np.column_stack([np.full(n, n), k, (k + 1) % n]).astype(np.int32)
    yield MeshLayer(
        role="required_clearance",
        group=group,
        name=line.name,
        vertices=np.concatenate([ring[:-1], at.reshape(1, 3)]),
        triangles=faces,
    )
    yield LineLayer(role="required_clearance_edge", group=group, name=line.name, paths=(ring,))
    text = f"{line.name},\nwhere it crosses"
    nearest = ring[np.argmin(np.hypot(*ring[:, :2].T))]
    for rank, place in enumerate((at, (at + nearest) / 2, nearest)):
        yield LabelLayer(
            role="label",
            group=group,
            name=line.name,
            text=text,
            at=place,
            priority=8 - 0.3 * rank,
            choice=f"line {line.name}",
        )


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


def _heights(model: Model) -> Iterator[AnyLayer]:
    """Return heights and anchor distances of the front view, outside of the wires."""
    mast, units = model.rig.mast, model.site.site.units
    foot = model.base_ground * model.upward
    rows = [("total height", mast.total_height)]
    if mast.head is not None and mast.head.rotor_radius > 0:
        rows.insert(0, ("hub height", mast.hub_height))
    rotor, outer = (mast.head.rotor_radius if mast.head else 0.0), 0.0
    for number, (name, height) in enumerate(rows):
        outer = heights_from(model) + number * _ROW * mast.total_height
        low = outer * model.rightward + foot
        top = low + height * model.upward
        text = f"{name} {format_length(height, units)}"
        yield DimensionLayer(
            role="dimension", group=ACROSS, name=name, start=low, end=top, text=text
        )
        beside = _NEAR_AXIS * mast.total_height + (rotor if name == "hub height" else 0.0)
        yield _witness(beside * model.rightward + foot + height * model.upward, top, name)
    inner = foot + (heights_from(model) - 0.6 * _ROW * mast.total_height) * model.rightward
    yield _witness(inner, foot + outer * model.rightward, "ground at the base")
    yield from _anchor_distances(model)


def heights_from(model: Model) -> float:
    """Return how far to the right of the base the first height of the front view stands. [m]"""
    out = [float(a.eye @ model.rightward) for a in model.anchors.values() if a.placed]
    return max(out, default=0.0) + _ROW * model.rig.mast.total_height


def _witness(inner: Points, outer: Points, name: str) -> LineLayer:
    path = np.array([inner, outer])
    return LineLayer(role="witness", group=ACROSS, name=name, paths=(path,))


def _anchor_distances(model: Model) -> Iterator[DimensionLayer]:
    eyes = [float(anchor.eye[2]) for anchor in model.anchors.values() if anchor.placed]
    low = min(eyes, default=0.0) - 0.08 * model.rig.mast.total_height
    for side in ("left", "right"):
        if not model.anchors[side].placed:
            continue
        out = float(model.anchors[side].eye @ model.rightward)
        base = low * model.upward
        yield DimensionLayer(
            role="dimension",
            group=ACROSS,
            name=f"{side} anchor",
            start=base,
            end=base + out * model.rightward,
            text=format_length(abs(out), model.site.site.units),
        )
