"""Tow line and vehicle as layers."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from visual.checks.tow_parts import VEHICLE_LENGTH
from visual.model import Model
from visual.raising import Raise
from visual.raising.tow import line_places
from visual.scene.layers import AnyLayer, LabelLayer, LineLayer, MeshLayer, Points
from visual.scene.solids import Solid, box, box_edges, merge

_HALF_WIDTH = 0.95  # a plain box for whatever pulls [m]
_CLEAR = 0.35  # its underside above the ground [m]


def tow_layers(model: Model, raised: Raise, angle: float) -> Iterator[AnyLayer]:
    """Return the tow line and what pulls it at a raising angle [rad]; nothing if unknown."""
    yield from tow_layers_of_all(model, raised, np.array([angle]))[0]


def tow_layers_of_all(
    model: Model, raised: Raise, angles: NDArray[np.float64]
) -> list[list[AnyLayer]]:
    """Return `tow_layers` at each of many raising angles. [rad]"""
    tips, ends, distance = line_places(model, raised.tow.lane, angles)
    known = np.isfinite(ends).all(axis=1) & np.isfinite(distance)
    return [
        list(_tow(model, raised, tip, end)) if there else []
        for tip, end, there in zip(tips, ends, known, strict=True)
    ]


def _tow(model: Model, raised: Raise, tip: Points, end: Points) -> Iterator[AnyLayer]:
    block = [] if raised.tow.block is None else [raised.tow.block]
    path = np.array([tip, *block, end])
    yield LineLayer(role="tow_line", group="rig", name="tow line", motion="pose", paths=(path,))
    yield from _vehicle(model, end) if model.rig.tow.by == "vehicle" else _winch(model, end)


def vehicle_outline(model: Model, hitch: Points) -> tuple[Points, ...]:
    """Return the edges of the vehicle whose hitch is at a point."""
    return tuple(edge for solid in _body(*_stand(model, hitch)) for edge in box_edges(solid))


def _vehicle(model: Model, hitch: Points) -> Iterator[AnyLayer]:
    foot, axes = _stand(model, hitch)
    yield from _boxes(_body(foot, axes), "vehicle")
    at = foot + 0.5 * VEHICLE_LENGTH * axes[0] + 1.6 * axes[2]
    yield LabelLayer(
        role="label", group="rig", name="vehicle", motion="pose", text="vehicle", at=at, priority=5
    )


def _stand(model: Model, hitch: Points) -> tuple[Points, NDArray[np.float64]]:
    """Return the ground below the hitch, and the axes of a vehicle that stands there."""
    axes = _ground_axes(model, hitch)
    return hitch - model.rig.tow.hitch_height * axes[2], axes


def _body(foot: Points, axes: NDArray[np.float64]) -> list[Solid]:
    """Return bed and cab over a point on the ground below the hitch; the cab is in front."""
    ahead, _, up = axes
    half = VEHICLE_LENGTH / 2
    bed = box(foot + half * ahead + (_CLEAR + 0.35) * up, axes, (half, _HALF_WIDTH, 0.35))
    middle = foot + 1.22 * half * ahead + (_CLEAR + 1.05) * up
    cab = box(middle, axes, (0.38 * half, 0.9 * _HALF_WIDTH, 0.35))
    return [bed, cab]


def _winch(model: Model, end: Points) -> Iterator[AnyLayer]:
    axes = np.array([model.forward, np.cross(model.upward, model.forward), model.upward])
    yield from _boxes([box(end, axes, (0.3, 0.3, 0.2))], "winch")
    yield LabelLayer(
        role="label", group="rig", name="winch", motion="pose", text="winch", at=end, priority=5
    )


def _boxes(solids: list[Solid], name: str) -> Iterator[AnyLayer]:
    body = merge(solids)
    yield MeshLayer(
        role="vehicle", group="rig", name=name, motion="pose", vertices=body[0], triangles=body[1]
    )
    edges = tuple(edge for solid in solids for edge in box_edges(solid))
    yield LineLayer(role="vehicle_edge", group="rig", name=name, motion="pose", paths=edges)


def _ground_axes(model: Model, hitch: Points) -> NDArray[np.float64]:
    """Return ahead, left and up of a vehicle that stands on the ground, as rows."""
    front = hitch + VEHICLE_LENGTH * model.forward
    heights = model.ground.height(np.array([hitch[0], front[0]]), np.array([hitch[1], front[1]]))
    rise = float(heights[1] - heights[0])
    rise = rise if math.isfinite(rise) else 0.0
    ahead = model.forward + rise / VEHICLE_LENGTH * model.upward
    ahead = ahead / np.linalg.norm(ahead)
    left = np.cross(model.upward, model.forward)
    return np.array([ahead, left, np.cross(ahead, left)])
