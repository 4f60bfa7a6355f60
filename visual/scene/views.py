"""The named views: where each picture of a site is taken from, and what it shows."""

import math
import re
from dataclasses import dataclass, replace

import numpy as np

from visual.checks import Report
from visual.model import Model, PlacedViewpoint
from visual.raising import pose_at
from visual.scene.attention import CLOSEST, worst_clearance
from visual.scene.camera import View, fit_orthographic, fit_perspective
from visual.scene.framing import (
    best_bearing,
    clearest_way,
    emptier_side,
    level_ring,
    slanted,
    swept,
    vehicle_places,
    whole_site,
)
from visual.scene.power_line import crossing
from visual.scene.section import ACROSS, ALONG
from visual.scene.terrain import Terrain, circle

ASPECT = 1.35  # of the drawing beside a legend; perspective views are fitted to it
_UP = np.array([0.0, 0.0, 1.0])
_RIG = ("rig", "mast")
_FLAT = frozenset({"zones", "setbacks", "contours", "areas", "area_names", "hoops", "viewpoints"})
"""Groups that a view from the side leaves out."""


@dataclass(frozen=True, eq=False)
class Shot:
    """A view and the raising angle it shows.

    Parameters
    ----------
    view : View
        The view.
    angle : float or None
        Raising angle; None for the standing mast. [rad]
    movable : bool
        False if the view makes sense at its own angle only.
    """

    view: View
    angle: float | None
    movable: bool = True


def named_shots(report: Report, terrain: Terrain) -> tuple[Shot, ...]:
    """Return every picture of a site, in the order in which they are best read."""
    shots = [
        Shot(overview(report, terrain), None),
        Shot(plan(report), None),
        Shot(raising(report), max(math.radians(30.0), report.raised.first_angle)),
        Shot(front(report), None),
    ]
    worst = worst_clearance(report)
    if worst is not None:
        shots.append(Shot(closest(report, terrain), worst.closest.angle, movable=False))
    for viewpoint in report.model.surroundings.viewpoints:
        if np.isfinite(viewpoint.eye).all():
            shots.append(Shot(from_viewpoint(report.model, viewpoint), None))
    return tuple(shots)


def overview(report: Report, terrain: Terrain) -> View:
    """Return the whole site at a slant, seen from where it shows most."""
    bearing = best_bearing(report, terrain)
    back = slanted(bearing, math.radians(24.0))
    view = View(
        name="overview",
        title="Overview",
        projection="perspective",
        eye=100 * back,
        target=np.zeros(3),
        up=_UP,
        field_of_view=math.radians(28.0),
        hidden=frozenset({"ghosts"}),
    )
    return fit_perspective(view, whole_site(report), aspect=ASPECT, margin=0.04)


def plan(report: Report) -> View:
    """Return the plan, north up."""
    view = View(
        name="plan",
        title="Plan",
        projection="orthographic",
        eye=100 * _UP,
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        hidden=frozenset({"ghosts", "hoops", "anchor_names"}),
        only=frozenset({"only:plan"}),
        on_top=_RIG,
    )
    reach = max(report.fall_zone.circle_radius, report.fall_zone.total_height)
    points = np.concatenate([level_ring(circle(radius=1.04 * reach)), vehicle_places(report)])
    return fit_orthographic(view, points, margin=0.03)


def raising(report: Report) -> View:
    """Return the side view, square to the raising plane."""
    model = report.model
    side = emptier_side(model)
    view = View(
        name="raising",
        title="Raising, side view",
        projection="orthographic",
        eye=100 * side,
        target=np.zeros(3),
        up=_UP,
        panel="bottom",
        hidden=_FLAT | _crossed_lines(model),
        only=frozenset({ALONG}),
        on_top=(ALONG, "ghosts", *_RIG),
        wash=0.5,
        clip=(np.zeros(3), -side),
    )
    return fit_orthographic(view, np.concatenate([swept(report), vehicle_places(report)]))


def _crossed_lines(model: Model) -> frozenset[str]:
    """Return the names of lines as hidden if the cut itself names them."""
    crossed = any(
        True for line in model.surroundings.lines for _ in crossing(line, model.rightward)
    )
    return frozenset({"line_names"}) if crossed else frozenset()


def front(report: Report) -> View:
    """Return the view from the front along the raising plane, cut at the hinge axis."""
    model = report.model
    view = View(
        name="front",
        title="Front view",
        projection="orthographic",
        eye=100 * model.forward,
        target=np.zeros(3),
        up=_UP,
        hidden=_FLAT | {"ghosts"},
        only=frozenset({ACROSS}),
        on_top=(ACROSS, *_RIG),
        wash=0.6,
        clip=(np.zeros(3), -model.forward),
    )
    top = (model.rig.mast.reach + 1.0) * _UP
    wide = 1.35 * max(anchor.radius for anchor in model.anchors.values())
    low = min(float(anchor.eye[2]) for anchor in model.anchors.values()) - 3.0
    sides = [x * wide * model.rightward + low * _UP for x in (-1, 1)]
    return fit_orthographic(view, np.array([top, *sides]), margin=0.03)


def closest(report: Report, terrain: Terrain) -> View:
    """Return a view square to the shortest line between the worst part and its obstacle."""
    worst = worst_clearance(report)
    if worst is None:
        message = "nothing stands around this mast, so nothing comes close"
        raise ValueError(message)
    near = worst.closest
    middle = (near.at_part + near.at_obstacle) / 2
    back = clearest_way(report.model, middle, near.at_obstacle - near.at_part, terrain)
    view = View(
        name="closest",
        title=f"Closest approach, mast at {math.degrees(near.angle):.0f}°",
        projection="perspective",
        eye=middle + 60 * back,
        target=middle,
        up=_UP,
        field_of_view=math.radians(26.0),
        hidden=frozenset({"ghosts", "viewpoints", "setbacks"}),
        only=frozenset({CLOSEST}),
    )
    pose = pose_at(report.model, near.angle)
    around = 2.5 * np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]])
    points = [np.zeros(3), pose.top, pose.tip, near.at_part, near.at_obstacle]
    every = np.concatenate([np.array(points), middle + around])
    return fit_perspective(view, every, aspect=ASPECT, margin=0.1)


def from_viewpoint(model: Model, viewpoint: PlacedViewpoint) -> View:
    """Return what somebody sees who looks at the standing mast."""
    top = model.rig.mast.reach
    target = np.array([0.0, 0.0, 0.42 * top])
    away = float(np.linalg.norm(viewpoint.eye - target))
    opening = 2.6 * math.atan2(top / 2, away)
    return View(
        name=f"from-{slug(viewpoint.name)}",
        title=f"Seen from: {viewpoint.name}",
        projection="perspective",
        eye=viewpoint.eye,
        target=target,
        up=_UP,
        field_of_view=float(np.clip(opening, math.radians(30.0), math.radians(60.0))),
        hidden=_FLAT - {"areas"} | {"ghosts", "clearance", "anchors", "anchor_names"},
    )


def slug(name: str) -> str:
    """Return a name as it can stand in a file name."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "viewpoint"


def at_angle(shot: Shot, angle: float | None) -> Shot:
    """Return a shot at another raising angle [rad], if it may have one."""
    if angle is None or not shot.movable:
        return shot
    title = f"{shot.view.title}, mast at {math.degrees(angle):.0f}°"
    return replace(shot, angle=angle, view=replace(shot.view, title=title))
