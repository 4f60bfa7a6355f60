"""What needs attention as layers: the closest approach of all."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Clearance, Report
from visual.checks.first_raise import FIRST_RAISE
from visual.raising.motion import rotor_centre
from visual.scene.camera import ASPECT, View
from visual.scene.framing import best_beside
from visual.scene.layers import (
    AnyLayer,
    LabelLayer,
    LineLayer,
    MarkLayer,
    MarkShape,
    Points,
    degrees_text,
)
from visual.scene.solids import ring_about
from visual.scene.terrain import Terrain
from visual.units import UnitSystem, format_length

CLOSEST = "only:closest"

_KINDS = ("overhead_line", "building", "tree")


def worst_clearance(report: Report) -> Clearance | None:
    """Return the clearance that needs a picture most, or None if nothing stands around.

    What is too near comes first, then what no table judges; if everything is clear, the power
    line before a building before a tree.
    """
    known = [c for c in report.clearances if math.isfinite(c.closest.distance)]
    judged = [c for c in known if c.obstacle.requirement.distance is not None]
    near = [c for c in judged if c.margin < 0]
    if near:
        return min(near, key=lambda c: c.margin)
    unjudged = [c for c in known if c.obstacle.requirement.distance is None]
    if unjudged:
        return min(unjudged, key=lambda c: c.closest.distance)
    return min(judged, key=lambda c: (_KINDS.index(c.obstacle.kind), c.margin), default=None)


def closest_layers(report: Report, terrain: Terrain) -> Iterator[AnyLayer]:
    """Return the shortest line between the worst part and its obstacle, with its length."""
    worst = worst_clearance(report)
    if worst is None:
        return
    ends = shortest_line(worst)
    is_clear = looks_clear(worst)
    role = "worst_clear" if is_clear else "worst"
    yield LineLayer(role=role, group=CLOSEST, name="closest approach", paths=(ends,))
    shape: MarkShape = "dot" if is_clear else "triangle"
    yield MarkLayer(role=f"{role}_mark", group=CLOSEST, name="ends", at=ends, shape=shape)
    yield LabelLayer(
        role="label" if is_clear else "warning",
        group=CLOSEST,
        name="closest approach",
        text=closest_words(report, worst),
        at=ends.mean(axis=0),
        priority=20,
        label_kind="warning",
    )
    head = report.model.rig.mast.head
    if worst.part == "rotor" and head is not None:
        view = closest_slant(report, worst, terrain)
        yield _ball(report, worst, view, radius=head.rotor_radius)


def _ball(report: Report, worst: Clearance, view: View, *, radius: float) -> LineLayer:
    """Return how far the rotor reaches, as the closest view sees it."""
    centre = rotor_centre(report.model, np.array([worst.closest.angle]))[0]
    ring = ring_about(centre, np.asarray(view.eye, float) - centre, radius)
    return LineLayer(role="rotor_reach", group=CLOSEST, name="reach of the rotor", paths=(ring,))


def closest_slant(report: Report, worst: Clearance, terrain: Terrain) -> View:
    """Return the view that looks across a clearance."""
    view = View(
        name="closest",
        title=f"Closest approach, mast at {degrees_text(worst.closest.angle)}",
        projection="perspective",
        eye=np.array([0.0, 0.0, 100.0]),
        target=np.zeros(3),
        up=np.array([0.0, 0.0, 1.0]),
        field_of_view=math.radians(26.0),
        hidden=frozenset({"ghosts", "viewpoints"}),
        only=frozenset({CLOSEST}),
    )
    ends = np.array([worst.closest.at_part, worst.closest.at_obstacle])
    angle = worst.closest.angle
    return best_beside(report, terrain, view, ends, angle=angle, aspect=ASPECT)


def shortest_line(worst: Clearance) -> Points:
    """Return the ends of the clearance on both surfaces, shape (2, 3). [m]"""
    part, obstacle = worst.closest.at_part, worst.closest.at_obstacle
    between = float(np.linalg.norm(obstacle - part))
    if between < 1e-9:
        return np.array([part, obstacle])
    way = (obstacle - part) / between
    behind = min(worst.obstacle.shape.radius, between)
    end = obstacle - behind * way
    return np.array([end - min(worst.closest.distance, between) * way, end])


def looks_clear(found: Clearance) -> bool:
    """Return whether a clearance may look clear: what nobody could judge must not."""
    return found.obstacle.requirement.distance is not None and found.margin >= 0


def closest_words(report: Report, worst: Clearance) -> str:
    """Return the words of the closest approach; below level nothing is clear if it is unknown."""
    text = describe(worst, report.model.site.site.units)
    if math.isfinite(report.raised.start.angle):
        return text
    return f"{text}\nfrom level up: start not known"


def describe(worst: Clearance, units: UnitSystem) -> str:
    """Return a clearance in words."""
    required = worst.obstacle.requirement.distance
    found = format_length(worst.closest.distance, units)
    word = "NOT CHECKED: "
    if required is not None:
        word = "TOO NEAR: " if worst.margin < 0 else "clear: "
    needs = "no table gives a distance"
    if required is not None:
        needs = f"needs {format_length(required, units)}"
    at = f"at {degrees_text(worst.closest.angle)}"
    when = f"\n{FIRST_RAISE}" if worst.first_raise else ""
    return f"{word}{worst.part} to {worst.obstacle.name}\n{found} {at}, {needs}{when}"
