"""The clearance search over several parts at once, and close to where a part stands still."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual.checks.clearance import (
    TOLERANCE,
    MovingPart,
    certified_minima,
    certified_minima_of_all,
)
from visual.checks.distance import to_triangles
from visual.checks.shapes import Shape

UPRIGHT = math.pi / 2


def to_collar(eye, height):
    def ends(angles):
        flat = np.zeros_like(angles)
        collar = height * np.stack([flat, -np.cos(angles), np.sin(angles)], axis=1)
        return np.stack([np.broadcast_to(eye, collar.shape), collar], axis=1)

    return MovingPart(f"wire {height}", 0.01, (0.0, height), ends)


def fence(x, *, pieces=60):
    """A fence of triangles along y beside an anchor."""
    y = np.linspace(-12.0, 12.0, pieces + 1)
    foot = np.stack([np.full_like(y, x), y, np.full_like(y, -0.3)], axis=1)
    top = foot + np.array([0.0, 0.0, 1.3])
    lower = np.stack([foot[:-1], foot[1:], top[1:]], axis=1)
    upper = np.stack([foot[:-1], top[1:], top[:-1]], axis=1)
    return Shape("fence", "building", np.concatenate([lower, upper]))


def cloud(seed, count=10):
    random = np.random.default_rng(seed)
    middle = random.uniform([-25, -25, -13], [25, 25, 37], size=(count, 1, 3))
    return Shape("cloud", "ground", middle + random.normal(size=(count, 3, 3)) * 2)


def brute_force(part, shape, start, end, count=1801):
    angles = np.linspace(start, end, count)
    return float(to_triangles(part.ends(angles), shape.triangles).distance.min()) - part.radius


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), parts=st.integers(1, 4))
def test_all_at_once_is_one_at_a_time(seed, parts):
    random = np.random.default_rng(seed)
    moving = [
        to_collar(random.uniform([-12, -12, -2], [12, 12, 2]), float(h))
        for h in random.uniform(4, 20, parts)
    ]
    spans = [tuple(sorted(random.uniform(-0.2, UPRIGHT, 2))) for _ in moving]
    shapes = [cloud(seed), cloud(seed + 1, 3), Shape("none", "tree"), fence(13.0, pieces=4)]
    found = certified_minima_of_all(moving, shapes, spans=spans)
    for part, (start, end), closest in zip(moving, spans, found, strict=True):
        alone = certified_minima(part, shapes, start=start, end=end)
        for one, other in zip(closest, alone, strict=True):
            assert one.distance == pytest.approx(other.distance, abs=TOLERANCE)
            assert one.lower_bound <= other.distance
            assert one.distance - one.lower_bound <= TOLERANCE or math.isinf(one.distance)


@settings(max_examples=20, deadline=None)
@given(
    beside=st.floats(0.02, 3.0), x=st.floats(4.0, 14.0), y=st.floats(-4, 4), z=st.floats(-0.2, 0.8)
)
def test_a_fence_beside_a_fixed_anchor(beside, x, y, z):
    part, shape = to_collar(np.array([x, y, z]), 17.4), fence(x + beside)
    closest = certified_minima(part, [shape], start=0.0, end=UPRIGHT)[0]
    least = brute_force(part, shape, 0.0, UPRIGHT)
    assert closest.lower_bound <= least + 1e-9
    assert closest.distance <= least + TOLERANCE


def test_no_part_and_no_shape():
    part = to_collar(np.zeros(3), 5.0)
    assert certified_minima_of_all([], [cloud(1)], spans=[]) == ()
    assert certified_minima_of_all([part, part], [], spans=[(0, 1)] * 2) == ((), ())
