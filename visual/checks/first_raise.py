"""The first raise, without the head, where it starts lower than the raise with the head.

Below the start angle with the head only what is there without it counts: mast, gin pole, wires,
side stays, tow line and vehicle. From there on both raises go the same way.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from visual.checks.clearance import certified_minima_of_all, nearer_of
from visual.checks.kept_minima import Minima, MinimaOf
from visual.checks.parts import first_raise_parts
from visual.checks.shapes import Shape
from visual.checks.sweep import MovingPart
from visual.model import Model
from visual.raising import FirstRaise, LengthChange, LineGround, Raise, Strike

FIRST_RAISE = "first raise, without the head"

Sampled = TypeVar("Sampled", Strike, LineGround)


def minima_of_both(
    model: Model,
    raised: Raise,
    parts: Sequence[MovingPart],
    shapes: Sequence[Shape],
    *,
    spans: Sequence[tuple[float, float]],
    minima_of: MinimaOf = certified_minima_of_all,
) -> tuple[Minima, Minima]:
    """Return the certified minima of parts over both raises, and over that with the head alone."""
    if raised.first is None:
        alone = minima_of(parts, shapes, spans=spans)
        return alone, alone
    names = {part.name for part in parts}
    lower = [p for p in first_raise_parts(model, raised.first) if p.name in names]
    below = lower_span(raised.first)
    # one search for all is quicker than one after the other
    both = minima_of([*parts, *lower], shapes, spans=[*spans, *[below for _ in lower]])
    further = {part.name: both[len(parts) + row] for row, part in enumerate(lower)}
    alone = both[: len(parts)]
    together = tuple(
        tuple(map(nearer_of, of_part, further.get(part.name, of_part)))
        for part, of_part in zip(parts, alone, strict=True)
    )
    return together, alone


def lower_span(first: FirstRaise) -> tuple[float, float]:
    """Return the angles that only the first raise goes through. [rad]"""
    return float(first.angles[0]), float(first.angles[-1])


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
