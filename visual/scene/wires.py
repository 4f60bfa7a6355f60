"""Wires and side stays as layers, hanging as their length makes them hang."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

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


def raising_wires(model: Model, raised: Raise, pose: Pose) -> list[AnyLayer]:
    """Return side and back wires and side stays at a raising angle; none to unknown anchors."""
    return raising_wires_of_all(model, raised, [pose])[0]


def raising_wires_of_all(
    model: Model, raised: Raise, poses: Sequence[Pose]
) -> list[list[AnyLayer]]:
    """Return `raising_wires` of each of many poses; the ground is looked up once for all."""
    hung = [list(_hung(model, raised, pose)) for pose in poses]
    paths = _off_ground(model, [wire.path for of_pose in hung for wire in of_pose])
    return [[wire.layer(next(paths)) for wire in of_pose] for of_pose in hung]


@dataclass(frozen=True, eq=False)
class _Hung:
    """A wire as it would hang if there were no ground."""

    role: str
    name: str
    path: Points

    def layer(self, path: Points) -> AnyLayer:
        """Return it as a layer, along a path that the ground may have changed."""
        return LineLayer(role=self.role, group="rig", name=self.name, motion="pose", paths=(path,))


def _hung(model: Model, raised: Raise, pose: Pose) -> Iterator[_Hung]:
    for change in (*raised.side_wires, *raised.back_wires):
        if model.anchors[change.side].placed:
            collar = pose.collars[change.collar or 0]
            eye = model.anchors[change.side].eye
            spare = change.fitted_length - float(np.linalg.norm(collar - eye))
            role = "wire_slack" if spare > _SLACK else "wire"
            yield _Hung(role, f"wire {change.name}", _path(model, change, collar))
    for stay in raised.side_stays:
        if model.anchors[stay.side].placed:
            yield _Hung("side_stay", stay.name, _path(model, stay, pose.tip))


def _path(model: Model, change: LengthChange, upper: Vector) -> Points:
    return slack_shape(upper, model.anchors[change.side].eye, change.fitted_length, _POINTS)


def _off_ground(model: Model, paths: Sequence[Points]) -> Iterator[Points]:
    """Lift the points of slack wires that would hang into the ground."""
    if not paths:
        return
    whole = np.concatenate(paths)
    ground = model.ground.height(whole[:, 0], whole[:, 1]) + _ABOVE_GROUND
    lowest = np.where(np.isfinite(ground), ground, -math.inf)
    end = 0
    for path in paths:
        inner = slice(end + 1, end + len(path) - 1)  # the eye itself stays where it is
        end += len(path)
        lifted = path.copy()
        lifted[1:-1, 2] = np.maximum(path[1:-1, 2], lowest[inner])
        yield lifted
