"""What each view must show, and from where it shows it best."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from visual.checks import Report
from visual.checks.tow_parts import VEHICLE_LENGTH
from visual.model import Model
from visual.raising import gin_direction, mast_direction
from visual.scene.camera import View, fit_perspective, project
from visual.scene.layers import Points
from visual.scene.sight import Screens, screens_of
from visual.scene.surroundings import rings_of
from visual.scene.terrain import Terrain, circle

Part = tuple[Points, float]
"""Points that must be seen, and how much it matters."""

_UP = np.array([0.0, 0.0, 1.0])
_NEAR = 5.0  # buildings within this many total heights can get in the way
_NEAR_VEHICLE = 1.9  # a vehicle this many total heights away or nearer belongs to the site
_FAR_APART = 0.7  # a clearance longer than this many total heights is shown with the fall zone
_HEIGHTS = (22.0, 29.0, 36.0)  # of the eye over the level [deg]
_BESIDE = (12.0, 20.0, 30.0)  # the same for a look at one place [deg]
_ROUND = 15.0  # steps of the bearing of the eye [deg]


def slanted(bearing: float, height: float) -> Points:
    """Return the unit vector to an eye that stands towards a bearing, at an angle up. [rad]"""
    level = np.array([math.sin(bearing), math.cos(bearing), 0.0])
    return math.cos(height) * level + math.sin(height) * _UP


def best_slant(report: Report, terrain: Terrain, view: View, *, aspect: float) -> View:
    """Return a perspective of the whole site from where it shows most.

    Every bearing and a few heights of the eye are tried; what buildings, trees or ground hide,
    what is cut at the edge and what only stands in front costs; sight from downhill and from
    beside the raising plane pays.
    """
    screens = screens_of(report, terrain, within=_NEAR * report.fall_zone.total_height)
    subject, parts = whole_site(report), _parts_of_site(report)
    downhill = _downhill(report, terrain)
    best, most = view, -math.inf
    for bearing, height in _slants(_HEIGHTS):
        back = slanted(bearing, height)
        tried = _looking(view, back, subject, aspect)
        score = _taste(report.model, back, height, downhill)
        score -= _cost(report, tried, screens, parts, aspect)
        if score > most + 1e-9:
            best, most = tried, score
    return best


def _slants(heights: Sequence[float]) -> Iterator[tuple[float, float]]:
    for height in heights:
        for bearing in np.arange(0.0, 360.0, _ROUND):
            yield math.radians(float(bearing)), math.radians(height)


def _looking(
    view: View, back: Points, subject: Points, aspect: float, *, margin: float = 0.05
) -> View:
    turned = replace(view, eye=100 * back, target=np.zeros(3))
    return fit_perspective(turned, subject, aspect=aspect, margin=margin)


def _downhill(report: Report, terrain: Terrain) -> NDArray[np.float64]:
    """Return the level direction in which the ground falls about the base; zero on the flat."""
    ring = circle(radius=1.5 * report.fall_zone.total_height, n=24)[:-1]
    z = terrain.height(ring[:, 0], ring[:, 1])
    z = np.where(np.isfinite(z), z, np.nanmean(z)) if np.isfinite(z).any() else np.zeros(len(ring))
    falls = -np.array([(z * ring[:, 0]).sum(), (z * ring[:, 1]).sum()])
    length = float(np.linalg.norm(falls))
    return falls / length if length > 1e-9 else falls


def _taste(model: Model, back: Points, height: float, downhill: NDArray[np.float64]) -> float:
    way = back[:2] / np.linalg.norm(back[:2])
    beside = abs(float(way @ model.rightward[:2]))
    # a little rather from the south, and rather low
    return float(way @ downhill) + 1.2 * beside - 0.2 * float(way[1]) - 1.2 * height


def _cost(
    report: Report, view: View, screens: Screens, parts: Sequence[Part], aspect: float
) -> float:
    """Return how much a view hides, cuts or puts in front of its subject."""
    eye = np.asarray(view.eye, float)
    ground = float(screens.terrain.height(eye[:1], eye[1:2])[0])
    if math.isfinite(ground) and eye[2] < ground + 2.0:
        return math.inf
    cost = 0.0
    for points, weight in parts:
        cost += weight * float(screens.hidden(eye, points).mean())
        cost += 0.15 * weight * float(screens.veiled(eye, points).mean())
    for corners in _bulky(report.model):
        cost += _nuisance(view, corners, aspect)
    return cost


def _bulky(model: Model) -> Iterator[Points]:
    """Yield corners of everything that can fill a picture: buildings and trees."""
    for building in model.surroundings.buildings:
        high = level_ring(rings_of(building.footprint)[0], building.top)
        yield np.concatenate([high, high - 4.0 * _UP])
    for tree in model.surroundings.trees:
        ring = circle(radius=tree.crown_radius, centre=tuple(map(float, tree.foot[:2])), n=8)
        high = level_ring(ring, tree.top)
        yield np.concatenate([high, high - 0.8 * tree.height * _UP])


def _parts_of_site(report: Report) -> list[Part]:
    """Return what must be seen, each with its weight."""
    model = report.model
    mast = np.linspace(0.06, 1.0, 8)[:, None] * model.rig.mast.reach * _UP
    axis = mast_direction(model, report.raised.first_angle)
    laid = np.linspace(0.1, 1.0, 8)[:, None] * model.rig.mast.reach * axis + 0.2 * _UP
    eyes = [anchor.eye for anchor in model.anchors.values() if anchor.placed]
    anchors = np.array([*eyes, model.base_ground * _UP]) + 0.2 * _UP
    return [(mast, 8.0), (anchors, 10.0), (laid, 4.0), (fall_ring(report) + 0.2 * _UP, 4.0)]


def _nuisance(view: View, corners: Points, aspect: float) -> float:
    """Return how much a thing cut by the edge of the picture, or in front, takes away."""
    if not np.isfinite(corners).all():
        return 0.0
    pixels, depth = project(view, corners, width=round(1000 * aspect), height=1000)
    if not np.isfinite(pixels).all():
        return 0.0
    size = np.array([1000 * aspect, 1000.0])
    low, far = np.clip(pixels.min(axis=0), 0, size), np.clip(pixels.max(axis=0), 0, size)
    share = float(np.prod((far - low) / size))
    inside = ((pixels >= 0) & (pixels <= size)).all(axis=1)
    is_cut = share > 0 and not inside.all()
    in_front = float(depth.min()) < view.distance
    return share * (8.0 if in_front else 0.5) + (0.3 if is_cut else 0.0)


def level_ring(ring: Points, z: float = 0.0) -> Points:
    """Return a plan ring at a height. [m]"""
    return np.column_stack([ring[:, :2], np.full(len(ring), z)])


def fall_ring(report: Report) -> Points:
    """Return the rim of the fall zone on the ground, shape (n, 3). [m]"""
    radius = max(report.fall_zone.total_height, report.fall_zone.circle_radius)
    ring = circle(radius=radius, n=36)
    heights = np.nan_to_num(report.model.ground.height(ring[:, 0], ring[:, 1]))
    return np.column_stack([ring, heights])


def laid_rotor(report: Report) -> Points:
    """Return the outermost points of mast and rotor at the start angle, shape (n, 3). [m]"""
    model = report.model
    axis = mast_direction(model, report.raised.first_angle)
    top = model.rig.mast.hub_above_hinge * axis
    head = model.rig.mast.head
    r = head.rotor_radius if head else 0.0
    spokes = [r * way for way in (axis, -axis, model.rightward, -model.rightward, _UP, -_UP)]
    return np.asarray(top + np.array(spokes), dtype=float)


def whole_site(report: Report) -> Points:
    """Return what an overview must show: fall zone, mast upright and laid, anchors, vehicle."""
    model = report.model
    eyes = [anchor.eye for anchor in model.anchors.values() if anchor.placed]
    top = (model.rig.mast.reach + 0.3) * _UP
    vehicle = vehicle_places(report)[:1]
    if np.hypot(*vehicle[0, :2]) < _NEAR_VEHICLE * report.fall_zone.total_height:
        eyes += [vehicle[0] + away * model.forward + 1.5 * _UP for away in (0.0, VEHICLE_LENGTH)]
    return np.concatenate([fall_ring(report), laid_rotor(report), [top, *eyes]])


def vehicle_places(report: Report) -> Points:
    """Return the ends of the tow line at the first and last angle, a vehicle's length ahead."""
    ends = report.raised.tow.ends[[0, -1]]
    ends = np.concatenate([ends, ends + 6.0 * report.model.forward])
    known = ends[np.isfinite(ends).all(axis=1)]
    return known if len(known) else np.zeros((1, 3))


