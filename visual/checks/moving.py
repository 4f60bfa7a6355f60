"""Clearances of every moving part to everything around, through the whole arc."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from visual.checks.clearance import Closest, certified_minima_of_all
from visual.checks.finding import Finding
from visual.checks.first_raise import is_first_raise, minima_of_both, said_when
from visual.checks.judge import (
    NEAR,
    UNPLACED,
    as_place,
    degrees_or_none,
    not_checked,
    status_of_margin,
)
from visual.checks.kept_minima import MinimaOf
from visual.checks.parts import moving_parts, standing_parts
from visual.checks.shapes import Missing, Shape, building_shape, line_shapes, tree_shape
from visual.model import Model, Surroundings
from visual.raising import Raise
from visual.site import Limit, Requirement
from visual.units import Sentence, metres, say


@dataclass(frozen=True)
class Obstacle:
    """One thing to keep clear of.

    Parameters
    ----------
    kind : {"building", "tree", "overhead_line"}
        What it is.
    shape : Shape
        Its surface.
    requirement : Requirement
        Distance to keep and where it comes from.
    """

    kind: str
    shape: Shape
    requirement: Requirement

    @property
    def name(self) -> str:
        """Its name in findings and pictures."""
        return self.shape.name

    @property
    def check(self) -> str:
        """The check its clearances belong to."""
        return check_of_kind(self.kind)


@dataclass(frozen=True)
class Clearance:
    """The smallest distance between one moving part and one obstacle, certified to 1 mm.

    Parameters
    ----------
    part : str
        The moving part.
    obstacle : Obstacle
        What it comes near.
    closest : Closest
        Distance, angle and places.
    first_raise : bool
        True if it is found only on the first raise, without the head, which starts lower.
    with_head : Closest
        Distance, angle and places on the raise with all that is mounted; `closest` unless the
        first raise comes nearer.
    """

    part: str
    obstacle: Obstacle
    closest: Closest
    first_raise: bool
    with_head: Closest

    @property
    def margin(self) -> float:
        """Certified distance beyond what is required; negative: too near. [m]"""
        return self.closest.lower_bound - (self.obstacle.requirement.distance or 0.0)


@dataclass(frozen=True)
class Around:
    """Everything around: what can be measured to, and what cannot.

    Parameters
    ----------
    obstacles : tuple of Obstacle
        What clearances are measured to.
    missing : tuple of Missing
        What could not be placed, with the reason.
    """

    obstacles: tuple[Obstacle, ...]
    missing: tuple[Missing, ...]


def check_of_kind(kind: str) -> str:
    """Return the name of the check for obstacles of a kind."""
    return "overhead line" if kind == "overhead_line" else "clearance"


def find_obstacles(model: Model) -> Around:
    """Return everything around with the distance to keep from it."""
    around, limits = model.surroundings, model.site.limits
    found: list[tuple[Shape | Missing, Requirement]] = []
    building, tree = _plain(limits.building_clearance), _plain(limits.tree_clearance)
    found += [(building_shape(one), building) for one in around.buildings]
    found += [(tree_shape(one), tree) for one in around.trees]
    for line in around.lines:
        required = limits.overhead_line.required(line.voltage_kv)
        found += [(shape, required) for shape in line_shapes(line)]
    return Around(
        obstacles=tuple(Obstacle(s.kind, s, r) for s, r in found if isinstance(s, Shape)),
        missing=tuple(shape for shape, _ in found if isinstance(shape, Missing)),
    )


def _plain(limit: Limit[float]) -> Requirement:
    return Requirement(limit.value, limit.basis, limit.overridden)


def find_clearances(
    model: Model,
    raised: Raise,
    obstacles: Sequence[Obstacle],
    *,
    minima_of: MinimaOf = certified_minima_of_all,
) -> tuple[Clearance, ...]:
    """Return the certified smallest distance of every part to every obstacle, on both raises."""
    start, end = raised.first_angle, float(raised.angles[-1])
    shapes = [obstacle.shape for obstacle in obstacles]
    parts = [(part, start) for part in moving_parts(model, raised)]
    parts += [(part, end) for part in standing_parts(model)]
    together, alone = minima_of_both(
        model,
        raised,
        [part for part, _ in parts],
        shapes,
        spans=[(at, end) for _, at in parts],
        minima_of=minima_of,
    )
    return tuple(
        Clearance(part.name, obstacle, closest, is_first_raise(raised, closest.angle), with_head)
        for (part, _), of_part, of_loaded in zip(parts, together, alone, strict=True)
        for obstacle, closest, with_head in zip(obstacles, of_part, of_loaded, strict=True)
    )


def judge_clearances(
    model: Model, raised: Raise, around: Around, clearances: Sequence[Clearance]
) -> list[Finding]:
    """Return one finding per obstacle, for its worst part, and what could not be measured."""
    findings = [
        not_checked(check_of_kind(m.kind), m.name, say("{}", m.reason)) for m in around.missing
    ]
    findings += _unmeasured(model, raised)
    for obstacle in around.obstacles:
        of_this = [clearance for clearance in clearances if clearance.obstacle is obstacle]
        findings.append(_judge(raised, min(of_this, key=lambda clearance: clearance.margin)))
    return findings


def _unmeasured(model: Model, raised: Raise) -> Iterator[Finding]:
    """Yield a finding for what was not measured to or from at all."""
    if model.surroundings == Surroundings():
        reason = say(
            "no surroundings are known: nobody looked for buildings, trees or overhead lines"
        )
        yield not_checked("clearance", "surroundings", reason)
    for side, anchor in model.anchors.items():
        if not anchor.placed:
            yield not_checked("clearance", f"wires to the {side} anchor", UNPLACED)
    if np.isnan(raised.tow.distance).any():
        reason = say(
            "vehicle and tow line have no place on the lane, so nothing was measured from them"
        )
        yield not_checked("clearance", "tow line and vehicle", reason)
    elif raised.first is not None and np.isnan(raised.first.tow.distance).any():
        reason = say(
            "vehicle and tow line have no place on the lane below the start angle with the head, "
            "so nothing was measured from them there"
        )
        yield not_checked("clearance", "tow line and vehicle, first raise", reason)


def _judge(raised: Raise, worst: Clearance) -> Finding:
    closest, requirement = worst.closest, worst.obstacle.requirement
    subject = f"{worst.part} to {worst.obstacle.name}"
    when = said_when(raised, closest.angle)
    if requirement.distance is None:
        return Finding(
            check="overhead line",
            subject=subject,
            status="not checked",
            value=closest.distance,
            unit="m",
            angle=degrees_or_none(closest.angle),
            where=as_place(closest.at_part),
            message=say(
                "comes within {}{}; no table gives a distance", metres(closest.distance), when
            ),
            basis=requirement.basis,
        )
    return Finding(
        check=worst.obstacle.check,
        subject=subject,
        status=status_of_margin(worst.margin, near=NEAR),
        value=closest.distance,
        limit=requirement.distance,
        bound="at least",
        unit="m",
        margin=worst.margin,
        angle=degrees_or_none(closest.angle),
        where=as_place(closest.at_part),
        message=_advice(worst, when),
        basis=requirement.basis,
    )


def _advice(worst: Clearance, when: str) -> Sentence:
    closest, note = worst.closest, worst.obstacle.shape.note
    said = say(
        "{} at its nearest{}{}", metres(closest.distance), when, f" ({note})" if note else ""
    )
    if worst.margin >= 0.0:
        return said
    if worst.obstacle.kind == "overhead_line":
        advice = "treat the line as live; move the mast, or ask the line's owner first"
    else:
        advice = "move the mast or turn its front"
    return say("{}: {}", said, advice)
