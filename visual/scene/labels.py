"""Where labels go: as near to their place as they can without touching each other.

Plain geometry in pixels, x right, y down. Greedy by priority: each label tries places around
its point and takes the cheapest that is free; one that finds none is left out and counted.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.scene.boxes import Quad, crossings, grown, overlap, strip
from visual.scene.label_places import Place, Wish, distances_from, leader_to, offers_for

_RANK = 100.0  # a step of 1 in priority between alternatives is worth this much [px]
_FOREIGN = 30.0  # a box that lies nearer to another label's point costs this much [px]
_DOUBTFUL = 18.0  # and one that is hardly nearer to its own, this much [px]
_DOUBT = 4.0  # hardly: less than so many gaps


@dataclass(frozen=True)
class Layout:
    """All places, and how many labels found none."""

    places: tuple[Place, ...]
    left_out: int


class Busy:
    """How much is drawn where: summed so that the mean over any box is quick."""

    def __init__(self, ink: NDArray[np.float64]) -> None:
        self._sum = np.pad(ink.cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))

    def means(self, low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the mean ink in upright boxes given by two corners each, 0 … 1."""
        h, w = self._sum.shape
        a, b = (np.clip(low[:, k].astype(int), 0, n - 2) for k, n in ((0, w), (1, h)))
        c = np.clip(high[:, 0].astype(int), a + 1, w - 1)
        d = np.clip(high[:, 1].astype(int), b + 1, h - 1)
        s = self._sum
        inked = s[d, c] - s[b, c] - s[d, a] + s[b, a]
        return np.asarray(inked / ((c - a) * (d - b)), dtype=float)


