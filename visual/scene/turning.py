"""What turns with the mast as layers: built once upright, then turned rigidly about the hinge.

A program that has these layers at one raising angle may turn them itself: `turned` is all that
a raise does to them.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from visual.model import Model
from visual.raising import Pose, pose_at
from visual.scene.layers import (
    AnyLayer,
    DimensionLayer,
    LabelLayer,
    LineLayer,
    MarkLayer,
    MeshLayer,
    Points,
)
from visual.scene.solids import Solid, box, disc, merge, ring_about, tube
from visual.units import format_length

UPRIGHT = math.pi / 2
REACH = "only:reach"
"""Group of the circle that shows how far a rotor reaches that is free to turn."""

_HINGE = np.zeros(3)
_ROTOR_AHEAD = 0.15  # the rotor is drawn this far in front of the mast's axis [m]
_NAMED_AT = (0.62, 0.97, 0.80, 0.45)  # shares of the mast where its name may stand

AnyOne = TypeVar("AnyOne", bound=AnyLayer)


def turn_matrix(model: Model, by: float) -> NDArray[np.float64]:
    """Return the rotation about the hinge axis that adds `by` to the raising angle. [rad]"""
    f, u, r = model.forward, model.upward, model.rightward
    c, s = math.cos(by), math.sin(by)
    ahead, up = c * f - s * u, c * u + s * f
    return np.asarray(np.outer(ahead, f) + np.outer(up, u) + np.outer(r, r), dtype=float)


def turned(layer: AnyOne, matrix: NDArray[np.float64]) -> AnyOne:
    """Return a layer turned about the hinge by a rotation matrix."""
    if isinstance(layer, MeshLayer):
        return replace(layer, vertices=layer.vertices @ matrix.T)
    if isinstance(layer, LineLayer):
        return replace(layer, paths=tuple(path @ matrix.T for path in layer.paths))
    if isinstance(layer, DimensionLayer):
        return replace(layer, start=layer.start @ matrix.T, end=layer.end @ matrix.T)
    if isinstance(layer, LabelLayer | MarkLayer):
        return replace(layer, at=layer.at @ matrix.T)
    return layer


def mast_layers(model: Model, *, with_head: bool = True) -> list[AnyLayer]:
    """Return mast, collars, and head and rotor if they are mounted, upright."""
    pose = pose_at(model, UPRIGHT)
    head = _head(model, pose) if with_head else ()
    return [*_mast(model, pose), *head, *_names(model, pose)]


def lifting_layers(model: Model) -> list[AnyLayer]:
    """Return gin pole and lift wires, mast upright."""
    pose = pose_at(model, UPRIGHT)
    pole = model.rig.gin_pole
    path = np.array([_HINGE, pose.tip])
    wires = [
        line("lift_wire", f"lift wire {number}", np.array([collar, pose.tip]), group="rig")
        for number, collar in enumerate(pose.collars, start=1)
    ]
    name = LabelLayer(
        role="label",
        group="mast",
        name="gin pole",
        motion="mast",
        text=f"gin pole {format_length(pole.length, model.site.site.units)}",
        at=0.6 * pose.tip,
        priority=6,
    )
    solid = tube(path, pole.tube.outer_diameter / 2)
    return [_mesh("gin_pole", "gin pole", solid), line("gin_pole", "gin pole", path), *wires, name]


def _mast(model: Model, pose: Pose) -> Iterator[AnyLayer]:
    path, radii = _profile(model, pose)
    yield _mesh("mast", "mast", tube(path, radii))
    yield line("mast", "mast", np.array([_HINGE, pose.top]))
    collars = [
        tube(np.array([at - 0.06 * pose.axis, at + 0.06 * pose.axis]), 1.6 * model.rig.mast.radius)
        for at in pose.collars
    ]
    yield _mesh("collar", "collars", merge(collars))


def _profile(model: Model, pose: Pose) -> tuple[Points, list[float]]:
    """Return the axis of the mast with two points per section, and the radius at each."""
    along = np.cumsum([0.0, *(section.length for section in model.rig.mast.sections)])
    radii = [section.outer_diameter / 2 for section in model.rig.mast.sections]
    # the second point of a step in width lies a hair above the first
    ends = np.column_stack([along[:-1] + 1e-3, along[1:]]).ravel()
    return ends[:, None] * pose.axis, [radius for radius in radii for _ in range(2)]


def _head(model: Model, pose: Pose) -> Iterator[AnyLayer]:
    head = model.rig.mast.head
    if head is None or pose.head_centre is None or pose.rotor_centre is None:
        return
    axes = np.array([pose.normal, np.cross(pose.axis, pose.normal), pose.axis])
    middle = (pose.head_centre + pose.rotor_centre) / 2 - 0.2 * pose.normal
    yield _mesh("head", "head", box(middle, axes, (0.35, 0.16, 0.16)))
    if head.rotor_radius <= 0:
        return
    hub = pose.rotor_centre + _ROTOR_AHEAD * pose.normal
    yield _mesh("rotor_disc", "rotor", disc(hub, pose.normal, head.rotor_radius))
    blades = [
        np.array([hub, hub + head.rotor_radius * (math.cos(a) * axes[2] + math.sin(a) * axes[1])])
        for a in (0.0, 2 * math.pi / 3, 4 * math.pi / 3)
    ]
    yield line("rotor", "rotor", ring_about(hub, pose.normal, head.rotor_radius), *blades)
    ball = ring_about(pose.rotor_centre, model.rightward, head.rotor_radius)
    yield line("rotor_reach", "reach of the rotor", ball, group=REACH)


def _names(model: Model, pose: Pose) -> Iterator[LabelLayer]:
    mast, units = model.rig.mast, model.site.site.units
    whole = format_length(mast.total_height, units)
    text = f"mast {format_length(mast.length, units)},\ntotal height {whole}"
    for rank, share in enumerate(_NAMED_AT):
        yield LabelLayer(
            role="label",
            group="mast_names",
            name="mast",
            motion="mast",
            text=text,
            at=share * pose.top,
            priority=8 - 0.05 * rank,
            choice="mast",
        )


def _mesh(role: str, name: str, solid: Solid) -> MeshLayer:
    return MeshLayer(
        role=role, group="mast", name=name, motion="mast", vertices=solid[0], triangles=solid[1]
    )


def line(role: str, name: str, *paths: Points, group: str = "mast") -> LineLayer:
    """Return lines that turn with the mast."""
    return LineLayer(role=role, group=group, name=name, motion="mast", paths=paths)
