"""Blocks, traction, lifting by hand: numbers printed in public manuals.

* US Navy, Steelworker Volume 2, "Allowance for friction" – READ.
* Wire Rope Users Manual, 4th edition, p. 86–88 – READ in a crane manual that reprints it.
* Pipeline Rules of Thumb Handbook, p. 6, block and tackle – READ.
* NIOSH revised lifting equation – READ (Canadian Centre for Occupational Health and Safety).
* Traction: R. K. Noon, Engineering Analysis of Vehicular Accidents, 1994, wet grass 0.20 – READ
  in a mine-road manual that quotes it; the product is arithmetic.
* Michigan R 408.42943: factor 5 – READ; FM 5-125 spar example – from memory, but plain moments.
"""

import numpy as np
import pytest

from visual.mechanics.block import SHEAVE_FRICTION, pull_behind_block, tackle_advantage
from visual.mechanics.handling import REFERENCE_MASS, recommended_mass
from visual.mechanics.pivot import pull_for_moment
from visual.mechanics.traction import largest_pull

pytestmark = pytest.mark.reference


def test_navy_single_sheave_costs_a_tenth():
    assert SHEAVE_FRICTION == 0.10
    assert pull_behind_block(1000.0, friction=SHEAVE_FRICTION) == pytest.approx(1100.0)


def test_navy_twofold_purchase():
    """1000 lb, four sheaves, advantage four: 350 lb."""
    assert 1000.0 / tackle_advantage(4, friction=0.10, leads=1) == pytest.approx(350.0)


def test_navy_threefold_purchase():
    """Safe load 12 tons without friction, six sheaves: 12 · 10/16 = 7½ tons."""
    assert 2.0 * tackle_advantage(6, friction=0.10, leads=1) == pytest.approx(7.5)


def compounded(parts, k, *, sheaves):
    """Load over lead-line pull of the Wire Rope Users Manual, p. 88."""
    return (k**parts - 1) / (k - 1) / k**sheaves


@pytest.mark.parametrize(("extra", "factor"), [(0, 0.309), (2, 0.367)])
def test_never_kinder_than_the_lead_line_factors(extra, factor):
    """Four parts on plain bearings, and two more sheaves; the lead line is off the upper block."""
    assert 1 / compounded(4, 1.09, sheaves=4 + extra) == pytest.approx(factor, abs=0.0006)
    assert 1 / tackle_advantage(4, friction=0.09, leads=1 + extra) >= factor


def test_never_kinder_than_the_pipeline_handbook():
    """Efficiency 0.917 a sheave, four parts: advantage 3.25."""
    assert tackle_advantage(4, friction=1 / 0.917 - 1, leads=1) <= 3.25


def test_lifting_equation():
    assert REFERENCE_MASS == 23.0
    assert recommended_mass(horizontal=0.25, height=0.75, travel=0.25) == pytest.approx(23.0)
    assert recommended_mass(horizontal=0.50, height=0.75, travel=0.25) == pytest.approx(11.5)


def test_vehicle_on_wet_grass():
    pull = largest_pull(np.array(0.0), np.array(0.0), weight=1500 * 9.80665, grip=0.20, rolling=0.0)
    assert pull == pytest.approx(2942.0, abs=0.5)


def test_rear_guy_of_a_leaning_spar():
    """FM 5-125 ch. 4, 2400 lb on an 800 lb spar, 20 ft out, guy 28 ft from the foot: 2000 lb."""
    moment = np.array((2400.0 + 800.0 / 2) * 20.0)
    assert pull_for_moment(moment, lever=np.array(28.0)) == pytest.approx(2000.0)
