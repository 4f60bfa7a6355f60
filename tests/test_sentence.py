"""Sentences that carry their quantities until somebody reads them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.units import (
    Quantity,
    Sentence,
    degrees,
    format_length,
    format_quantity,
    joined,
    kilograms,
    metres,
    millimetres,
    newtons,
    parse_length,
    say,
)

SYSTEMS = ("metric", "imperial")


# Second column from the definitions of foot, inch, pound and mile, worked out by hand.
@pytest.mark.parametrize(
    ("told", "metric", "imperial"),
    [
        (metres(0.8541), "0.85 m", "2 ft 9 5/8 in"),
        (metres(5.3, decimals=1), "5.3 m", "17 ft 4 11/16 in"),
        (millimetres(0.463), "463 mm", "1 ft 6 1/4 in"),
        (newtons(98730.0), "98.73 kN", "22195 lbf"),
        (newtons(-1900.0), "-1.90 kN", "-427 lbf"),
        (kilograms(23.0), "23 kg", "51 lb"),
        (Quantity(10.0, "m/s"), "10 m/s", "22 mph"),
        (Quantity(33.0, "m2"), "33 m²", "355 ft²"),
        (Quantity(1380.0, "Nm"), "1.38 kNm", "1018 lbf ft"),
        (degrees(math.radians(-2.04)), "-2°", "-2°"),
        (degrees(math.radians(82.94), decimals=1), "82.9°", "82.9°"),
        (metres(math.nan), "unknown", "unknown"),
        (millimetres(math.nan), "unknown", "unknown"),
    ],
)
def test_a_quantity_in_both_systems(told, metric, imperial):
    assert told.in_units("metric") == metric
    assert told.in_units("imperial") == imperial


def test_a_sentence_is_put_into_words_once():
    ways = [say("a vehicle of {}", kilograms(2412.3, rounding="up")), say("a winch")]
    said = say("{} to {}: {}", metres(7.9248), "the {barn}", joined(ways, ", or "))
    assert said.in_units("metric") == "7.92 m to the {barn}: a vehicle of 2413 kg, or a winch"
    assert said.in_units("imperial") == (
        "26 ft 0 in to the {barn}: a vehicle of 5319 lb, or a winch"
    )
    assert [one.value for one in said.quantities] == [7.9248, 2412.3]


def test_nothing_said_is_empty():
    assert Sentence().in_units("metric") == ""
    assert say("") == Sentence()
    assert say("{}{}", say(""), 3) == say("3")


def test_no_line_breaks_within_a_quantity():
    said = say("move it {} away", metres(5.0)).in_units("imperial", space="_")
    assert said == "move it 16_ft_4_7/8_in away"


@pytest.mark.parametrize("told", [(), ("a", "b")])
def test_places_and_what_is_told_must_match(told):
    with pytest.raises(ValueError, match=rf"has 1 places for {len(told)} things"):
        say("so {} it is", *told)


@given(st.floats(-5000.0, 5000.0), st.sampled_from(SYSTEMS))
def test_a_sentence_and_a_table_read_the_same(value, units):
    assert say("{}", metres(value)).in_units(units) == format_quantity(value, "m", units)


@given(st.floats(-5000.0, 5000.0), st.sampled_from(SYSTEMS))
def test_what_is_needed_is_never_less_and_what_is_left_never_more(value, units):
    up = parse_length(metres(value, rounding="up").in_units(units))
    down = parse_length(metres(value, rounding="down").in_units(units))
    step = 0.01 if units == "metric" else 0.0254 / 16
    assert down - 1e-7 <= value <= up + 1e-7
    assert up - down <= step + 1e-7


@pytest.mark.parametrize("rounding", ["up", "down"])
@pytest.mark.parametrize("value", [3.2, 0.3, -0.07, 1.1 + 2.2 - 0.1, 26 * 0.3048])
def test_what_is_round_already_stays(value, rounding):
    """3.2 is stored as a hair more, 1.1 + 2.2 as two: neither is a centimetre more."""
    feet = format_length(value, "imperial", rounding=rounding)
    if value == 26 * 0.3048:
        assert feet == "26 ft 0 in"
    else:
        assert format_length(value, "metric", rounding=rounding) == f"{value:.2f} m"


def test_a_stop_by_a_hair_never_reads_as_nothing_missing():
    assert format_length(-0.0004, "metric", rounding="down") == "-0.01 m"
    assert format_length(-0.0004, "imperial", rounding="down") == "-1/16 in"
