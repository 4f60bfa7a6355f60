"""Mirror images: other layouts that fit the same readings."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from visual.crew.adjustment import Adjustment, adjust
from visual.crew.network import Array
from visual.model import Model
from visual.rig import SIDES

WORSE = 9.0
"""A layout whose sum of squares is larger by no more than this cannot be told apart: three
standard deviations."""

APART = 0.05  # [m] layouts nearer than this are the same
TRY_BELOW = 40.0  # [1] standard deviations; a reflection that misses more is no starting point
MOST_POINTS = 7  # of the sought points, beyond which only single points are reflected

NAME_TELLS = math.radians(45.0)
"""An anchor farther than this from its side's bearing is the anchor of another side."""


@dataclass(frozen=True)
class Mirror:
    """Another layout that fits the readings as well.

    Parameters
    ----------
    points : tuple of str
        Points that are elsewhere in it.
    line : tuple of str
        The two points on the line they are reflected in.
    unknowns : ndarray, shape (n,)
        The other layout.
    chi_squared : float
        Its sum of squares. [1]
    told_by_names : bool
        True if in it an anchor stands on the side of another one, so that the names settle it.
    """

    points: tuple[str, ...]
    line: tuple[str, str]
    unknowns: Array = field(repr=False)
    chi_squared: float
    told_by_names: bool

    @property
    def question(self) -> str:
        """Which reading would settle it."""
        point, (start, end) = self.points[0], self.line
        return (
            f"add a compass bearing from the hinge to {point}, or a tape to {point} from a point "
            f"well off the line {start} – {end}"
        )


def find_mirrors(model: Model, best: Adjustment) -> tuple[Mirror, ...]:
    """Return the other layouts that fit, those that names cannot tell apart first.

    Every group of points is reflected in the plumb plane through every two others, and fitted
    again from there.
    """
    found: list[Mirror] = []
    most = max(TRY_BELOW, float(np.abs(best.misfit).max(initial=0.0)))
    for points, line in _reflections(best):
        start = _reflected(best, points, line)
        if start is None or np.abs(best.network.misfit(start)[0]).max(initial=0.0) > most:
            continue
        other = adjust(best.network, start)
        if other.chi_squared > best.chi_squared + WORSE:
            continue
        moved = _moved(best, other)
        if not moved or any(_same(mirror.unknowns, other.unknowns, best) for mirror in found):
            continue
        told = _told_by_names(model, other)
        found.append(Mirror(moved, line, other.unknowns, other.chi_squared, told))
    return tuple(sorted(found, key=lambda mirror: (mirror.told_by_names, len(mirror.points))))


def _reflections(best: Adjustment) -> Iterator[tuple[tuple[str, ...], tuple[str, str]]]:
    points = best.network.points
    largest = len(points) if len(points) <= MOST_POINTS else 1
    for size in range(1, largest + 1):
        for group in combinations(points, size):
            rest = ["hinge", *(point for point in points if point not in group)]
            for line in combinations(rest, 2):
                yield group, (line[0], line[1])
    for point in points:  # the whole layout, seen in a mirror: the line stays through one of them
        yield tuple(other for other in points if other != point), ("hinge", point)


def _reflected(best: Adjustment, points: tuple[str, ...], line: tuple[str, str]) -> Array | None:
    network, unknowns = best.network, best.unknowns
    first, second = (network.place(unknowns, name)[:2] for name in line)
    along = second - first
    length = float(np.hypot(*along))
    if length < APART:
        return None
    along = along / length
    start = unknowns.copy()
    for point in points:
        index = network.index(point)
        if index is not None:
            away = unknowns[index : index + 2] - first
            start[index : index + 2] = first + 2 * (away @ along) * along - away
    return start


def _moved(best: Adjustment, other: Adjustment) -> tuple[str, ...]:
    moved = []
    for point in best.network.points:
        index = best.network.index(point)
        if index is None:
            continue
        shift = other.unknowns[index : index + 3] - best.unknowns[index : index + 3]
        if np.linalg.norm(shift) > APART:
            moved.append(point)
    return tuple(moved)


def _same(one: Array, other: Array, best: Adjustment) -> bool:
    size = 3 * len(best.network.points)
    return bool(np.abs(one[:size] - other[:size]).max(initial=0.0) < APART)


def _told_by_names(model: Model, other: Adjustment) -> bool:
    for side in SIDES:
        if side not in other.network.points:
            continue
        x, y, _ = other.network.place(other.unknowns, side)
        nominal = model.rig.front + SIDES.index(side) * math.pi / 2
        if abs(math.remainder(math.atan2(x, y) - nominal, math.tau)) > NAME_TELLS:
            return True
    return False
