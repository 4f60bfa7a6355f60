"""Three distances to one station: C. D. Ghilani, Adjustment Computations, Example 14.2.

Standing: the inputs (stations A, B, C and the three distances, in feet) were read; the answers were
not in the text read. They are computed with scipy.optimize.least_squares and stand here as a
cross-check, not as the book's answer: U = (6861.3168, 3727.8186), residuals (adjusted minus
observed) -0.0374, +0.0768, -0.0474, S0 = 0.0977, Sx = 0.0775, Sy = 0.1542. Tolerance: half of their
last digit, 5e-5.
"""

import numpy as np
import pytest

from visual.crew.adjustment import adjust
from visual.crew.network import Equation, Network
from visual.crew.readings import Reading

STATIONS = {"a": (865.40, 4527.15), "b": (2432.55, 2047.25), "c": (2865.22, 27.15)}
DISTANCES = {"a": 6049.00, "b": 4736.83, "c": 5446.49}


@pytest.fixture(scope="module")
def found():
    equations = [
        Equation(
            Reading(n, "horizontal", name, "u", DISTANCES[name], 1.0), "", DISTANCES[name], 1.0
        )
        for n, name in enumerate(STATIONS, start=2)
    ]
    network = Network(
        fixed={name: np.array([*place, 0.0]) for name, place in STATIONS.items()},
        points=("u",),
        extras=(),
        equations=tuple(equations),
    )
    return adjust(network, np.array([6800.0, 3700.0, 0.0]))


def test_station(found):
    assert found.unknowns[:2] == pytest.approx((6861.3168, 3727.8186), abs=5e-5)


def test_residuals(found):
    assert found.misfit == pytest.approx((-0.0374, 0.0768, -0.0474), abs=5e-5)


def test_scatter_and_errors(found):
    assert found.freedom == 1
    assert found.scatter == pytest.approx(0.0977, abs=5e-5)
    sigmas = found.scatter * np.sqrt(np.diag(found.covariance))
    assert sigmas[:2] == pytest.approx((0.0775, 0.1542), abs=5e-5)


def test_height_is_open_because_level_distances_do_not_tell_it(found):
    assert np.abs(found.loose) == pytest.approx(np.array([[0.0, 0.0, 1.0]]))
