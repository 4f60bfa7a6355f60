"""What each view must show, and from where it shows it best."""

import math

import numpy as np

from visual.checks import Report
from visual.model import Model
from visual.raising import gin_direction, mast_direction
from visual.scene.layers import Points
from visual.scene.surroundings import rings_of
from visual.scene.terrain import Terrain, circle

_UP = np.array([0.0, 0.0, 1.0])


def slanted(bearing: float, height: float) -> Points:
    """Return the unit vector to an eye that stands towards a bearing, at an angle up. [rad]"""
    level = np.array([math.sin(bearing), math.cos(bearing), 0.0])
    return math.cos(height) * level + math.sin(height) * _UP


def best_bearing(report: Report, terrain: Terrain) -> float:
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
    score -= 1.6 * np.array([in_the_way(report.model, np.zeros(2), way) for way in ways])
    return float(bearings[np.argmax(score)])


def in_the_way(model: Model, target: Points, way: Points) -> float:
    """Return how much buildings hide a place from an eye that stands in a plan direction.

    Parameters
    ----------
    model : Model
        The model.
    target : ndarray, shape (2,)
        The place. [m]
    way : ndarray, shape (2,)
        Unit vector from the place to the eye.
    """
    hidden = 0.0
    for building in model.surroundings.buildings:
        ring = rings_of(building.footprint)[0] - target
        ahead, aside = ring @ way, ring @ np.array([-way[1], way[0]])
        if ahead.max() <= 0:
            continue
        gap = max(float(aside.min()), -float(aside.max()), 0.0)  # 0: it stands across the sight
        hidden += math.exp(-gap / 6.0) / (1 + max(float(ahead.min()), 0.0) / 25.0)
    return hidden


def level_ring(ring: Points, z: float = 0.0) -> Points:
    """Return a plan ring at a height. [m]"""
    return np.column_stack([ring, np.full(len(ring), z)])


def whole_site(report: Report) -> Points:
    """Return what an overview must show: fall zone, mast, vehicle, and what stands near."""
    model, total = report.model, report.fall_zone.total_height
    near = [p for ring in _near_rings(model, 2.6 * total) for p in ring]
    ring = circle(radius=total, n=36)
    heights = np.nan_to_num(model.ground.height(ring[:, 0], ring[:, 1]))
    zone = np.column_stack([ring, heights])
    return np.concatenate([zone, [total * _UP], vehicle_places(report), *near])


def _near_rings(model: Model, distance: float) -> list[list[Points]]:
    """Return corners of buildings and supports of lines within a distance of the base."""
    corners: list[list[Points]] = []
    for building in model.surroundings.buildings:
        ring = rings_of(building.footprint)[0]
        if np.hypot(ring[:, 0], ring[:, 1]).max() < distance and math.isfinite(building.top):
            corners.append([level_ring(ring, building.top)])
    return corners


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
    eyes = np.array([anchor.eye for anchor in model.anchors.values()])
    below = eyes - 1.5 * _UP
    return np.concatenate([reach, tips, eyes, below])


def emptier_side(model: Model) -> Points:
    """Return the side of the raising plane, as a vector, with less standing near."""
    weight = 0.0
    points = [rings_of(b.footprint)[0].mean(axis=0) for b in model.surroundings.buildings]
    points += [tree.foot[:2] for tree in model.surroundings.trees]
    points += [support[:2] for line in model.surroundings.lines for support in line.supports]
    for point in points:
        weight += float(point @ model.rightward[:2]) / (10.0 + float(point @ point))
    return -model.rightward if weight > 0 else model.rightward


def clearest_way(model: Model, middle: Points, line: Points, terrain: Terrain) -> Points:
    """Return the way to an eye beside a line that sees its middle best over the ground."""
    bearing = math.atan2(line[0], line[1]) + math.pi / 2
    best, most = slanted(bearing, math.radians(16.0)), -math.inf
    for turn in (0.0, math.pi, 0.4, -0.4, math.pi + 0.4, math.pi - 0.4):
        back = slanted(bearing + turn, math.radians(16.0))
        sight = middle + np.linspace(5, 60, 12)[:, None] * back
        room = sight[:, 2] - terrain.height(sight[:, 0], sight[:, 1])
        plan = back[:2] / np.linalg.norm(back[:2])
        least = min(float(np.nan_to_num(room, nan=0.0).min()), 3.0) - abs(math.sin(turn))
        least -= 4.0 * in_the_way(model, middle[:2], plan)
        if least > most + 0.5:
            best, most = back, least
    return best
