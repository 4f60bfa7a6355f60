"""Least squares: laws, a second solver, coverage and blunders of synthetic surveys."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import chi2

from visual.crew.adjustment import adjust, find_suspects
from visual.crew.network import Network
from visual.crew.survey_start import make_network, starting_point
from visual.rig import SIDES

EVERY_KIND = [
    ("slope", "hinge", "front"),
    ("horizontal", "front", "right"),
    ("level", "base", "back"),
    ("bearing", "hinge", "left"),
    ("compass", "back", "left"),
    ("clinometer", "hinge", "right"),
]


@pytest.fixture(scope="module")
def model(make_model):
    return make_model(lambda x, y: 100.0 + 0.1 * x + 0.03 * y)


def network_of(model, readings):
    network = make_network(model, readings, file="readings.csv")
    return network, starting_point(model, network, file="readings.csv")


def packed(network, places):
    """Return the true unknowns; the compass of these surveys is off by nothing."""
    extras = np.zeros(network.size - 3 * len(network.points))
    return np.concatenate([*(places[point] for point in network.points), extras])


def test_rates_of_change_are_those_of_differences(model, read, true_places):
    places = true_places(model, np.random.default_rng(1))
    readings = [replace(r, start_height=0.3, end_height=0.1) for r in read(EVERY_KIND, places)]
    network, start = network_of(model, readings)
    start = start + np.random.default_rng(2).normal(0, 0.2, start.shape)
    rates = network.misfit(start)[1]
    step = 1e-6
    for column in range(network.size):
        shift = np.zeros(network.size)
        shift[column] = step
        both = [network.misfit(start + sign * shift)[0] for sign in (1, -1)]
        np.testing.assert_allclose(
            rates[:, column], (both[0] - both[1]) / (2 * step), rtol=1e-5, atol=1e-4
        )


def test_exact_readings_give_the_exact_places(model, read, true_places, full_plan):
    for seed in range(5):
        places = true_places(model, np.random.default_rng(seed))
        network, start = network_of(model, read(full_plan, places))
        found = adjust(network, start)
        assert found.unknowns == pytest.approx(packed(network, places), abs=1e-6)
        assert found.chi_squared < 1e-9


def test_same_answer_as_a_general_solver(model, read, true_places, full_plan):
    # scipy.optimize.least_squares: computed by a library, no analytic rates given to it
    rng = np.random.default_rng(7)
    network, start = network_of(model, read(full_plan, true_places(model, rng), rng))
    mine = adjust(network, start)
    other = least_squares(lambda u: network.misfit(u)[0], start, xtol=1e-14, ftol=1e-14)
    assert mine.unknowns == pytest.approx(other.x, abs=1e-6)
    assert mine.chi_squared == pytest.approx(2 * other.cost, rel=1e-9)
    covariance = np.linalg.inv(other.jac.T @ other.jac)
    assert mine.covariance == pytest.approx(covariance, rel=1e-4, abs=1e-9)


def test_laws_of_least_squares(model, read, true_places, full_plan):
    rng = np.random.default_rng(8)
    readings = read(full_plan, true_places(model, rng), rng)
    network, start = network_of(model, readings)
    found = adjust(network, start)
    misfit, rates = network.misfit(found.unknowns)
    assert rates.T @ misfit == pytest.approx(np.zeros(network.size), abs=1e-5)
    assert found.redundancy.sum() == pytest.approx(found.freedom)
    assert found.freedom == len(readings) - 13
    halved, start = network_of(model, [replace(r, sigma=r.sigma / 2) for r in readings])
    better = adjust(halved, start)
    assert better.unknowns == pytest.approx(found.unknowns, abs=1e-7)
    assert better.covariance == pytest.approx(found.covariance / 4, rel=1e-6, abs=1e-12)


def test_truth_is_inside_the_stated_errors_as_often_as_it_should_be(
    model, read, true_places, full_plan
):
    rng = np.random.default_rng(20260601)
    errors, squares, freedom = [], [], []
    for _ in range(300):
        places = true_places(model, rng)
        network, start = network_of(model, read(full_plan, places, rng))
        found = adjust(network, start)
        off = found.unknowns - packed(network, places)
        errors.append(off / np.sqrt(np.diag(found.covariance)))
        squares.append(off @ np.linalg.solve(found.covariance, off))
        freedom.append(found.chi_squared)
    errors = np.abs(np.array(errors))
    # 300 draws of about 13 numbers that go together: a share is good to about 0.015
    assert 0.64 < (errors < 1.0).mean() < 0.73
    assert 0.93 < (errors < 1.96).mean() < 0.97
    assert 0.90 < (np.array(squares) < chi2.ppf(0.95, 13)).mean() < 0.99
    assert np.mean(freedom) == pytest.approx(10.0, abs=0.8)


def test_a_blunder_of_a_metre_is_named(model, read, true_places, full_plan):
    rng = np.random.default_rng(4)
    lengths = [k for k, (kind, _, _) in enumerate(full_plan) if kind in ("slope", "level")]
    named, sizes, false = 0, [], 0
    for _ in range(100):
        readings = read(full_plan, true_places(model, rng), rng)
        network, start = network_of(model, readings)
        false += len(find_suspects(adjust(network, start))[1])
        wrong, sign = int(rng.choice(lengths)), float(rng.choice([-1.0, 1.0]))
        readings[wrong] = replace(readings[wrong], value=readings[wrong].value + sign)
        network, start = network_of(model, readings)
        suspects = find_suspects(adjust(network, start))[1]
        if suspects and suspects[0].reading == readings[wrong]:
            named += 1
            sizes.append(suspects[0].slip * sign)
    assert named >= 95
    assert false <= 5  # of 100 surveys with nothing wrong, 23 readings each, at 1 in 1000
    assert np.median(sizes) == pytest.approx(1.0, abs=0.05)


def test_two_blunders_are_named_one_after_the_other(model, read, true_places, full_plan):
    rng = np.random.default_rng(5)
    readings = read(full_plan, true_places(model, rng), rng)
    for k in (8, 11):  # a tape across and a level
        readings[k] = replace(readings[k], value=readings[k].value + 1.0)
    network, start = network_of(model, readings)
    best, suspects = find_suspects(adjust(network, start))
    assert {s.reading.line for s in suspects} == {10, 13}
    assert best.fits


def test_reading_that_nothing_checks_is_not_called_good(model, read, true_places, full_plan):
    network, start = network_of(
        model, read(full_plan, true_places(model, np.random.default_rng(6)))
    )
    found = adjust(network, start)
    bearing = next(k for k, e in enumerate(network.equations) if e.reading.kind == "bearing")
    assert found.redundancy[bearing] == pytest.approx(0.0, abs=1e-6)
    assert found.standardised[bearing] == 0.0


def test_readings_too_few_leave_directions_loose(model, read, true_places):
    plan = [("slope", "hinge", side) for side in SIDES]
    network, start = network_of(model, read(plan, true_places(model, np.random.default_rng(9))))
    assert len(adjust(network, start).loose) == 4  # each anchor may swing about the hinge


def test_whole_layout_may_turn_without_a_bearing(model, read, true_places, full_plan):
    plan = [step for step in full_plan if step[0] in ("slope", "level")]
    network, start = network_of(model, read(plan, true_places(model, np.random.default_rng(9))))
    loose = adjust(network, start).loose
    assert len(loose) == 1
    assert np.abs(loose[0].reshape(-1, 3)[:, 2]).max() < 1e-6


def test_network_of_nothing_fits_nothing():
    empty = Network({"hinge": np.zeros(3)}, ("left",), (), ())
    assert len(adjust(empty, np.zeros(3)).loose) == 3
    assert math.isnan(adjust(empty, np.zeros(3)).scatter)