def swept(report: Report) -> Points:
    """Return what the raising side view must show of mast and gin pole."""
    model = report.model
    angles = np.linspace(report.raised.first_angle, math.pi / 2, 19)
    reach = (model.rig.mast.reach + 0.5) * mast_direction(model, angles)
    tips = model.rig.gin_pole.length * gin_direction(model, angles)
    eyes = [anchor.eye - 1.5 * _UP for anchor in model.anchors.values() if anchor.placed]
    foot = (model.base_ground - 1.5) * _UP
    return np.concatenate([reach, tips, laid_rotor(report), [foot, *eyes]])


def emptier_side(model: Model) -> Points:
    """Return the side of the raising plane, as a vector, with less standing near."""
    weight = 0.0
    points = [rings_of(b.footprint)[0].mean(axis=0) for b in model.surroundings.buildings]
    points += [tree.foot[:2] for tree in model.surroundings.trees]
    points += [support[:2] for line in model.surroundings.lines for support in line.supports]
    for point in points:
        weight += float(point[:2] @ model.rightward[:2]) / (10.0 + float(point[:2] @ point[:2]))
    return -model.rightward if weight > 0 else model.rightward


def best_beside(
    report: Report, terrain: Terrain, view: View, ends: Points, *, angle: float, aspect: float
) -> View:
    """Return a view that looks across a line and shows it, what it joins, and the mast.

    Parameters
    ----------
    report : Report
        The judged model.
    terrain : Terrain
        The drawn ground.
    view : View
        What the view is like.
    ends : ndarray, shape (2, 3)
        Ends of the line. [m]
    angle : float
        Raising angle of the mast. [rad]
    aspect : float
        Width over height of the drawing.
    """
    screens = screens_of(report, terrain, within=_NEAR * report.fall_zone.total_height)
    mast = np.linspace(0.1, 1.0, 6)[:, None] * (
        report.model.rig.mast.reach * mast_direction(report.model, angle)
    )
    share = np.linspace(0.05, 0.95, 7)[:, None]
    parts = [(ends[0] + share * (ends[1] - ends[0]), 6.0), (mast, 3.0)]
    tip = report.model.rig.gin_pole.length * gin_direction(report.model, angle)
    around = 2.5 * np.concatenate([np.eye(3), -np.eye(3)])
    subject = np.concatenate([mast, [np.zeros(3), tip], *(end + around for end in ends)])
    if float(np.linalg.norm(ends[1] - ends[0])) > _FAR_APART * report.fall_zone.total_height:
        subject = np.concatenate([subject, fall_ring(report)])
    across = math.atan2(ends[1, 0] - ends[0, 0], ends[1, 1] - ends[0, 1]) + math.pi / 2
    best, most = view, -math.inf
    for bearing, height in _slants(_BESIDE):
        tried = _looking(view, slanted(bearing, height), subject, aspect, margin=0.08)
        back = np.array([math.sin(bearing), math.cos(bearing), 0.0])
        beside = abs(float(back @ report.model.rightward))
        score = 2.4 * abs(math.cos(bearing - across)) + 0.6 * beside - 3.0 * height
        score -= _cost(report, tried, screens, parts, aspect)
        if score > most + 1e-9:
            best, most = tried, score
    return best
