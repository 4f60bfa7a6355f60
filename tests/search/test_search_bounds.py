"""What the rings leave at most is never less than what a full look leaves."""

import math

import numpy as np
import pytest

from visual.search.curves import STEP
from visual.search.exact import look_at
from visual.search.job import Job
from visual.search.run import prepare


def bound_of(job: Job, rows, columns, b: int, heights):
    """Return the bound of one bearing, by plain look-ups of the curves."""
    tables, curves, n = job.tables[0], job.curves, job.numbers
    x, y = job.place(rows, columns)
    hinge = heights(x, y) + n.hinge
    bounds = []
    for side in range(4):
        ring = int(tables.ring_of[side])
        turn = tables.bearings[b] + side * math.pi / 2 + n.anchor_turn[side]
        radius = n.anchor_radius[side]
        e = heights(x + radius * np.sin(turn), y + radius * np.cos(turn)) + n.eye[side] - hinge
        curve = curves.sides if side in (1, 3) else curves.wire
        step = ((e - curves.first[ring]) / STEP).astype(int)
        bounds.append(curve[ring, np.clip(step, 0, curve.shape[1] - 1)])
    return np.min(bounds, axis=0)


@pytest.mark.parametrize("anchors", [{}, {"right": {"radius": 8.5}, "left": {"turn": 0.1}}])
def test_no_look_leaves_more_than_the_curves_say(make_land, make_waves, anchors):
    land = make_land(
        make_waves(11, 0.3), {"anchors": {"radius": 8.0, "eye_height": 0.1, **anchors}}
    )
    job, _ = prepare(
        land.model, step=2.0, turn=math.radians(30), radius=16.0, tile=16, lattice=land.lattice
    )
    patch = land.at(0.0, 0.0, lift=0.0).ground
    rows, columns = (part.ravel() for part in np.indices(job.shape))
    x, y = job.place(rows, columns)
    inside = np.hypot(x, y) < 16.0
    rows, columns = rows[inside], columns[inside]
    slack, bounds = [], []
    for b in range(job.tables[0].bearings.size):
        bound = bound_of(job, rows, columns, b, patch.height)
        looked = look_at(job, rows, columns, np.full(len(rows), b))
        bounds.append(bound)
        slack.append(np.minimum(bound, 1.0) - np.nanmin(looked.shares, axis=1))
    assert np.min(slack) > -1e-3
    # and it is of use: it alone stops some, and lets others be looked at
    assert 0.02 < np.mean(np.array(bounds) <= 0.0) < 0.98
