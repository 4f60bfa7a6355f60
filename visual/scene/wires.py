"""Wires and side stays as layers, hanging as their length makes them hang."""

import math
from collections.abc import Iterable, Iterator

import numpy as np

from visual.mechanics.catenary import slack_shape
from visual.model import InstalledWire, Model, Vector
from visual.raising import LengthChange, Pose, Raise
from visual.scene.layers import AnyLayer, LineLayer, Points

_POINTS = 41
_SLACK = 0.02  # a wire longer than its place by more than this is drawn as slack [m]
_ABOVE_GROUND = 0.03  # a slack wire lies on the ground, not in it [m]


def standing_wires(model: Model, wires: Iterable[InstalledWire]) -> Iterator[AnyLayer]:
    """Return every wire of the upright mast at its initial tension."""
    for wire in wires:
        path = hung_wire(model, wire)
        yield LineLayer(
            role="wire", group="rig", name=f"wire {wire.name}", motion="pose", paths=(path,)
        )


def hung_wire(model: Model, wire: InstalledWire) -> Points:
    """Return the points of an installed wire from its anchor to its collar. [m]"""
    eye = model.anchors[wire.side].eye
    collar = np.array([0.0, 0.0, model.rig.mast.collars[wire.level].height])
    flat = wire.shape.points(_POINTS)
    level = np.array([*(collar - eye)[:2], 0.0])
    level = level / max(float(np.linalg.norm(level)), 1e-9)
    path = eye + flat[:, :1] * level + flat[:, 1:] * np.array([0.0, 0.0, 1.0])
    path[-1] = collar
    return np.asarray(path, dtype=float)


def raising_wires(model: Model, raised: Raise, pose: Pose) -> Iterator[AnyLayer]:
    """Return side and back wires and side stays at a raising angle; none to unknown anchors."""
    for change in (*raised.side_wires, *raised.back_wires):
        if model.anchors[change.side].placed:
            collar = pose.collars[change.collar or 0]
            yield _hanging(model, change, collar, role="wire", name=f"wire {change.name}")
    for stay in raised.side_stays:
        if model.anchors[stay.side].placed:
            yield _hanging(model, stay, pose.tip, role="side_stay", name=stay.name)


def _hanging(
    model: Model, change: LengthChange, upper: Vector, *, role: str, name: str
) -> LineLayer:
    eye = model.anchors[change.side].eye
    spare = change.fitted_length - float(np.linalg.norm(upper - eye))
    path = slack_shape(upper, eye, change.fitted_length, _POINTS)
    if spare > _SLACK and role == "wire":
        role = "wire_slack"
    return LineLayer(
        role=role, group="rig", name=name, motion="pose", paths=(_off_ground(model, path),)
    )


def _off_ground(model: Model, path: Points) -> Points:
    """Lift the points of a slack wire that would hang into the ground."""
    ground = model.ground.height(path[:, 0], path[:, 1]) + _ABOVE_GROUND
    lifted = path.copy()
    inner = slice(1, -1)  # the eye itself stays where it is
    known = np.where(np.isfinite(ground), ground, -math.inf)
    lifted[inner, 2] = np.maximum(path[inner, 2], known[inner])
    return lifted
