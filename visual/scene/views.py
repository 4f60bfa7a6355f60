"""The named views: where each picture of a site is taken from, and what it shows."""

import math
import re
from dataclasses import dataclass, replace

import numpy as np

from visual.checks import Report
from visual.model import Model, PlacedViewpoint
from visual.scene.attention import closest_slant, worst_clearance
from visual.scene.camera import ASPECT, View, fit_orthographic
from visual.scene.crew_views import heights_known, stakeout, wires
from visual.scene.force_view import forces
from visual.scene.framing import (
    best_slant,
    emptier_side,
    level_ring,
    swept,
    vehicle_places,
)
from visual.scene.ghosts import COARSE
from visual.scene.layers import Points, degrees_text
from visual.scene.section import ACROSS, ALONG, heights_from
from visual.scene.terrain import Terrain, circle
from visual.scene.turning import REACH

_UP = np.array([0.0, 0.0, 1.0])
_RIG = ("rig", "mast")
_FLAT = frozenset({"zones", "contours", "areas", "area_names", "viewpoints"})
"""Groups that a view from the side leaves out."""

_TUBE = frozenset({"clearance", "hoops"})
"""The space around overhead lines; a cut shows it as an ellipse in the cut alone."""

_USUAL = math.tan(math.radians(25.0)) / ASPECT  # half the height of a picture 50° wide
_WIDEST = math.tan(math.radians(45.0)) / ASPECT
_SKYLINE = 0.38  # the level of the eye stands at this share of the height, if nothing is against it


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
        *forces_shots(report),
        Shot(front(report), None),
    ]
    if heights_known(report.model):
        shots.append(Shot(stakeout(report), None, movable=False))
        shots.append(Shot(wires(report, terrain), None, movable=False))
    return (*shots, *near_shots(report, terrain))


def near_shots(report: Report, terrain: Terrain) -> tuple[Shot, ...]:
    """Return the closest approach, if anything stands around, and what each viewpoint sees."""
    shots: list[Shot] = []
    worst = worst_clearance(report)
    if worst is not None:
        shots.append(Shot(closest(report, terrain), worst.closest.angle, movable=False))
    for viewpoint in report.model.surroundings.viewpoints:
        if np.isfinite(viewpoint.eye).all():
            shots.append(Shot(from_viewpoint(report.model, viewpoint), None))
    return tuple(shots)


OVERVIEW = View(
    name="overview",
    title="Overview",
    projection="perspective",
    eye=100 * _UP,
    target=np.zeros(3),
    up=_UP,
    field_of_view=math.radians(28.0),
    hidden=frozenset({"ghosts"}),
    only=frozenset({COARSE, "only:lane"}),
)
"""What an overview shows; `overview` looks for the place to see it from."""


def overview(report: Report, terrain: Terrain, *, aspect: float = ASPECT) -> View:
    """Return the whole site at a slant, seen from where it shows most."""
    return best_slant(report, terrain, OVERVIEW, aspect=aspect)


def plan(report: Report) -> View:
    """Return the plan, north up."""
    view = View(
        name="plan",
        title="Plan",
        projection="orthographic",
        eye=100 * _UP,
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        hidden=frozenset({"ghosts", "hoops", "anchor_names", "mast_names"}),
        only=frozenset({"only:plan", "only:lane"}),
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
        hidden=_FLAT | _TUBE,
        only=frozenset({ALONG, REACH}),
        on_top=(ALONG, "ghosts", REACH, *_RIG),
        wash=0.4,
        clip=(np.zeros(3), -side),
    )
    points = np.concatenate([swept(report), vehicle_places(report)])
    return fit_orthographic(view, points, margin=0.03)


def forces_shots(report: Report) -> list[Shot]:
    """Return the view with the forces at the lowest angle; none if they are not known there."""
    if not np.isfinite(report.forces.loaded.mast_stress[0]):
        return []
    return [Shot(forces(report), report.raised.first_angle)]


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
        hidden=_FLAT | _TUBE | {"ghosts"},
        only=frozenset({ACROSS}),
        on_top=(ACROSS, *_RIG),
        wash=0.4,
        clip=(np.zeros(3), -model.forward),
    )
    placed = [anchor for anchor in model.anchors.values() if anchor.placed]
    lowest = min((float(anchor.eye[2]) for anchor in placed), default=0.0)
    top = (model.rig.mast.reach + 0.8) * _UP
    low = (lowest - 0.14 * model.rig.mast.total_height) * _UP
    left = (heights_from(model) + 0.14 * model.rig.mast.total_height) * model.rightward
    right = 1.25 * max((-float(a.eye @ model.rightward) for a in placed), default=0.0)
    return fit_orthographic(
        view, np.array([top, low + left, low - right * model.rightward]), margin=0.02
    )


def closest(report: Report, terrain: Terrain) -> View:
    """Return a view square to the shortest line between the worst part and its obstacle."""
    worst = worst_clearance(report)
    if worst is None:
        message = "nothing stands around this mast, so nothing comes close"
        raise ValueError(message)
    return closest_slant(report, worst, terrain)


def from_viewpoint(model: Model, viewpoint: PlacedViewpoint) -> View:
    """Return what somebody sees who looks level towards the standing mast."""
    reach = np.linspace(0.0, 1.0, 12)[:, None] * model.rig.mast.reach * _UP
    away = math.hypot(*viewpoint.eye[:2])
    ahead = np.array([*(-viewpoint.eye[:2] / max(away, 1e-6)), 0.0])
    half, rise = _opening(model, viewpoint.eye, ahead)
    return View(
        name=f"from-{slug(viewpoint.name)}",
        title=f"Seen from: {viewpoint.name}",
        projection="perspective",
        eye=viewpoint.eye,
        target=viewpoint.eye + max(away, 1.0) * ahead,
        up=_UP,
        field_of_view=2 * math.atan(half),
        rise=rise,
        eye_level=True,
        line_share=0.35,
        subject=reach,
        hidden=_FLAT - {"areas"} | _TUBE | {"ghosts", "anchors", "anchor_names"},
    )


def _opening(model: Model, eye: Points, ahead: Points) -> tuple[float, float]:
    """Return half the height of the picture, as a tangent, and its `View.rise`.

    The picture is 50° wide unless the mast stands so near that it needs more.
    """
    rig = [model.rig.mast.reach * _UP, model.base_ground * _UP]
    rig += [anchor.eye for anchor in model.anchors.values() if anchor.placed]
    offset = np.array(rig) - eye
    depth = np.maximum(offset @ ahead, 0.5)
    up = offset[:, 2] / depth
    across = np.abs(offset @ np.array([ahead[1], -ahead[0], 0.0])) / depth
    high, low = 1.12 * max(float(up.max()), 0.0), 1.12 * min(float(up.min()), 0.0)
    half = max(_USUAL, (high - low) / 2, 1.12 * float(across.max()) / ASPECT)
    half = min(half, _WIDEST)
    middle = half * (1 - 2 * _SKYLINE)
    middle = min(max(middle, high - half), half + low) if high - low < 2 * half else high - half
    return half, middle / half


def slug(name: str) -> str:
    """Return a name as it can stand in a file name."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "viewpoint"


def at_angle(shot: Shot, angle: float | None) -> Shot:
    """Return a shot at another raising angle [rad], if it may have one."""
    if angle is None or not shot.movable:
        return shot
    title = f"{shot.view.title}, mast at {degrees_text(angle)}"
    return replace(shot, angle=angle, view=replace(shot.view, title=title))
