"""The forces at one raising angle as layers: arrows as long as the forces are large."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Report
from visual.model import Model
from visual.raising import pose_at
from visual.scene.force_scale import newtons_per_metre
from visual.scene.force_view import FORCES
from visual.scene.forces import Force, forces_at
from visual.scene.layers import AnyLayer, LabelLayer, LineLayer, MeshLayer, degrees_text
from visual.units import format_force

LEAST = 1.0  # a smaller force is none [N]
_HEAD = (0.030, 0.012)  # length and half width of a head, of the total height
_NAMED_AT = (1.0, 0.5, 0.75, 0.25)  # shares of an arrow where its name may stand


def force_layers(report: Report, angle: float) -> Iterator[AnyLayer]:
    """Return the arrows at a raising angle [rad]; forces that are not known are left out."""
    model = report.model
    scale = newtons_per_metre(report)
    if not math.isfinite(scale):
        return
    yield LabelLayer(
        role="label",
        group=FORCES,
        name="angle",
        motion="pose",
        text=f"mast at {degrees_text(angle, 1)}",
        at=0.85 * pose_at(model, angle).top,
        priority=8,
    )
    for force in forces_at(model, angle):
        if force.size >= LEAST:
            yield from _arrow(model, force, scale)


def _arrow(model: Model, force: Force, scale: float) -> Iterator[AnyLayer]:
    """Return shaft, head and name of one arrow."""
    role = "force_inside" if force.inside else "force"
    start, neck, end = _places(force, scale, _HEAD[0] * model.rig.mast.total_height)
    # across the arrow, in the raising plane
    side = np.cross(end - neck, model.rightward) * _HEAD[1] / _HEAD[0]
    yield LineLayer(
        role=role, group=FORCES, name=force.name, motion="pose", paths=(np.array([start, neck]),)
    )
    yield MeshLayer(
        role=f"{role}_head",
        group=FORCES,
        name=force.name,
        motion="pose",
        vertices=np.array([end, neck + side, neck - side]),
        triangles=np.array([[0, 1, 2]], dtype=np.int32),
    )
    words = f"{force.name}: {format_force(force.size, model.site.site.units)}"
    for rank, share in enumerate(_NAMED_AT):
        place = 1 - share if force.pushes else share
        yield LabelLayer(
            role=f"{role}_head",
            group=FORCES,
            name=force.name,
            motion="pose",
            text=words,
            at=start + place * (end - start),
            priority=9 - 0.05 * rank,
            choice=f"force {force.name}",
        )


def _places(force: Force, scale: float, head: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return where an arrow starts, where its head starts, and where it ends. [m]"""
    step = force.vector / scale
    start = force.at - step if force.pushes else force.at
    length = float(np.linalg.norm(step))
    neck = start + step * (1 - min(head / length, 0.6))
    return start, neck, start + step
