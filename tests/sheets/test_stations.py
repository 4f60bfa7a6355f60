"""Who stands where during a raise: outside both fall zones, in sight, away from lines."""

import math

import numpy as np
import pytest
from shapely.geometry import LineString

from visual.checks.standing_room import is_free
from visual.sheets.paper import PAPERS
from visual.sheets.raise_plan import plan_window
from visual.sheets.raise_search import SPARE
from visual.sheets.raise_stations import cab_words, stations
from visual.sheets.scales import standard_scales
from visual.site import Feature

MOVED, TERRACE = "moved", "terrace"
SITES = ("paddock", MOVED, TERRACE, "yard")


def units_of(report) -> str:
    return report.model.site.site.units


@pytest.mark.parametrize("site", SITES)
def test_nobody_on_foot_stands_in_the_fall_zone_or_in_line_with_the_rope(judged, site):
    report = judged(site)
    found = stations(report, units=units_of(report))
    contact = report.fall_zone.reach.max()
    for person in found.people[1:]:
        assert (
            np.hypot(*person.place) >= max(report.fall_zone.circle_radius, contact) + SPARE - 1e-9
        )
        ahead, right = (
            person.place @ report.model.forward[:2],
            person.place @ report.model.rightward[:2],
        )
        assert ahead < 0 or abs(right) > 2.9


@pytest.mark.parametrize("site", SITES)
def test_spotters_stand_on_either_side_of_the_hinge_line(judged, site):
    report = judged(site)
    people = {person.letter: person for person in stations(report, units="metric").people}
    sides = [float(people[k].place @ report.model.rightward[:2]) for k in "CS"]
    assert sides[0] * sides[1] < 0
    assert people["B"].place @ report.model.forward[:2] < 0


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("site", SITES)
def test_the_plan_shows_everybody_and_all_of_the_zone_at_a_standard_scale(judged, site, paper):
    report, units = judged(site), units_of(judged(site))
    found = stations(report, units=units)
    window = plan_window(report, found, PAPERS[paper].frame, units=units)
    assert window.denominator in standard_scales(units)
    turns = np.linspace(0.0, 2 * math.pi, 60)
    rim = found.zone * np.column_stack([np.cos(turns), np.sin(turns), 0.0 * turns])
    people = np.array([[*person.place, 0.0] for person in found.people])
    assert window.holds(window.flat(np.concatenate([rim, people])), edge=4.0).all()
    ahead = window.flat(np.array([[0.0, 0.0, 0.0], 10.0 * report.model.forward]))
    assert ahead[1] - ahead[0] == pytest.approx([0.0, -10e3 / window.denominator])  # front up


def test_nobody_stands_behind_an_overhead_line(judged):
    report = judged(TERRACE)
    places = np.array([person.place for person in stations(report, units="imperial").people])
    supports = report.model.surroundings.lines[0].supports[:, :2]
    for place in places:
        way = np.linspace(0.0, 1.0, 200)[:, None] * place
        along, off = supports[1] - supports[0], way - supports[0]
        side = np.sign(along[0] * off[:, 1] - along[1] * off[:, 0])
        assert (side == side[0]).all()


def test_people_keep_away_from_a_line_of_unknown_height_too(make_model):
    line = LineString([(-45.0, -15.0), (45.0, -14.0)])
    model = make_model(features=(Feature("overhead_line", "old line", line, 1),))
    near, far = np.array([[0.0, -9.0]]), np.array([[0.0, -8.0]])  # 20 ft are 6.1 m
    assert not is_free(model, near).any()
    assert is_free(model, far).all()
    assert not is_free(model, np.array([[0.0, -30.0]])).any()  # behind it


def test_the_driver_sits_in_the_cab_only_if_all_of_the_vehicle_is_outside(judged):
    moved, terrace = (stations(judged(site), units="metric").cab for site in (MOVED, TERRACE))
    assert moved.is_beyond
    assert cab_words(moved, units="metric").startswith("In the cab")
    assert not terrace.is_beyond
    hitch = judged(TERRACE).raised.tow.distance.min()
    bare = judged(TERRACE).forces.bare.tow.distance.min()
    assert terrace.missing == pytest.approx(terrace.zone - min(hitch, bare))
    assert "Not in the cab" in cab_words(terrace, units="metric")
