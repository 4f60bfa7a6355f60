"""The same model with an anchor, or the front, somewhere else."""

import math
from dataclasses import replace

import numpy as np

from visual.model import Model, PlacedAnchor, Vector
from visual.rig import SIDES, Side


def eye_above_ground(model: Model, side: Side) -> float:
    """Return how high an eye stands above the ground; NaN where the ground is unknown. [m]"""
    anchor = model.anchors[side]
    return float(anchor.eye[2]) - anchor.ground_height


def with_anchor_at(
    model: Model, side: Side, x: float, y: float, *, eye_height: float | None = None
) -> Model:
    """Return the model with one anchor at another place, its eye as high above the ground.

    Parameters
    ----------
    model : Model
        The mast on its site.
    side : {"front", "right", "back", "left"}
        Which anchor.
    x, y : float
        Its new place in the local frame; the eye has no height where the ground has none. [m]
    eye_height : float or None
        Eye above the ground; as before if left out. [m]
    """
    above = eye_above_ground(model, side) if eye_height is None else eye_height
    ground = model.ground.height(x, y)
    moved = replace(model.anchors[side], eye=np.array([x, y, ground + above]), ground_height=ground)
    return _with(model, moved)


def with_eye(model: Model, side: Side, eye: Vector) -> Model:
    """Return the model with the eye of one anchor at another place [m], shape (3,)."""
    ground = model.ground.height(float(eye[0]), float(eye[1]))
    return _with(model, replace(model.anchors[side], eye=eye, ground_height=ground))


def with_front(model: Model, front: float) -> Model:
    """Return the model turned to another front [rad], every anchor as planned there."""
    rig = replace(model.rig, front=front)
    turned = replace(model, rig=rig)
    for side in SIDES:
        plan = rig.anchors[side]
        bearing = front + plan.nominal_bearing
        x, y = plan.radius * math.sin(bearing), plan.radius * math.cos(bearing)
        turned = with_anchor_at(turned, side, x, y, eye_height=plan.eye_height)
    return turned


def _with(model: Model, anchor: PlacedAnchor) -> Model:
    return replace(model, anchors={**model.anchors, anchor.side: anchor})
