"""A label that wants a place, and the places it may take around its point."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.scene.boxes import Quad, turned_box

_LEVEL = 1e-6  # turned by less is level [rad]
_FACING = 0.35  # cosine to a side from which a box faces its point with that side
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


Frame = tuple[float, float, float, float]
"""Left, top, right, bottom. [px]"""

Numbers = NDArray[np.float64]

_AROUND = np.arange(16) * math.pi / 8
_FAR = (0.3, 0.55, 0.8, 1.0)  # distances tried, as shares of the farthest


@dataclass(frozen=True, eq=False)
class Offers:
    """Possible places of one label, in no order.

    Parameters
    ----------
    costs : ndarray, shape (n,)
        What each costs, nearest and upper right least. [px]
    boxes : ndarray, shape (n, 4, 2)
        Corners of the text boxes, see `Place`. [px]
    led : ndarray of bool, shape (n,)
        Whether a line from the point to the box is needed.
    """

    costs: Numbers = field(repr=False)
    boxes: Numbers = field(repr=False)
    led: NDArray[np.bool_] = field(repr=False)

    def only(self, which: NDArray[np.bool_]) -> "Offers":
        """Return some of the offers."""
        return Offers(self.costs[which], self.boxes[which], self.led[which])


def offers_for(wish: Wish, gap: float, reach: float, frame: Frame) -> Offers:
    """Return the places within a frame that a label may take.

    A level box that would stick out of the frame is moved in, unless it came too near its point.
    """
    parts = []
    if wish.turn is not None:
        parts.append(_along(wish, wish.turn))
    if wish.turn is None or wish.or_beside:
        parts.append(_beside(wish, gap, reach, frame))
    found = Offers(
        np.concatenate([part.costs for part in parts]),
        np.concatenate([part.boxes for part in parts]),
        np.concatenate([part.led for part in parts]),
    )
    low, high = found.boxes.min(axis=1), found.boxes.max(axis=1)
    return found.only((low >= frame[:2]).all(axis=1) & (high <= frame[2:]).all(axis=1))


def _along(wish: Wish, turn: float) -> Offers:
    """Return places of a turned text, the middle one cheapest."""
    way = np.array([math.cos(turn), math.sin(turn)])
    shares = np.array([0.0, 0.5, -0.5, 1.0, -1.0] if wish.slide else [0.0])
    boxes = turned_box(wish.at, wish.size, turn) + (shares[:, None] * wish.slide * way)[:, None]
    # beats every place beside the point
    return Offers(20.0 * np.abs(shares) - 400.0, boxes, np.zeros(len(shares), dtype=bool))


def _beside(wish: Wish, gap: float, reach: float, frame: Frame) -> Offers:
    """Return level boxes around the point."""
    near = 2.0 * gap + wish.clear
    distance = np.repeat([near, *(share * reach for share in _FAR)], len(_AROUND))
    angle = np.tile(_AROUND, 1 + len(_FAR))
    round_it = _level_boxes(wish, distance, angle)
    boxes = _moved_in(round_it, frame)
    away = distances_from(wish.at, boxes)
    moved = np.hypot(*(boxes - round_it)[:, 0].T)  # it comes to lie over what is round its point
    costs = np.maximum(distance, away) + 0.5 * moved + 4.0 * (1 - np.cos(angle - math.pi / 4))
    return Offers(costs, boxes, away > near + _SLACK).only(away >= 0.7 * near)


def _level_boxes(wish: Wish, distance: Numbers, angle: Numbers) -> Numbers:
    """Return level boxes that lie at distances from the point in directions (up is π/2)."""
    way = np.column_stack([np.cos(angle), -np.sin(angle)])
    # a box touches a circle about the point with the side or corner that faces it
    side = np.where(np.abs(way) > _FACING, np.sign(np.round(way, 6)), way / _FACING)
    middle = wish.at + distance[:, None] * way + side * np.array(wish.size) / 2
    return np.asarray(turned_box(np.zeros(2), wish.size, 0.0) + middle[:, None], dtype=float)


def _moved_in(boxes: Numbers, frame: Frame) -> Numbers:
    """Return upright boxes moved into a frame by the shortest way."""
    over = np.maximum(boxes.max(axis=1) - frame[2:], 0.0)
    under = np.maximum(frame[:2] - boxes.min(axis=1), 0.0)
    return np.asarray(boxes + np.where(under > 0, under, -over)[:, None], dtype=float)


def distances_from(point: Numbers, boxes: Numbers) -> Numbers:
    """Return how far a point lies from upright boxes. [px]"""
    near = np.clip(point, boxes.min(axis=1), boxes.max(axis=1))
    return np.asarray(np.hypot(*(point - near).T), dtype=float)


def leader_to(point: Numbers, box: Quad) -> Quad:
    """Return the line from a point to the nearest point of an upright box."""
    return np.array([point, np.clip(point, box.min(axis=0), box.max(axis=0))])
