"""Where labels go: as near to their place as they can without touching each other.

Plain geometry in pixels, x right, y down. Greedy by priority: each label tries places around
its point and takes the cheapest that is free; one that finds none is left out and counted.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.scene.boxes import Quad, grown, overlap, strip, turned_box


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
        Wishes that share a non-empty text here are alternatives: only one is granted.
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


@dataclass(frozen=True)
class Layout:
    """All places, and how many labels found none."""

    places: tuple[Place, ...]
    left_out: int


class Busy:
    """How much is drawn where: summed so that the mean over any box is quick."""

    def __init__(self, ink: NDArray[np.float64]) -> None:
        self._sum = np.pad(ink.cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))

    def mean(self, box: Quad) -> float:
        """Return the mean ink under the upright hull of a box, 0 … 1."""
        h, w = self._sum.shape
        (x0, y0), (x1, y1) = box.min(axis=0), box.max(axis=0)
        a, b = int(np.clip(x0, 0, w - 2)), int(np.clip(y0, 0, h - 2))
        c, d = int(np.clip(x1, a + 1, w - 1)), int(np.clip(y1, b + 1, h - 1))
        s = self._sum
        return float((s[d, c] - s[b, c] - s[d, a] + s[b, a]) / ((c - a) * (d - b)))


def ink_of(image: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Return how busy each pixel of a picture is, 0 calm … 1 a sharp edge."""
    grey = image.astype(float).mean(axis=2) / 255
    # differences of neighbours, not over two pixels: those miss fine hatching
    across = np.abs(np.diff(grey, axis=1, append=grey[:, -1:]))
    down = np.abs(np.diff(grey, axis=0, append=grey[-1:]))
    return np.asarray(np.clip(2 * np.hypot(across, down), 0, 1), dtype=float)


def lay_out(
    wishes: Sequence[Wish],
    *,
    frame: tuple[float, float, float, float],
    taken: Sequence[Quad] = (),
    busy: Busy | None = None,
    gap: float = 3.0,
    reach: float = 90.0,
) -> Layout:
    """Give labels their places.

    Parameters
    ----------
    wishes : sequence of Wish
        What wants a place.
    frame : tuple of float
        Left, top, right, bottom that boxes stay inside. [px]
    taken : sequence of ndarray
        Convex shapes that nothing may cover. [px]
    busy : Busy or None
        What is drawn underneath; labels prefer calm places.
    gap : float
        Free space around each box. [px]
    reach : float
        Farthest distance of a box from its point. [px]
    """
    hindrances = [np.asarray(shape, float) for shape in taken]
    places: list[Place] = []
    granted: set[str] = set()
    refused: list[Wish] = []
    for wish in sorted(wishes, key=lambda w: (-w.priority, w.key)):
        if wish.one_of and wish.one_of in granted:
            continue
        place = _best(wish, frame, hindrances, busy, gap, reach)
        if place is None:
            refused.append(wish)
            continue
        granted.add(wish.one_of)
        places.append(place)
        hindrances.append(grown(place.box, gap))
        if place.leader is not None:
            hindrances.append(strip(place.leader))
    return Layout(tuple(places), _left_out(refused, granted))


def _left_out(refused: Sequence[Wish], granted: set[str]) -> int:
    """Count refused labels that matter; alternatives count once, and not if one was granted."""
    single = sum(wish.counted for wish in refused if not wish.one_of)
    choices = {wish.one_of for wish in refused if wish.counted and wish.one_of}
    return single + len(choices - granted)


def _best(
    wish: Wish,
    frame: tuple[float, float, float, float],
    hindrances: Sequence[Quad],
    busy: Busy | None,
    gap: float,
    reach: float,
) -> Place | None:
    """Return the cheapest free place, or None."""
    found: list[tuple[float, Place]] = []
    for cost, place in _candidates(wish, gap, reach):
        if busy is not None:
            cost += 260.0 * busy.mean(place.box)
        found.append((cost, place))
    for _, place in sorted(found, key=lambda item: item[0]):
        if _free(place, frame, hindrances):
            return place
    return None


def _free(
    place: Place, frame: tuple[float, float, float, float], hindrances: Sequence[Quad]
) -> bool:
    (x0, y0), (x1, y1) = place.box.min(axis=0), place.box.max(axis=0)
    if x0 < frame[0] or y0 < frame[1] or x1 > frame[2] or y1 > frame[3]:
        return False
    if any(overlap(place.box, other) for other in hindrances):
        return False
    if place.leader is None:
        return True
    # a leader starts at its own point, which may be a taken mark: test its outer part only
    outer = np.array(
        [place.leader[0] + 0.35 * (place.leader[1] - place.leader[0]), place.leader[1]]
    )
    return not any(overlap(strip(outer), other) for other in hindrances)


def _candidates(wish: Wish, gap: float, reach: float) -> list[tuple[float, Place]]:
    """Return possible places with their cost, nearest and upper right cheapest."""
    found = _along(wish)
    if wish.turn is not None and not wish.or_beside:
        return found
    near = 2.0 * gap + wish.clear
    for distance in (near, 0.3 * reach, 0.55 * reach, 0.8 * reach, reach):
        for k in range(16):
            angle = k * math.pi / 8
            box = _box_beside(wish, distance, angle)
            taste = 4.0 * (1 - math.cos(angle - math.pi / 4))
            leader = None if distance <= near else _leader(wish.at, box)
            found.append((distance + taste, Place(wish, box, leader)))
    return found


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
