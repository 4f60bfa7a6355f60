"""Which way a limit counts: said by the check, not guessed from the numbers."""

from functools import cache
from pathlib import Path

import pytest

from visual.checks import Finding, assess
from visual.model import load_model

SAMPLES = Path(__file__).parents[2] / "sample_sites"
SITES = ("hill_paddock/site.toml", "hill_paddock/site_moved.toml", "terrace/site.toml")


@cache
def findings_of(name):
    return assess(load_model(SAMPLES / name)).findings


@pytest.mark.parametrize("name", SITES)
def test_every_limit_says_which_way_it_counts_and_the_margin_agrees(name):
    limited = [one for one in findings_of(name) if one.limit is not None]
    assert limited
    for one in limited:
        assert one.bound, one
        if one.value is not None and one.margin is not None and one.check != "tow lane":
            inside = one.value - one.limit if one.bound == "at least" else one.limit - one.value
            # heights above ground are forgiven 2 mm; certified distances may be a hair longer
            assert one.margin == pytest.approx(inside, abs=2.5e-3), one


def test_the_rotor_stays_at_least_its_clearance_off_the_ground():
    found = findings_of("hill_paddock/site_moved.toml")
    rotor = next(one for one in found if one.subject == "rotor to ground")
    assert rotor.bound_text("metric") == "at least 0.30 m"


def test_without_a_limit_nothing_is_said_of_it():
    assert not Finding("c", "s", "not checked").bound_text("metric")
