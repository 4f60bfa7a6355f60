"""The rig at one raising angle as layers: what turns with the mast, the wires, the tow.

`angle` None means the standing mast as it is left: front wires on their anchor, gin pole, tow
line and vehicle gone.
"""

import functools
from collections.abc import Iterator

import numpy as np

from visual.checks.first_raise import is_first_raise
from visual.model import Model, installed_wires
from visual.raising import Raise, pose_at
from visual.scene.layers import AnyLayer, LabelLayer, MarkLayer, MeshLayer
from visual.scene.solids import box
from visual.scene.tow import tow_layers
from visual.scene.turning import UPRIGHT, lifting_layers, mast_layers, turn_matrix, turned
from visual.scene.wires import raising_wires, standing_wires
from visual.units import format_angle, format_length

_BASE = 0.2  # half width of the stand under the hinge, which is only a sign [m]


def rig_layers(model: Model, raised: Raise, *, angle: float | None) -> list[AnyLayer]:
    """Return the rig at a raising angle [rad], or standing (None).

    Below the start angle with the head it is the rig of the first raise, without the head.
    """
    if angle is None:
        return [*_anchors(model), *mast_layers(model), *_standing(model)]
    with_head = not is_first_raise(raised, angle)
    rigid = [*mast_layers(model, with_head=with_head), *lifting_layers(model)]
    matrix = turn_matrix(model, angle - UPRIGHT)
    pose = pose_at(model, angle)
    return [
        *_anchors(model),
        *(turned(layer, matrix) for layer in rigid),
        *raising_wires(model, raised, pose),
        *tow_layers(model, raised, angle),
    ]


def _standing(model: Model) -> Iterator[AnyLayer]:
    wires = installed_wires(model)
    return standing_wires(model, [wire for wire in wires if model.anchors[wire.side].placed])


def _anchors(model: Model) -> Iterator[AnyLayer]:
    placed = {side: anchor for side, anchor in model.anchors.items() if anchor.placed}
    if placed:
        eyes = np.array([anchor.eye for anchor in placed.values()])
        yield MarkLayer(role="anchor", group="anchors", name="anchors", at=eyes, shape="square")
    foot = np.array([0.0, 0.0, model.base_ground])
    half = (_BASE, _BASE, model.rig.mast.hinge_height / 2)
    stand = box(foot / 2, np.array([model.rightward, model.forward, model.upward]), half)
    yield MeshLayer(
        role="base_plate", group="rig", name="base plate", vertices=stand[0], triangles=stand[1]
    )
    yield MarkLayer(
        role="base", group="anchors", name="base plate", at=foot.reshape(1, 3), shape="ring"
    )
    label = functools.partial(LabelLayer, role="label", priority=7)
    yield label(group="only:plan", name="base plate", text="base plate", at=foot)
    for side, anchor in placed.items():
        name = f"{side} anchor" + (" (as built)" if anchor.as_built else "")
        place = format_length(anchor.radius, model.site.site.units)
        setting_out = f"{name}\n{place} at {format_angle(anchor.bearing)}"
        for group, text in (("anchor_names", name), ("only:plan", setting_out)):
            yield label(group=group, name=name, text=text, at=anchor.eye)
