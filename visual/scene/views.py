"""The named views: where each picture of a site is taken from, and what it shows."""

import math
import re
from dataclasses import dataclass, replace

import numpy as np

from visual.checks import Report
from visual.model import Model, PlacedViewpoint
from visual.raising import gin_direction, mast_direction
from visual.scene.attention import CLOSEST, worst_clearance
from visual.scene.camera import View, fit_orthographic, fit_perspective
from visual.scene.layers import Points
from visual.scene.section import ACROSS, ALONG
from visual.scene.surroundings import rings_of
from visual.scene.terrain import Terrain, circle

ASPECT = 1.35  # of the drawing beside a legend; perspective views are fitted to it
_UP = np.array([0.0, 0.0, 1.0])
_RIG = ("rig", "mast")


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
    bearing = _best_bearing(report, terrain)
    back = _slant(bearing, math.radians(27.0))
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
    return fit_perspective(view, _whole(report), aspect=ASPECT, margin=0.04)


def plan(report: Report) -> View:
    """Return the plan, north up."""
    view = View(
        name="plan",
        title="Plan",
        projection="orthographic",
        eye=100 * _UP,
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        hidden=frozenset({"ghosts", "hoops"}),
        only=frozenset({"only:plan"}),
        on_top=_RIG,
    )
    reach = max(report.fall_zone.circle_radius, report.fall_zone.total_height)
    points = np.concatenate([_level(circle(radius=1.04 * reach)), _vehicle_path(report)])
    return fit_orthographic(view, points, margin=0.03)


def raising(report: Report) -> View:
    """Return the side view, square to the raising plane."""
    model = report.model
    side = _emptier_side(model)
    view = View(
        name="raising",
        title="Raising, side view",
        projection="orthographic",
        eye=100 * side,
        target=np.zeros(3),
        up=_UP,
        panel="bottom",
        hidden=frozenset({"zones", "setbacks", "contours", "areas", "hoops", "viewpoints"}),
        only=frozenset({ALONG}),
        on_top=(ALONG, "ghosts", *_RIG),
        wash=0.5,
        clip=(np.zeros(3), -side),
    )
    return fit_orthographic(view, np.concatenate([_sweep(report), _vehicle_path(report)]))


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
        hidden=frozenset(
            {"zones", "setbacks", "contours", "areas", "hoops", "viewpoints", "ghosts"}
        ),
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
    back = _clearest(middle, near.at_obstacle - near.at_part, terrain)
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
    length = report.model.rig.mast.length
    around = 2.5 * np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]])
    points = [np.zeros(3), length * mast_direction(report.model, near.angle)]
    points += [near.at_part, near.at_obstacle]
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
        field_of_view=float(np.clip(opening, math.radians(16.0), math.radians(60.0))),
        hidden=frozenset(
            {
                "ghosts",
                "viewpoints",
                "zones",
                "setbacks",
                "contours",
                "hoops",
                "clearance",
                "anchors",
            }
        ),
    )


