"""Wires of the schedule against moorpy, a library for mooring lines.

Standing: computed by moorpy 1.3 (Tol = 1e-10). `CB` is negative: the depth of its sea floor below
the lower end, so that nothing lies on the ground. Agreement of the ten reference cases of
``elastic_catenary_reference.csv`` is 3e-9 there; 1e-6 is asked for here, a thousandth of a gauge's
division.
"""

import numpy as np
import pytest
from moorpy.Catenary import catenary

from visual.crew.balance import balanced_tensions, hang_by_tension, wire_ends
from visual.crew.wire_schedule import wire_schedule
from visual.rig import SIDES

LEVELS = {"mast": {"collar": [{"height": h, "wire": "guy"} for h in (6.0, 11.0)]}}


def hill(x, y):
    return 100.0 + 0.15 * x - 0.3 * y


@pytest.fixture(scope="module")
def model(make_model):
    return make_model(hill, LEVELS)


def forces(ends, length):
    """Return horizontal pull and tension at the lower end. [N]"""
    horizontal, lower, _, _, _ = catenary(
        ends.span, ends.rise, length, 1.6e6, 0.15 * 9.80665, CB=-1000.0, Tol=1e-10, MaxIter=300
    )
    return horizontal, float(np.hypot(horizontal, lower))


def test_unstressed_lengths_have_the_initial_tension(model):
    for row in wire_schedule(model).rows:
        collar = model.rig.mast.collars[row.wire.level].height * model.upward
        ends = wire_ends(model, row.wire.side, collar)
        tension = forces(ends, row.wire.shape.unstressed_length)[1]
        assert tension == pytest.approx(row.wire.initial_tension, rel=1e-6)


def test_balanced_wires_pull_nowhere(model):
    for level in (0, 1):
        collar = model.rig.mast.collars[level].height * model.upward
        pull = np.zeros(2)
        for side in SIDES:
            ends = wire_ends(model, side, collar)
            tension = balanced_tensions(model, level)[side]
            length = hang_by_tension(model, level, ends, tension).unstressed_length
            horizontal, lower = forces(ends, length)
            assert lower == pytest.approx(tension, rel=1e-6)
            pull += horizontal * ends.outward
        assert np.linalg.norm(pull) < 0.1  # of some 1000 N each
