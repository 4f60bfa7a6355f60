"""Contours and setbacks are there for readers of either system of units."""

import math

import numpy as np
import pytest

from visual.units import format_length

FOOT = 0.3048


def contours(data, units):
    return [one for one in data["around"]["layers"] if one.get("units") == units]


@pytest.mark.parametrize(("units", "unit"), [("metric", 1.0), ("imperial", FOOT)])
def test_each_set_stands_at_heights_that_are_round_in_its_own_units(data, report, units, unit):
    labels = [one for one in contours(data, units) if one["kind"] == "label"]
    assert labels
    datum = report.model.frame.origin_height
    for one in labels:
        # the ground of the site is a plane, so the label stands at its very height
        assert float(one["text"]) * unit - datum == pytest.approx(one["at"][2], abs=2e-3)
    heights = sorted({float(one["text"]) for one in labels})
    step = np.diff(heights).min()
    digits = step / 10 ** np.floor(np.log10(step) + 1e-9)
    assert min(abs(digits - one) for one in (1.0, 2.0, 2.5, 5.0, 10.0)) < 1e-6


def test_contours_are_all_for_one_of_both(data):
    every = [one for one in data["around"]["layers"] if one["group"] == "contours"]
    assert len(every) == len(contours(data, "metric")) + len(contours(data, "imperial"))
    others = [one for one in data["around"]["layers"] if one["group"] != "contours"]
    assert not any("units" in one for one in others)


def test_the_note_tells_the_interval_in_the_units_of_the_reader(data):
    assert data["site"]["notes"][0].endswith(" m")
    assert data["site"]["other"]["notes"][0].endswith(" ft")
    assert " m." in data["site"]["standing"]
    assert " in." in data["site"]["other"]["standing"]


def test_setbacks_are_named_in_both_units(data, report):
    names = [one for one in data["layers"] if one["kind"] == "label" and one["group"] == "setbacks"]
    assert names
    required = {(one.to, one.required) for one in report.setbacks}
    metric = tuple(f"keep {format_length(r, 'metric')} from" for _, r in required)
    feet = tuple(f"keep {math.ceil(10 * r / 0.3048) / 10:.1f} ft from" for _, r in required)
    for key, starts in (("text", metric), ("other", feet)):
        assert all(one[key].startswith(starts) and ": is " in one[key] for one in names)
