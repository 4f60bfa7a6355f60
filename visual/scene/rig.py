"""The rig at one raising angle as layers: what turns with the mast, and the wires.

`angle` None means the standing mast as it is left: front wires on their anchor, gin pole, tow
line and vehicle gone.
"""

import math
from collections.abc import Iterator

import numpy as np

from visual.model import Model, Vector, installed_wires
from visual.raising import Pose, Raise, gin_direction, mast_direction, pose_at
from visual.scene.layers import (
    AnyLayer,
    LabelLayer,
    LineLayer,
    MarkLayer,
    MeshLayer,
    Motion,
    Points,
)
from visual.scene.solids import Solid, box, disc, merge, ring_about, tube
from visual.scene.tow import tow_layers
from visual.scene.wires import raising_wires, standing_wires
from visual.units import format_angle, format_length

UPRIGHT = math.pi / 2
_HINGE = np.zeros(3)


def rig_layers(model: Model, raised: Raise, *, angle: float | None) -> list[AnyLayer]:
    """Return the rig at a raising angle [rad], or standing (None)."""
    pose = pose_at(model, UPRIGHT if angle is None else angle)
    layers = [*_anchors(model), *_mast(model, pose)]
    if angle is None:
        return [*layers, *standing_wires(model, installed_wires(model))]
    return [
        *layers,
        *_gin_pole(model, pose),
        *raising_wires(model, raised, pose),
        *tow_layers(model, raised, angle),
    ]


def _anchors(model: Model) -> Iterator[AnyLayer]:
    eyes = np.array([anchor.eye for anchor in model.anchors.values()])
    yield MarkLayer(role="anchor", group="anchors", name="anchors", at=eyes, shape="square")
    foot = np.array([[0.0, 0.0, model.base_ground]])
    yield MarkLayer(role="base", group="anchors", name="base plate", at=foot, shape="ring")
    for side, anchor in model.anchors.items():
        name = f"{side} anchor" + (" (as built)" if anchor.as_built else "")
        place = format_length(anchor.radius, model.site.site.units)
        setting_out = f"{name}\n{place} at {format_angle(anchor.bearing)}"
        for group, text in (("anchor_names", name), ("only:plan", setting_out)):
            yield LabelLayer(
                role="label", group=group, name=name, text=text, at=anchor.eye, priority=7
            )


def _mast(model: Model, pose: Pose) -> Iterator[AnyLayer]:
    mast = model.rig.mast
    path, radii = _profile(model, pose)
    yield _mesh("mast", "mast", tube(path, radii))
    yield _line("mast", "mast", np.array([_HINGE, pose.top]))
    collars = [
        tube(np.array([at - 0.06 * pose.axis, at + 0.06 * pose.axis]), 1.6 * mast.radius)
        for at in pose.collars
    ]
    yield _mesh("collar", "collars", merge(collars))
    yield from _head(model, pose)
    yield LabelLayer(
        role="label",
        group="mast",
        name="mast",
        motion="mast",
        text=f"mast {format_length(mast.length, model.site.site.units)}",
        at=0.66 * pose.top,
        priority=8,
    )


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
    body = box((pose.head_centre + pose.rotor_centre) / 2, axes, (0.45, 0.16, 0.16))
    yield _mesh("head", "head", body)
    if head.rotor_radius <= 0:
        return
    hub = pose.rotor_centre + 0.5 * pose.normal
    yield _mesh("rotor_disc", "rotor", disc(hub, pose.normal, head.rotor_radius))
    blades = [
        np.array([hub, hub + head.rotor_radius * (math.cos(a) * axes[2] + math.sin(a) * axes[1])])
        for a in (0.0, 2 * math.pi / 3, 4 * math.pi / 3)
    ]
    yield _line("rotor", "rotor", ring_about(hub, pose.normal, head.rotor_radius), *blades)


def _gin_pole(model: Model, pose: Pose) -> Iterator[AnyLayer]:
    pole = model.rig.gin_pole
    path = np.array([_HINGE, pose.tip])
    yield _mesh("gin_pole", "gin pole", tube(path, pole.tube.outer_diameter / 2))
    yield _line("gin_pole", "gin pole", path)
    yield LabelLayer(
        role="label",
        group="mast",
        name="gin pole",
        motion="mast",
        text=f"gin pole {format_length(pole.length, model.site.site.units)}",
        at=0.6 * pose.tip,
        priority=6,
    )


def ghost_layers(model: Model, raised: Raise) -> list[AnyLayer]:
    """Return the mast every 15° from the start angle to upright, and the paths of its ends."""
    start = raised.first_angle
    step = math.radians(15.0)
    whole = [k * step for k in range(math.ceil(start / step + 1e-6), 7)]
    shown = [start, *(angle for angle in whole if angle - start > math.radians(4.0))]
    sweep = np.linspace(start, UPRIGHT, 91)
    mast, gin = model.rig.mast.length, model.rig.gin_pole.length
    tops = mast * mast_direction(model, sweep)
    tips = gin * gin_direction(model, sweep)
    poles = tuple(np.array([_HINGE, mast * mast_direction(model, a)]) for a in shown)
    return [
        _ghost("mast_ghost", *poles),
        _ghost("arc", tops, tips),
        *(_angle_label(mast * mast_direction(model, a), a, is_start=a == start) for a in shown),
    ]


def laid_mast(model: Model, raised: Raise) -> list[AnyLayer]:
    """Return the mast at its start angle, as a ghost over a plan."""
    top = model.rig.mast.reach * mast_direction(model, raised.first_angle)
    label = LabelLayer(
        role="label",
        group="only:plan",
        name="mast laid down",
        text="mast laid down",
        at=0.75 * top,
        priority=6,
    )
    path = (np.array([_HINGE, top]),)
    return [LineLayer(role="mast_ghost", group="only:plan", name="laid", paths=path), label]


def _ghost(role: str, *paths: Points) -> LineLayer:
    return LineLayer(role=role, group="ghosts", name="mast at other angles", paths=paths)


def _angle_label(at: Vector, angle: float, *, is_start: bool) -> LabelLayer:
    text = f"start {math.degrees(angle):.1f}°" if is_start else f"{math.degrees(angle):.0f}°"
    return LabelLayer(
        role="label", group="ghosts", name=text, text=text, at=at, priority=5, label_kind="angle"
    )


def _mesh(role: str, name: str, solid: Solid, motion: Motion = "mast") -> MeshLayer:
    return MeshLayer(
        role=role, group="mast", name=name, motion=motion, vertices=solid[0], triangles=solid[1]
    )


def _line(role: str, name: str, *paths: Points) -> LineLayer:
    return LineLayer(role=role, group="mast", name=name, motion="mast", paths=paths)
