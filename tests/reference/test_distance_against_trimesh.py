"""Distances between segments and triangles against trimesh's `triangles.closest_point`.

Standing: computed by trimesh (general library, Ericson's closest point of a triangle), point
by point along the segment; the tolerance is half the distance between those points.
"""

import numpy as np
import pytest
from trimesh.triangles import closest_point

from visual.checks.distance import to_triangles, triangle_pairs

pytestmark = pytest.mark.reference

SAMPLES = 400


def sampled_distance(segment, triangle):
    share = np.linspace(0, 1, SAMPLES + 1)[:, None]
    points = segment[0] + share * (segment[1] - segment[0])
    nearest = closest_point(np.broadcast_to(triangle, (SAMPLES + 1, 3, 3)), points)
    return np.linalg.norm(points - nearest, axis=1).min()


@pytest.mark.parametrize("size", [0.3, 1.0, 4.0])
def test_segment_to_triangle(size):
    random = np.random.default_rng(20)
    segments, triangles = random.normal(size=(150, 2, 3)) * size, random.normal(size=(150, 3, 3))
    found = triangle_pairs(segments, triangles).distance
    sampled = np.array([sampled_distance(*pair) for pair in zip(segments, triangles, strict=True)])
    spacing = np.linalg.norm(segments[:, 1] - segments[:, 0], axis=1) / SAMPLES
    assert (found <= sampled + 1e-12).all()
    assert (found >= sampled - spacing / 2).all()


def test_point_to_triangle():
    random = np.random.default_rng(21)
    points, triangles = random.normal(size=(3000, 3)) * 2, random.normal(size=(3000, 3, 3))
    expected = closest_point(triangles, points)
    found = triangle_pairs(points[:, None].repeat(2, axis=1), triangles)
    assert found.at_second == pytest.approx(expected, abs=1e-9)
    assert found.distance == pytest.approx(np.linalg.norm(points - expected, axis=1), abs=1e-12)


def test_nearest_of_many_triangles():
    random = np.random.default_rng(22)
    poses, triangles = random.normal(size=(6, 2, 3)), random.normal(4.0, size=(40, 3, 3))
    found = to_triangles(poses, triangles).distance
    sampled = [min(sampled_distance(pose, one) for one in triangles) for pose in poses]
    spacing = np.linalg.norm(poses[:, 1] - poses[:, 0], axis=1) / SAMPLES
    assert (found <= np.array(sampled) + 1e-12).all()
    assert (found >= np.array(sampled) - spacing / 2).all()
