"""Closest approaches as plain data: the shortest line to each obstacle, on each raise."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from visual.checks import Clearance, Report
from visual.checks.first_raise import FIRST_RAISE
from visual.page.packing import Json
from visual.scene.attention import describe, looks_clear, shortest_line, worst_clearance
from visual.units import UnitSystem, format_length

WITH_HEAD, BARE = "loaded", "bare"
"""The raises: with all that is mounted, and the first one, without the head."""

_ONLY_WITH_HEAD = frozenset({"head", "rotor"})


@dataclass(frozen=True)
class Approach:
    """The nearest that anything comes to one obstacle.

    Parameters
    ----------
    clearance : Clearance
        The part that comes nearest to what is required, certified.
    raises : tuple of str
        The raises on which it is so.
    """

    clearance: Clearance
    raises: tuple[str, ...]


def approaches(report: Report) -> tuple[Approach, ...]:
    """Return for each obstacle what comes nearest, with the head and on the first raise."""
    return tuple(found for found in _approaches(report) if _is_known(found.clearance))


def _approaches(report: Report) -> Iterator[Approach]:
    has_head = report.model.rig.mast.head is not None
    for obstacle in report.around.obstacles:
        every = [one for one in report.clearances if one.obstacle is obstacle]
        loaded = _nearest([replace(c, closest=c.with_head, first_raise=False) for c in every])
        if not has_head:
            yield Approach(loaded, (WITH_HEAD,))
            continue
        bare = _nearest([one for one in every if one.part not in _ONLY_WITH_HEAD])
        if bare.part == loaded.part and bare.closest.angle == loaded.closest.angle:
            yield Approach(loaded, (WITH_HEAD, BARE))
        else:
            yield Approach(loaded, (WITH_HEAD,))
            yield Approach(bare, (BARE,))


def _nearest(found: list[Clearance]) -> Clearance:
    return min(found, key=lambda clearance: clearance.margin)


def _is_known(found: Clearance) -> bool:
    return math.isfinite(found.closest.distance) and math.isfinite(found.closest.angle)


def approaches_data(report: Report) -> list[Json]:
    """Return the closest approaches, nearest to what is required first."""
    worst = worst_clearance(report)
    found = sorted(approaches(report), key=lambda one: one.clearance.margin)
    far = report.model.rig.mast.total_height
    return [
        {
            "subject": subject_of(one.clearance),
            "raises": list(one.raises),
            "angle": math.degrees(one.clearance.closest.angle),
            "ends": shortest_line(one.clearance).tolist(),
            "reach": _reach(report, one.clearance),
            "role": "worst_clear" if looks_clear(one.clearance) else "worst",
            "worst": worst is not None and _same(one.clearance, worst),
            # lines longer than the mast tell little, and there may be many
            "far": one.clearance.closest.distance > far,
            "length": {
                "metric": format_length(one.clearance.closest.distance, "metric"),
                "imperial": format_length(one.clearance.closest.distance, "imperial"),
            },
            "text": {"metric": _text(one, "metric"), "imperial": _text(one, "imperial")},
        }
        for one in found
    ]


def subject_of(found: Clearance) -> str:
    """Return what a clearance is of, in the words of its finding."""
    return f"{found.part} to {found.obstacle.name}"


def _reach(report: Report, found: Clearance) -> Json | None:
    """Return the ball that a rotor, free to turn, can reach; None for any other part."""
    head = report.model.rig.mast.head
    if found.part != "rotor" or head is None:
        return None
    return {"centre": found.closest.at_part.tolist(), "radius": head.rotor_radius}


def _same(one: Clearance, other: Clearance) -> bool:
    return (
        one.obstacle is other.obstacle
        and one.part == other.part
        and one.closest.angle == other.closest.angle
    )


def _text(one: Approach, units: UnitSystem) -> str:
    text = describe(one.clearance, units)
    only_first = one.raises == (BARE,) and not one.clearance.first_raise
    return f"{text}\n{FIRST_RAISE}" if only_first else text
