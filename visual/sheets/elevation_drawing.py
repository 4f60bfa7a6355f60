"""The drawing of an elevation: the ground cut, what stands beyond it, the mast and its ways."""

import math
from collections.abc import Iterator, Sequence

import numpy as np

from visual.raising.motion import gin_direction
from visual.scene.build import SceneMaker
from visual.scene.camera import View
from visual.scene.ghosts import COARSE
from visual.scene.layers import (
    AnyLayer,
    DimensionLayer,
    LabelLayer,
    LineLayer,
    MarkLayer,
    MeshLayer,
    Points,
)
from visual.scene.render import visible
from visual.sheets.dimension import dimension_labels, measured
from visual.sheets.drawing import Drawing, line_beyond_plane
from visual.sheets.labelling import Label, labels_of
from visual.units import format_length

BEYOND = 0.45
"""How strongly what stands beyond the cut is drawn."""

_START = ("mast_laid", "gin_pole_ghost", "tow_line_ghost", "vehicle_ghost")
_WAYS = ("arc", "arc_tip", "mast_ghost", "rotor_reach")
_RIG = (
    "wire", "wire_slack", "lift_wire", "side_stay", "tow_line", "rotor", "gin_pole", "mast",
)  # fmt: skip
_WEIGHTS = {"mast": 120.0, "gin_pole_ghost": 80.0, "wire": 40.0, "tow_line_ghost": 30.0}
_EDGES = {"building": "building_edge", "vehicle": "vehicle_edge"}
_STANDING = ("building", "building_roof", "tree_stem", "tree", "support", "sag_range")


def elevation_layers(maker: SceneMaker, view: View) -> list[AnyLayer]:
    """Return what an elevation shows: the standing mast, and rig and vehicle at the start."""
    start = [
        layer
        for layer in maker.drawn
        if layer.group == COARSE and (layer.role in _START or layer.name == "mast laid down")
    ]
    along = "ghosts" not in view.hidden
    return [*visible(maker.at(None), view), *(start if along else ())]


def draw_elevation(drawing: Drawing, layers: Sequence[AnyLayer], view: View) -> list[Label]:
    """Draw all of an elevation but its lettering and return its labels."""
    lines = [layer for layer in layers if isinstance(layer, LineLayer)]
    meshes = [layer for layer in layers if isinstance(layer, MeshLayer)]
    _beyond(drawing, lines, meshes, view)
    _cut_ground(drawing, lines)
    for mesh in meshes:
        if mesh.role == "required_clearance":
            drawing.mesh(mesh)
    drawing.lines([line for line in lines if line.role == "required_clearance_edge"])
    for role in (*_WAYS, *_START, "witness", *_RIG):
        weight = _WEIGHTS.get(role, 8.0)
        drawing.lines([line for line in lines if line.role == role], weight=weight)
        for mesh in meshes:
            if role == "rotor" and mesh.role in ("rotor_disc", "head", "base_plate", "trestle"):
                drawing.mesh(mesh)
    for layer in layers:
        if isinstance(layer, MarkLayer):
            drawing.marks(layer)
    dimensions = [layer for layer in layers if isinstance(layer, DimensionLayer)]
    names = [x for x in layers if isinstance(x, LabelLayer) and _is_shown(x, view)]
    return [*dimension_labels(drawing, dimensions), *labels_of(drawing, names)]


def _is_shown(layer: LabelLayer, view: View) -> bool:
    """Return whether what a label names is beyond the cut, or is not cut at all."""
    if view.clip is None or layer.group not in view.clipped:
        return True
    return float(layer.at @ np.asarray(view.clip[1], float)) >= 0


