"""A mast of 200 kg on a gin pole, pulled from a fixed point: the table `tilt_up_virtual_work.csv`.

Standing: computed independently of this program, from moments and again from virtual work, for a
mass of 200 kg 6 m along the mast, a weightless gin pole of 4 m square to it, and a line to a point
10 m from the hinge, level with it, 2 m below and 2 m above; g = 9.80665 m/s².
"""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from visual.raising import tow_path
from visual.raising.forces_run import run_raise

pytestmark = pytest.mark.reference

TABLE = Path(__file__).parent / "data" / "tilt_up_virtual_work.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))
CASES = sorted({(row["case"], float(row["tow_z_m"])) for row in ROWS})
WORK = 11589.1979  # [J] of the line from 0 to 80°, the same in all three


@pytest.fixture(scope="module")
def raised(make_model):
    """A maker of the raise with the fixed point at a height, at given angles [rad]."""
    area = math.pi / 4 * (0.1143**2 - 0.1053**2)

    def make(height, angles):
        steel = {"modulus": 210e9, "yield": 235e6}
        tube = {"length": 6.0, "outer_diameter": 0.1143, "wall": 0.0045, "count": 2}
        nothing = {
            "diameter": 0.006,
            "mass_per_metre": 1e-5,
            "stiffness": 1.6e6,
            "breaking_load": 20e3,
        }
        changes = {
            "mast": {"section": [tube | steel | {"density": 200.0 / (area * 12.0)}]},
            "gin_pole": {"length": 4.0, "density": 1e-6} | steel,
            "wire": {"guy": nothing},
            "anchors": {"front": {"position": [0.0, 10.0], "height": 100.25 + height}},
            "tow": {"by": "winch"},
        }
        model = make_model(changes=changes)
        return run_raise(model, tow_path(model, angles), with_head=False)

    return make


@pytest.mark.parametrize(("case", "height"), CASES)
def test_tension(raised, case, height):
    rows = [row for row in ROWS if row["case"] == case]
    found = raised(height, np.radians([float(row["mast_angle_deg"]) for row in rows]))
    for i, row in enumerate(rows):
        expected = float(row["T_equilibrium_N"])
        if expected < 0:  # the line would have to push: it passes over the hinge
            assert math.isnan(found.tow_tension[i])
            assert found.over_centre == i
        else:
            # what is not quite weightless here is some millionths
            assert found.tow_tension[i] == pytest.approx(expected, rel=1e-5)
        length = np.linalg.norm(found.tow.tips[i] - found.tow.ends[i])
        assert length == pytest.approx(float(row["tow_line_m"]), abs=1e-9)


def test_level_case_in_closed_form(raised):
    """T = W c √(a² + h²)/(a h) at 0°."""
    found = raised(0.0, np.radians([0.0]))
    expected = 200 * 9.80665 * 6.0 * math.hypot(10.0, 4.0) / 40.0
    assert expected == pytest.approx(3168.626, abs=0.001)
    assert found.tow_tension[0] == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("height", [0.0, -2.0])
def test_work_of_the_line(raised, height):
    found = raised(height, np.radians(np.arange(0.0, 80.01, 1.0)))
    length = np.linalg.norm(found.tow.tips - found.tow.ends, axis=1)
    mean = (found.tow_tension[1:] + found.tow_tension[:-1]) / 2
    assert np.sum(mean * -np.diff(length)) == pytest.approx(WORK, rel=1e-4)
    gained = np.diff(found.weights.energy(found.angles[[0, -1]]))[0]
    assert gained == pytest.approx(WORK, rel=1e-5)