def ink_of(image: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Return how busy each pixel of a picture is, 0 calm … 1 a sharp edge."""
    grey = image.astype(float).mean(axis=2) / 255
    # differences of neighbours, not over two pixels: those miss fine hatching
    across = np.abs(np.diff(grey, axis=1, append=grey[:, -1:]))
    down = np.abs(np.diff(grey, axis=0, append=grey[-1:]))
    return np.asarray(np.clip(2 * np.hypot(across, down), 0, 1), dtype=float)


@dataclass(frozen=True, eq=False)
class Ground:
    """What labels are laid out over.

    Parameters
    ----------
    frame : tuple of float
        Left, top, right, bottom that boxes stay inside. [px]
    busy : Busy or None
        What is drawn underneath; labels prefer calm places.
    lines : sequence of (ndarray of shape (n, 2, 2), float)
        Pieces of lines that text should not cross [px], and what crossing one costs. [px]
    points : ndarray, shape (n, 2)
        Places that have a name of their own. [px]
    middles : ndarray, shape (n, 2)
        Middles of what has its name on it, if there is room. [px]
    gap : float
        Free space around each box. [px]
    reach : float
        Farthest distance of a box from its point. [px]
    """

    frame: tuple[float, float, float, float]
    busy: Busy | None = field(default=None, repr=False)
    lines: Sequence[tuple[NDArray[np.float64], float]] = field(default=(), repr=False)
    points: NDArray[np.float64] = field(default_factory=lambda: np.empty((0, 2)), repr=False)
    middles: NDArray[np.float64] = field(default_factory=lambda: np.empty((0, 2)), repr=False)
    gap: float = 3.0
    reach: float = 90.0


def lay_out(
    wishes: Sequence[Wish],
    *,
    frame: tuple[float, float, float, float],
    taken: Sequence[Quad] = (),
    busy: Busy | None = None,
    lines: Sequence[tuple[NDArray[np.float64], float]] = (),
    gap: float = 3.0,
    reach: float = 90.0,
) -> Layout:
    """Give labels their places.

    Parameters
    ----------
    wishes : sequence of Wish
        What wants a place.
    taken : sequence of ndarray
        Convex shapes that nothing may cover. [px]
    frame, busy, lines, gap, reach
        See `Ground`.
    """
    points, middles = (
        np.array([wish.at for wish in wishes if wish.counted and kind(wish)]).reshape(-1, 2)
        for kind in (lambda wish: wish.turn is None, lambda wish: wish.or_beside)
    )
    ground = Ground(
        frame, busy=busy, lines=lines, points=points, middles=middles, gap=gap, reach=reach
    )
    hindrances = [np.asarray(shape, float) for shape in taken]
    places: list[Place] = []
    refused = 0
    for group in _groups(wishes):
        place = _best(group, ground, hindrances)
        if place is None:
            refused += int(any(wish.counted for wish in group))
            continue
        places.append(place)
        hindrances.append(grown(place.box, gap))
        if place.leader is not None:
            hindrances.append(strip(place.leader))
    return Layout(tuple(places), refused)


def _groups(wishes: Sequence[Wish]) -> list[list[Wish]]:
    """Return alternatives together, the most important first."""
    found: dict[str, list[Wish]] = {}
    for wish in sorted(wishes, key=lambda w: (-w.priority, w.key)):
        found.setdefault(wish.one_of or f" {wish.key}", []).append(wish)
    return list(found.values())


def _best(group: Sequence[Wish], ground: Ground, hindrances: Sequence[Quad]) -> Place | None:
    """Return the cheapest free place of all alternatives, or None."""
    offers = [offers_for(wish, ground.gap, ground.reach, ground.frame) for wish in group]
    costs, led = [], []
    for wish, offer in zip(group, offers, strict=True):
        foreign, doubtful = _mistakable(offer.boxes, wish, ground)
        late = _RANK * (group[0].priority - wish.priority)
        extra = _disturbances(offer.boxes, wish, ground)
        costs.append(offer.costs + late + extra + _FOREIGN * foreign + _DOUBTFUL * doubtful)
        led.append(offer.led | doubtful)
    owner = np.repeat(np.arange(len(group)), [len(offer.costs) for offer in offers])
    boxes, leads = np.concatenate([offer.boxes for offer in offers]), np.concatenate(led)
    for k in np.argsort(np.concatenate(costs), kind="stable"):
        wish, box = group[owner[k]], boxes[k]
        place = Place(wish, box, leader_to(wish.at, box) if leads[k] else None)
        if _free(place, hindrances):
            return place
    return None


def _nearby(wish: Wish, ground: Ground) -> list[tuple[NDArray[np.float64], float]]:
    """Return the pieces of lines that any place of a label can touch."""
    far = ground.reach + wish.clear + wish.slide + max(wish.size)
    low, high = wish.at - far, wish.at + far
    found = []
    for pieces, weight in ground.lines:
        touches = (pieces.max(axis=1) > low).all(axis=1) & (pieces.min(axis=1) < high).all(axis=1)
        found.append((pieces[touches], weight))
    return found


def _disturbances(boxes: NDArray[np.float64], wish: Wish, ground: Ground) -> NDArray[np.float64]:
    """Return what boxes cost for what they cover."""
    cost = np.zeros(len(boxes))
    if not len(boxes):
        return cost
    if ground.busy is not None:
        cost += 260.0 * ground.busy.means(boxes.min(axis=1), boxes.max(axis=1))
    for pieces, weight in _nearby(wish, ground):
        cost += weight * np.minimum(crossings(boxes, pieces), 3)
    return cost


def _mistakable(
    boxes: NDArray[np.float64], wish: Wish, ground: Ground
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return which boxes lie nearer to another label's point, and which hardly nearer to theirs."""
    never = np.zeros(len(boxes), dtype=bool)
    if wish.turn is not None or not len(boxes):
        return never, never
    low, high = boxes.min(axis=1), boxes.max(axis=1)
    own = distances_from(wish.at, boxes)[:, None]
    away = _distances(ground.points, wish, low, high)
    covers = _distances(ground.middles, wish, low, high) == 0.0
    foreign, hardly = away < 0.8 * own, away < own + _DOUBT * ground.gap
    is_foreign = np.asarray(foreign.any(axis=1), dtype=bool)
    return is_foreign | covers.any(axis=1), is_foreign | hardly.any(axis=1)


def _distances(
    points: NDArray[np.float64],
    wish: Wish,
    low: NDArray[np.float64],
    high: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return how far points other than a label's own lie from boxes, a row for each box. [px]"""
    others = points[np.linalg.norm(points - wish.at, axis=1) > 2.0]
    near = np.clip(others, low[:, None], high[:, None])
    return np.asarray(np.linalg.norm(others - near, axis=2), dtype=float)


def _free(place: Place, hindrances: Sequence[Quad]) -> bool:
    if any(overlap(place.box, other) for other in hindrances):
        return False
    if place.leader is None:
        return True
    # a leader starts at its own point, which may be a taken mark: test its outer part only
    outer = np.array(
        [place.leader[0] + 0.35 * (place.leader[1] - place.leader[0]), place.leader[1]]
    )
    return not any(overlap(strip(outer), other) for other in hindrances)