def _beyond(
    drawing: Drawing, lines: Sequence[LineLayer], meshes: Sequence[MeshLayer], view: View
) -> None:
    """Draw what stands beyond the cut, the farthest first."""
    normal = -view.axes[2]
    standing = [mesh for mesh in meshes if mesh.role in _STANDING]
    for mesh in sorted(standing, key=lambda m: -float((m.vertices @ normal).mean())):
        drawing.mesh(mesh, fade=BEYOND, outline=_EDGES.get(mesh.role, ""), beyond=normal)
    for line in lines:
        if line.role == "conductor":
            paths = [part for path in line.paths for part in line_beyond_plane(path, normal)]
            drawing.stroke(line.role, [drawing.window.flat(path) for path in paths], fade=BEYOND)


def _cut_ground(drawing: Drawing, lines: Sequence[LineLayer]) -> None:
    """Fill the earth below each known run of the ground, and draw its surface."""
    low = drawing.window.box.bottom + 5.0
    for line in lines:
        if line.role != "ground_line":
            continue
        for path in line.paths:
            flat = drawing.window.flat(path)
            ring = np.concatenate([flat, [[flat[-1, 0], low], [flat[0, 0], low]], flat[:1]])
            drawing.fill("ground_cut", drawing.window.cut_rings([ring]))
        drawing.lines([line], weight=10.0)


# --- dimensions along the raising plane ---------------------------------------------------------


def distances_along(drawing: Drawing, maker: SceneMaker) -> Iterator[Label]:
    """Dimension anchors, laid mast and vehicle from the base, in rows below the ground."""
    model, raised = maker.report.model, maker.report.raised
    units = model.site.site.units
    ahead = model.forward
    rows: list[tuple[str, float]] = []
    for side in ("front", "back"):
        anchor = model.anchors[side]
        if anchor.placed:
            rows.append((f"{side} anchor", float(anchor.eye @ ahead)))
    low = _row_heights(drawing, maker, [out for _, out in rows])
    base = float(drawing.window.flat(np.zeros((1, 3)))[0, 0])
    for name, out in rows:
        x = base + drawing.window.scale * out * _sense(drawing, ahead)
        text = f"{name} {format_length(abs(out), units)}"
        yield from _row(drawing, base, x, low, text, name)
    tip = model.rig.gin_pole.length * gin_direction(model, raised.first_angle)
    (at,) = drawing.window.flat(0.55 * tip)
    text = f"gin pole {format_length(model.rig.gin_pole.length, units)}"
    yield Label(text=text, at=at, priority=6.0)
    if not np.isfinite(raised.tow.distance[[0, -1]]).all():
        return
    first, last = (float(raised.tow.ends[k] @ ahead) for k in (0, -1))
    word = "hitch" if model.rig.tow.by == "vehicle" else "end of the tow line"
    for number, (name, out) in enumerate((("at the start", first), ("upright", last))):
        x = base + drawing.window.scale * out * _sense(drawing, ahead)
        text = f"{word} {name} {format_length(abs(out), units)}"
        yield from _row(drawing, base, x, low + 4.2 * (number + 1), text, text)


def _sense(drawing: Drawing, ahead: Points) -> float:
    """Return 1 if the front lies right on the paper, −1 if left."""
    return math.copysign(1.0, float(drawing.window.right @ ahead))


def _row_heights(drawing: Drawing, maker: SceneMaker, outs: Sequence[float]) -> float:
    """Return the y of the first row: below the ground under everything dimensioned. [mm]"""
    model = maker.report.model
    reach = np.linspace(min([*outs, 0.0]), max([*outs, 0.0]), 41)
    places = reach[:, None] * model.forward
    heights = model.ground.height(places[:, 0], places[:, 1])
    lowest = float(np.nanmin([*heights, model.base_ground]))
    at = drawing.window.flat(np.array([0.0, 0.0, lowest]))
    return float(at[0, 1]) + 5.5


def _row(
    drawing: Drawing, base: float, x: float, y: float, text: str, name: str
) -> Iterator[Label]:
    if not drawing.window.box.top < y < drawing.window.box.bottom - 1.5:
        return
    start, end = np.array([base, y]), np.array([x, y])
    yield from measured(
        drawing, start, end, text, choice=f"row {name}", shares=(0.5, 0.35, 0.65, 0.8, 0.2)
    )
