"""The first raise, without the head, where it starts lower than the raise with the head.

Below the start angle with the head only what is there without it counts: mast, gin pole, wires,
side stays, tow line and vehicle. From there on both raises go the same way.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from visual.checks.clearance import Closest, nearer_minima
from visual.checks.parts import first_raise_parts
from visual.checks.shapes import Shape
from visual.checks.sweep import MovingPart
from visual.model import Model
from visual.raising import LengthChange, LineGround, Raise, Strike

FIRST_RAISE = "first raise, without the head"

Sampled = TypeVar("Sampled", Strike, LineGround)

Minima = tuple[tuple[Closest, ...], ...]
"""The smallest distance of each part to each obstacle."""


def lower_minima(
    model: Model,
    raised: Raise,
    parts: Sequence[MovingPart],
    shapes: Sequence[Shape],
    minima: Minima,
) -> Minima:
    """Return the minima of parts with what is nearer on the first raise taken in."""
    first = raised.first
    if first is None:
        return minima
    lower = {part.name: part for part in first_raise_parts(model, first)}
    rows = [row for row, part in enumerate(parts) if part.name in lower]
    nearer = nearer_minima(
        [lower[parts[row].name] for row in rows],
        shapes,
        span=(float(first.angles[0]), float(first.angles[-1])),
        known=[minima[row] for row in rows],
    )
    by_row = dict(zip(rows, nearer, strict=True))
    return tuple(by_row.get(row, known) for row, known in enumerate(minima))


def is_first_raise(raised: Raise, angle: float) -> bool:
    """Return whether only the mast of the first raise lies as low as an angle [rad]."""
    return raised.first is not None and angle < raised.first_angle


def said_when(raised: Raise, angle: float) -> str:
    """Return what to add to a message about what happens at an angle [rad]; mostly nothing."""
    return f", {FIRST_RAISE}" if is_first_raise(raised, angle) else ""


def worse_sample(one: Sampled, other: Sampled | None) -> Sampled:
    """Return which of two has less room over the ground; what is unknown comes first."""
    if other is None or math.isnan(one.least_room):
        return one
    return one if one.least_room <= other.least_room else other


def worse_strike(raised: Raise) -> Strike:
    """Return the strike of the gin pole over both raises."""
    if raised.first is None:
        return raised.gin_strike
    both = (raised.first.gin_strike, raised.gin_strike)
    strikes = [one.strikes_at for one in both if one.strikes_at is not None]
    worse = worse_sample(raised.gin_strike, raised.first.gin_strike)
    return replace(worse, strikes_at=min(strikes, default=None))


def worse_stays(raised: Raise) -> tuple[tuple[LengthChange, bool], ...]:
    """Return each side stay on the raise that asks more of it; and if that is the first raise."""
    first = raised.first
    if first is None:
        return tuple((stay, False) for stay in raised.side_stays)
    pairs = zip(raised.side_stays, first.side_stays, strict=True)
    return tuple(
        (lower, True) if lower.tightest[1] > stay.tightest[1] else (stay, False)
        for stay, lower in pairs
    )
