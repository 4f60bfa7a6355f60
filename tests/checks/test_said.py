"""Quantities in the sentences of findings, restated in the units of the reader."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.checks.finding import Finding
from visual.checks.said import in_units, said_in
from visual.units import parse_force, parse_length


@pytest.mark.parametrize(
    ("sentence", "imperial"),
    [
        ("a mast falling at it ends 0.85 m away", "a mast falling at it ends 2 ft 9 7/16 in away"),
        ("too short by 463 mm at 3°", "too short by 1 ft 6 1/4 in at 3°"),
        ("pulled to 98.73 kN if nothing gives", "pulled to 22195 lbf if nothing gives"),
        ("thrust -1.90 kN, its own weight", "thrust -427 lbf, its own weight"),
        ("4 people at 23 kg each (4 at 25 kg)", "4 people at 50.7 lb each (4 at 55.1 lb)"),
        ("with a gust of 10 m/s and the lane 5° off", "with a gust of 22 mph and the lane 5° off"),
        ("33 m² of ground", "355 ft² of ground"),
        ("bending 1.38 kNm and", "bending 1018 lbf ft and"),
    ],
)
def test_metric_sentences_become_imperial(sentence, imperial):
    assert in_units(sentence, "imperial") == imperial


@pytest.mark.parametrize(
    "sentence",
    [
        "11 kV line, 2 of 4 m",
        "wire right 1 and anchor 3",
        "0.70 m outside the boundary, (132 turns) until 82°, a bow of 0.2 %",
    ],
)
def test_what_is_in_the_units_asked_for_stays(sentence):
    assert in_units(sentence, "metric") == sentence


def test_other_numbers_stay():
    sentence = "11 kV, 3 wires, 5°, 0.35 of it, 2.5 mph, times 1.67, rule 4 meant 7 nails"
    assert in_units(sentence, "imperial") == sentence


def test_sentence_and_column_of_a_finding_read_the_same():
    finding = Finding(
        check="anchor place",
        subject="front anchor",
        status="ok",
        value=26 * 0.3048,
        unit="m",
        message="planned, 7.92 m from the base in plan, 1.50 m from the rest",
    )
    assert said_in(finding, "imperial") == (
        "planned, 26 ft 0 in from the base in plan, 4 ft 11 1/16 in from the rest"
    )
    assert said_in(finding, "metric") == finding.message


def test_pounds_become_newtons():
    assert in_units("must carry 896 lbf; at 50 lb each", "metric") == (
        "must carry 3.99 kN; at 22.7 kg each"
    )


@given(st.floats(0.0, 5000.0))
def test_a_length_keeps_its_size_to_the_last_sixteenth(metres):
    written = f"{metres:.2f}"
    said = in_units(f"move it {written} m away", "imperial")
    found = re.fullmatch(r"move it (.*) away", said)
    assert found is not None
    assert parse_length(found[1]) == pytest.approx(float(written), abs=0.0254 / 32 + 1e-9)


@given(st.floats(0.0, 999.0))
def test_a_force_keeps_its_size_to_the_pound(kilonewtons):
    written = f"{kilonewtons:.2f}"
    said = in_units(f"must carry {written} kN", "imperial")
    assert parse_force(said.removeprefix("must carry ")) == pytest.approx(
        float(written) * 1e3, abs=parse_force("0.51 lbf")
    )
