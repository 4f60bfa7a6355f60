"""The order of work at the turnbuckles: small rounds, so that no side is ever loose."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from visual.crew.balance import initial_tension
from visual.crew.standing import Key, stand
from visual.model import Model, Vector

STEP = 0.004
"""No wire is changed by more than this in one round: about one turn of a common turnbuckle. [m]"""

LOOSE = 0.3
"""A wire below this share of its initial tension is loose; common practice, no source. [1]"""

MOST_HALVINGS = 3


@dataclass(frozen=True)
class Rounds:
    """How often to go around, and what to do each time.

    Parameters
    ----------
    count : int
        How many rounds; each does the same. 0 if there is nothing to do.
    steps : tuple of ((side, level), float)
        In this order: the wire and the change of its length in one round, + longer. [m]
    lowest : float
        Lowest tension of any wire after any step of the first and the last round, over the
        initial tension of its level. [1]
    highest : float
        The highest likewise. [1]
    """

    count: int
    steps: tuple[tuple[Key, float], ...]
    lowest: float
    highest: float

    @property
    def never_loose(self) -> bool:
        """True if no wire goes loose on the way that was not loose before."""
        return self.lowest >= LOOSE


def plan_rounds(
    model: Model, lengths: Mapping[Key, float], done: Mapping[Key, float], *, near: Vector
) -> Rounds:
    """Return the order of work from lengths as they are to lengths as they should be.

    Each round first shortens, then lengthens, from the lowest level up: the mast is held from all
    sides at any moment. If a wire would go loose, the rounds are made smaller.

    Parameters
    ----------
    model : Model
        The mast on its site.
    lengths, done : mapping of (side, level) to float
        Unstressed lengths before and after. [m]
    near : ndarray, shape (2,)
        Lean before. [1]
    """
    changes = {key: done[key] - lengths[key] for key in lengths}
    largest = max(abs(change) for change in changes.values())
    if largest < 1e-9:
        return Rounds(0, (), *_extremes(model, [stand(model, lengths, near=near).tensions]))
    order = sorted(
        (key for key in changes if abs(changes[key]) > 1e-9),
        key=lambda key: (changes[key] > 0, key[1]),
    )
    rounds = None
    for halving in range(MOST_HALVINGS + 1):
        count = math.ceil(largest / STEP * 2**halving - 1e-9)
        steps = tuple((key, changes[key] / count) for key in order)
        lowest, highest = _extremes(model, _on_the_way(model, lengths, steps, count, near))
        rounds = Rounds(count, steps, lowest, highest)
        if rounds.never_loose:
            break
    assert rounds is not None
    return rounds


def _on_the_way(
    model: Model,
    lengths: Mapping[Key, float],
    steps: tuple[tuple[Key, float], ...],
    count: int,
    near: Vector,
) -> Iterator[Mapping[Key, float]]:
    """Yield the tensions after every step of the first and of the last round. [N]"""
    lean = near
    for turn in sorted({0, count - 1}):
        current = dict(lengths)
        for key, change in steps:
            current[key] += turn * change
        for key, change in steps:
            current[key] += change
            standing = stand(model, current, near=lean)
            lean = np.asarray(standing.lean)
            yield standing.tensions


def _extremes(
    model: Model, states: Iterator[Mapping[Key, float]] | list[Mapping[Key, float]]
) -> tuple[float, float]:
    shares = [
        tension / initial_tension(model, level)
        for tensions in states
        for (_, level), tension in tensions.items()
    ]
    return min(shares), max(shares)
