"""What stands near enough to a mast to belong to a look at the whole of it from above."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from visual.checks import Report
from visual.scene.camera import View, fit_orthographic
from visual.scene.framing import level_ring, vehicle_places
from visual.scene.layers import Points
from visual.scene.surroundings import rings_of
from visual.scene.terrain import circle
from visual.scene.views import plan

NEAR = 1.8
"""What comes within so many total heights of the base belongs to the plan."""

FARTHEST = 2.0
"""Nothing farther than so many total heights is waited for: the rig must not get lost."""


def wide_plan(report: Report) -> View:
    """Return the plan, north up, with what stands near and what setbacks are kept from."""
    reach = max(report.fall_zone.circle_radius, report.fall_zone.total_height)
    rim = level_ring(circle(radius=1.04 * reach))
    eyes = [one.eye[None, :] for one in report.model.anchors.values() if one.placed]
    points = np.concatenate([rim, vehicle_places(report), *eyes, near_places(report)])
    # the plan has been moved already: eye and target together, or it would look down aslant
    above = replace(plan(report), target=np.zeros(3), eye=np.array([0.0, 0.0, 100.0]))
    return fit_orthographic(above, points, margin=0.03)


def near_places(report: Report) -> Points:
    """Return places in plan of what stands near, shape (n, 3), none too far away. [m]"""
    height = report.fall_zone.total_height
    rings = [ring for ring in _rings(report) if np.hypot(*ring.T).min() <= NEAR * height]
    if not rings:
        return np.zeros((0, 3))
    points = np.concatenate(rings)
    far = np.maximum(np.hypot(*points.T) / (FARTHEST * height), 1.0)
    return level_ring(points / far[:, None])


def _rings(report: Report) -> Iterator[Points]:
    """Yield plan rings or single places, shape (n, 2)."""
    around = report.model.surroundings
    for building in around.buildings:
        yield rings_of(building.footprint)[0][:, :2]
    for tree in around.trees:
        foot = float(tree.foot[0]), float(tree.foot[1])
        yield circle(radius=tree.crown_radius, centre=foot, n=12)[:, :2]
    for line in around.lines:
        yield _nearest_on(line.supports[:, :2])
    for setback in report.setbacks:
        yield np.array([setback.nearest[1]], float)


def _nearest_on(path: Points) -> Points:
    """Return the place of a line in plan that is nearest to the base, shape (1, 2)."""
    start, end = path[:-1], path[1:]
    way = end - start
    length = np.maximum((way**2).sum(axis=1), 1e-12)
    share = np.clip(-(start * way).sum(axis=1) / length, 0.0, 1.0)
    places = start + share[:, None] * way
    nearest: Points = places[[int(np.argmin(np.hypot(*places.T)))]]
    return nearest
