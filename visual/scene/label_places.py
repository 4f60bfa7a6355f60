"""A label that wants a place, and the places it may take around its point."""

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from visual.scene.boxes import Quad, turned_box

_LEVEL = 1e-6  # turned by less is level [rad]
_SLACK = 1.0  # a box this much farther off is still beside its point [px]


@dataclass(frozen=True, eq=False, kw_only=True)
class Wish:
    """A label that wants a place.

    Parameters
    ----------
    key : int
        Number that the caller knows it by.
    at : ndarray, shape (2,)
        Its point. [px]
    size : tuple of float
        Width and height of its box. [px]
    priority : float
        Larger chooses first.
    turn : float or None
        Angle of the text, clockwise on the picture, for a text centred on its point; None for a
        level text beside it. [rad]
    slide : float
        How far a turned text may move along its own direction. [px]
    clear : float
        Nearest distance of a level text from its point, e.g. half the size of its mark. [px]
    or_beside : bool
        Whether a turned text that finds no room may stand level beside its point.
    one_of : str
        Wishes that share a non-empty text here are alternatives: only the one with the best
        place is granted; a better priority counts as nearness.
    counted : bool
        Whether leaving it out is worth telling.
    """

    key: int
    at: NDArray[np.float64] = field(repr=False)
    size: tuple[float, float]
    priority: float = 1.0
    turn: float | None = None
    slide: float = 0.0
    clear: float = 0.0
    or_beside: bool = False
    one_of: str = ""
    counted: bool = True


@dataclass(frozen=True, eq=False)
class Place:
    """A label that got its place.

    Parameters
    ----------
    wish : Wish
        What was asked.
    box : ndarray, shape (4, 2)
        Corners of the text box, from the upper left clockwise as the text reads. [px]
    leader : ndarray, shape (2, 2), or None
        Line from the point to the box; None where the box is beside the point. [px]
    """

    wish: Wish
    box: Quad = field(repr=False)
    leader: Quad | None = field(default=None, repr=False)

    @property
    def middle(self) -> NDArray[np.float64]:
        """Middle of the box. [px]"""
        return np.asarray(self.box.mean(axis=0), dtype=float)

    @property
    def turn(self) -> float:
        """Angle of the text as it was placed, clockwise; a turned wish may stand level. [rad]"""
        along = self.box[1] - self.box[0]
        angle = math.atan2(float(along[1]), float(along[0]))
        return angle if abs(angle) > _LEVEL else 0.0

    def with_leader(self) -> "Place":
        """Return the same place with a line from its point to its box, however short."""
        return replace(self, leader=_leader(self.wish.at, self.box))


Frame = tuple[float, float, float, float]
"""Left, top, right, bottom. [px]"""


def candidates(wish: Wish, gap: float, reach: float, frame: Frame) -> list[tuple[float, Place]]:
    """Return possible places with their cost, nearest and upper right cheapest.

    A level box that would stick out of the frame is moved in, unless it came too near its point.
    """
    found = _along(wish)
    if wish.turn is not None and not wish.or_beside:
        return found
    near = 2.0 * gap + wish.clear
    for distance in (near, 0.3 * reach, 0.55 * reach, 0.8 * reach, reach):
        for k in range(16):
            angle = k * math.pi / 8
            box = _moved_in(_box_beside(wish, distance, angle), frame)
            away = _distance(wish.at, box)
            if away < 0.7 * near:
                continue
            taste = 4.0 * (1 - math.cos(angle - math.pi / 4))
            leader = None if away <= near + _SLACK else _leader(wish.at, box)
            found.append((max(distance, away) + taste, Place(wish, box, leader)))
    return found


def _moved_in(box: Quad, frame: Frame) -> Quad:
    """Return an upright box moved into a frame by the shortest way."""
    low, high = box.min(axis=0), box.max(axis=0)
    over = np.maximum(high - frame[2:], 0.0)
    under = np.maximum(frame[:2] - low, 0.0)
    return np.asarray(box + np.where(under > 0, under, -over), dtype=float)


def _distance(point: NDArray[np.float64], box: Quad) -> float:
    """Return how far a point lies from an upright box. [px]"""
    return float(np.linalg.norm(point - np.clip(point, box.min(axis=0), box.max(axis=0))))


def _along(wish: Wish) -> list[tuple[float, Place]]:
    """Return places of a turned text, the middle one cheapest."""
    if wish.turn is None:
        return []
    way = np.array([math.cos(wish.turn), math.sin(wish.turn)])
    shares = (0.0, 0.5, -0.5, 1.0, -1.0) if wish.slide else (0.0,)
    return [
        (
            20.0 * abs(share) - 400.0,  # beats every place beside the point
            Place(wish, turned_box(wish.at + share * wish.slide * way, wish.size, wish.turn)),
        )
        for share in shares
    ]


def _box_beside(wish: Wish, distance: float, angle: float) -> Quad:
    """Return a level box that lies `distance` from the point in direction `angle` (up is π/2)."""
    w, h = wish.size
    c, s = math.cos(angle), math.sin(angle)
    # the box touches a circle about the point with the side or corner that faces it
    x = wish.at[0] + distance * c + w / 2 * (np.sign(round(c, 6)) if abs(c) > 0.35 else c / 0.35)
    y = wish.at[1] - distance * s - h / 2 * (np.sign(round(s, 6)) if abs(s) > 0.35 else s / 0.35)
    return turned_box(np.array([x, y]), wish.size, 0.0)


def _leader(point: NDArray[np.float64], box: Quad) -> Quad:
    """Return the line from a point to the nearest point of an upright box."""
    low, high = box.min(axis=0), box.max(axis=0)
    return np.array([point, np.clip(point, low, high)])