def slug(name: str) -> str:
    """Return a name as it can stand in a file name."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "viewpoint"


def _slant(bearing: float, height: float) -> Points:
    """Return the unit vector to an eye that stands towards a bearing, at an angle up. [rad]"""
    level = np.array([math.sin(bearing), math.cos(bearing), 0.0])
    return math.cos(height) * level + math.sin(height) * _UP


def _best_bearing(report: Report, terrain: Terrain) -> float:
    """Return where to stand: downhill, and rather beside the raising plane than in it."""
    ring = circle(radius=1.5 * report.fall_zone.total_height, n=24)[:-1]
    z = terrain.height(ring[:, 0], ring[:, 1])
    z = np.where(np.isfinite(z), z, np.nanmean(z)) if np.isfinite(z).any() else np.zeros(len(ring))
    downhill = -np.array([(z * ring[:, 0]).sum(), (z * ring[:, 1]).sum()])
    length = float(np.linalg.norm(downhill))
    downhill = downhill / length if length > 1e-9 else downhill
    bearings = np.radians(np.arange(0, 360, 15))
    ways = np.column_stack([np.sin(bearings), np.cos(bearings)])
    beside = np.abs(ways @ report.model.rightward[:2])
    score = ways @ downhill + 0.8 * beside - 0.25 * ways[:, 1]  # a little rather from the south
    return float(bearings[np.argmax(score)])


def _level(ring: Points, z: float = 0.0) -> Points:
    return np.column_stack([ring, np.full(len(ring), z)])


def _whole(report: Report) -> Points:
    """Return what an overview must show: fall zone, mast, vehicle, and what stands near."""
    model, total = report.model, report.fall_zone.total_height
    near = [p for ring in _near_rings(model, 2.6 * total) for p in ring]
    ring = circle(radius=total, n=36)
    heights = np.nan_to_num(model.ground.height(ring[:, 0], ring[:, 1]))
    zone = np.column_stack([ring, heights])
    return np.concatenate([zone, [total * _UP], _vehicle_path(report), *near])


def _near_rings(model: Model, distance: float) -> list[list[Points]]:
    """Return corners of buildings and supports of lines within a distance of the base."""
    corners: list[list[Points]] = []
    for building in model.surroundings.buildings:
        ring = rings_of(building.footprint)[0]
        if np.hypot(ring[:, 0], ring[:, 1]).max() < distance and math.isfinite(building.top):
            corners.append([_level(ring, building.top)])
    return corners


def _vehicle_path(report: Report) -> Points:
    """Return the ends of the tow line at the first and last angle, a vehicle's length ahead."""
    ends = report.raised.tow.ends[[0, -1]]
    ends = np.concatenate([ends, ends + 6.0 * report.model.forward])
    known = ends[np.isfinite(ends).all(axis=1)]
    return known if len(known) else np.zeros((1, 3))


def _sweep(report: Report) -> Points:
    """Return what the raising side view must show of mast and gin pole."""
    model = report.model
    angles = np.linspace(report.raised.first_angle, math.pi / 2, 19)
    reach = (model.rig.mast.reach + 0.5) * mast_direction(model, angles)
    tips = model.rig.gin_pole.length * gin_direction(model, angles)
    eyes = np.array([anchor.eye for anchor in model.anchors.values()])
    below = eyes - 1.5 * _UP
    return np.concatenate([reach, tips, eyes, below])


def _emptier_side(model: Model) -> Points:
    """Return the side of the raising plane, as a vector, with less standing near."""
    weight = 0.0
    points = [rings_of(b.footprint)[0].mean(axis=0) for b in model.surroundings.buildings]
    points += [tree.foot[:2] for tree in model.surroundings.trees]
    points += [support[:2] for line in model.surroundings.lines for support in line.supports]
    for point in points:
        weight += float(point @ model.rightward[:2]) / (10.0 + float(point @ point))
    return -model.rightward if weight > 0 else model.rightward


def _clearest(middle: Points, line: Points, terrain: Terrain) -> Points:
    """Return the way to an eye beside a line that sees its middle best over the ground."""
    bearing = math.atan2(line[0], line[1]) + math.pi / 2
    best, most = _slant(bearing, math.radians(16.0)), -math.inf
    for turn in (0.0, math.pi, 0.4, -0.4, math.pi + 0.4, math.pi - 0.4):
        back = _slant(bearing + turn, math.radians(16.0))
        sight = middle + np.linspace(5, 60, 12)[:, None] * back
        room = sight[:, 2] - terrain.height(sight[:, 0], sight[:, 1])
        least = float(np.nan_to_num(room, nan=0.0).min()) - abs(math.sin(turn))
        if least > most + 0.5:
            best, most = back, least
    return best


def at_angle(shot: Shot, angle: float | None) -> Shot:
    """Return a shot at another raising angle [rad], if it may have one."""
    if angle is None or not shot.movable:
        return shot
    title = f"{shot.view.title}, mast at {math.degrees(angle):.0f}°"
    return replace(shot, angle=angle, view=replace(shot.view, title=title))
