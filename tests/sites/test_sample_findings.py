"""What the sample sites are there to show: what stops, and that moving the mast helps."""

from pathlib import Path

import pytest

from visual.checks import Report, assess
from visual.model import load_model

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"


@pytest.fixture(scope="module")
def badly_placed() -> Report:
    return assess(load_model(SAMPLES / "hill_paddock" / "site.toml"))


@pytest.fixture(scope="module")
def moved() -> Report:
    return assess(load_model(SAMPLES / "hill_paddock" / "site_moved.toml"))


@pytest.fixture(scope="module")
def terrace() -> Report:
    return assess(load_model(SAMPLES / "terrace"))


def stops(report: Report) -> set[tuple[str, str]]:
    return {(f.check, f.subject) for f in report.findings if f.status == "stop"}


@pytest.mark.parametrize(
    ("check", "subject"),
    [
        ("wire goes tight", "wire right 1"),
        ("wire goes tight", "wire right 2"),
        ("overhead line", "rotor to 11 kV line"),
        ("overhead line", "falling mast to 11 kV line"),
        ("fall zone", "barn"),
        ("fall zone", "farm track"),
        ("setback", "base to top field"),
        ("setback", "base to 11 kV line"),
        ("anchor place", "left anchor and boundary"),
        ("gin tip", "gin pole to ground"),
        ("tow lane", "tow lane and wet ground"),
    ],
)
def test_the_first_place_in_the_paddock_stops(badly_placed, check, subject):
    assert (check, subject) in stops(badly_placed)


def test_numbers_of_the_readme(badly_placed):
    """The README of the paddock quotes these, rounded."""
    found = {(f.check, f.subject): f.value for f in badly_placed.findings}
    assert found["wire goes tight", "wire right 2"] == pytest.approx(0.65, abs=0.005)
    assert found["wire goes tight", "wire right 1"] == pytest.approx(0.50, abs=0.005)
    assert found["overhead line", "rotor to 11 kV line"] == pytest.approx(1.3, abs=0.05)
    assert found["overhead line", "falling mast to 11 kV line"] == pytest.approx(0.9, abs=0.06)
    assert found["gin tip", "gin pole to ground"] == pytest.approx(0.06, abs=0.005)
    assert found["setback", "base to 11 kV line"] == pytest.approx(20.1, abs=0.05)


def test_nothing_stops_the_mast_that_was_moved(moved):
    assert stops(moved) == set()


def test_everything_but_the_forces_is_checked_where_the_mast_was_moved(moved):
    assert {f.check for f in moved.findings if f.status == "not checked"} <= {"loads"}


def test_the_moved_mast_keeps_far_more_than_it_must(moved):
    assert min(f.margin for f in moved.findings if f.check == "setback") > 10.0
    assert all(f.status == "ok" for f in moved.findings if f.check == "wire goes tight")


def test_nothing_stops_on_the_terrace(terrace):
    assert stops(terrace) == set()


def test_the_mast_on_the_terrace_starts_below_level(terrace):
    assert terrace.raised.start.angle < 0.0


def test_house_line_trees_and_boundary_of_the_terrace_come_from_the_survey(terrace):
    around = terrace.model.surroundings
    assert [building.name for building in around.buildings] == ["house"]
    assert [line.name for line in around.lines] == ["service line"]
    assert len(around.trees) == 3
    assert len(around.viewpoints) == 2
    assert [area.name for area in around.areas_of("boundary")] == ["plot"]
