"""Things that meet the ground on the way up: the gin pole in front, and the tow line."""

import itertools
import math
from dataclasses import dataclass

import numpy as np

from visual.model import Model
from visual.raising.motion import Array, gin_direction
from visual.raising.tow import TowPath

POLE_POINTS = 40  # points along the outer part of the gin pole
INNER_SHARE = 0.15  # the pole's foot is at the hinge, over the levelled base pad
LINE_POINTS = 200  # points along the tow line


@dataclass(frozen=True)
class Strike:
    """The gin pole against the ground in front.

    Parameters
    ----------
    least_room : float
        Smallest height of the pole's underside above the ground; negative: it would be in the
        ground; NaN if the ground is unknown. [m]
    at_angle : float
        Raising angle of the smallest room. [rad]
    strikes_at : float or None
        First raising angle at which it touches; None if it never does. [rad]
    where : tuple of float
        Place on the pole where the room is smallest. [m]
    """

    least_room: float
    at_angle: float
    strikes_at: float | None
    where: tuple[float, float, float]


@dataclass(frozen=True)
class LineGround:
    """The tow line against the ground under it.

    Parameters
    ----------
    least_room : float
        Smallest height of the straight line above the ground; negative: it lies on the ground
        and bends over it; NaN if the ground is unknown. [m]
    at_angle : float
        Raising angle of the smallest room. [rad]
    where : tuple of float
        Place on the line where the room is smallest. [m]
    """

    least_room: float
    at_angle: float
    where: tuple[float, float, float]


def find_gin_strike(model: Model, angles: Array) -> Strike:
    """Find the least room under the gin pole over raising angles [rad]."""
    pole = model.rig.gin_pole
    along = np.linspace(INNER_SHARE * pole.length, pole.length, POLE_POINTS)
    points = along[np.newaxis, :, np.newaxis] * gin_direction(model, angles)[:, np.newaxis, :]
    room = _height_above_ground(model, points) - pole.tube.outer_diameter / 2
    at, place = _smallest(room)
    touching = np.flatnonzero(room.min(axis=1) <= 0.0)
    return Strike(
        least_room=float(room[at, place]),
        at_angle=float(angles[at]),
        strikes_at=float(angles[touching[0]]) if touching.size else None,
        where=_triple(points[at, place]),
    )


def find_line_ground(model: Model, path: TowPath) -> LineGround:
    """Find the least room under the tow line, block and ends left out."""
    points = np.array([_along_line(path.line_at(i)) for i in range(path.angles.size)])
    room = _height_above_ground(model, points)
    at, place = _smallest(room)
    return LineGround(
        least_room=float(room[at, place]),
        at_angle=float(path.angles[at]),
        where=_triple(points[at, place]),
    )


def _along_line(line: Array) -> Array:
    """Return points along a polyline, shape (n, 3); its corners are hitch, block and tip."""
    share = (np.arange(LINE_POINTS) + 0.5) / LINE_POINTS
    pieces = [a + share[:, np.newaxis] * (b - a) for a, b in itertools.pairwise(line)]
    return np.concatenate(pieces)


def _height_above_ground(model: Model, points: Array) -> Array:
    return np.asarray(points[..., 2] - model.ground.height(points[..., 0], points[..., 1]))


def _smallest(room: Array) -> tuple[int, int]:
    """Return the index of the smallest value; a NaN, being unknown, comes before any number."""
    ranked = np.where(np.isnan(room), -math.inf, room)
    row, column = np.unravel_index(int(np.argmin(ranked)), room.shape)
    return int(row), int(column)


def _triple(point: Array) -> tuple[float, float, float]:
    return float(point[0]), float(point[1]), float(point[2])
