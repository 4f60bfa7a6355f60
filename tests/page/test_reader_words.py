"""Round sizes and everyday words: never less careful than what was worked out."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.page.glossary import WORDS, glossary_data
from visual.page.plain_words import what_is_wrong
from visual.page.reader_sizes import at_least, at_most, listed, say

FOOT = 0.3048  # [m] exactly: international yard and pound agreement, 1959

LENGTHS = st.floats(min_value=0.0, max_value=2000.0)


def read(text):
    number, unit = re.fullmatch(r"(\d+(?:\.\d)?) (m|ft)", text).groups()
    return float(number) * (1.0 if unit == "m" else FOOT)


@given(LENGTHS)
def test_sizes_are_round_and_on_the_careful_side(metres):
    for units, step in (("metric", 0.1), ("imperial", FOOT)):
        up, down = read(at_most(metres)[units]), read(at_least(metres)[units])
        assert metres - 1e-6 <= up < metres + step + 1e-6
        assert metres - step - 1e-6 < down <= metres + 1e-6


@pytest.mark.parametrize(
    ("metres", "up", "down"),
    [
        (20.35, ("20.4 m", "67 ft"), ("20.3 m", "66 ft")),
        (18.3, ("18.3 m", "61 ft"), ("18.3 m", "60 ft")),
        (30.48, ("30.5 m", "100 ft"), ("30.4 m", "100 ft")),
        (0.854, ("0.9 m", "3 ft"), ("0.8 m", "2 ft")),
    ],
)
def test_what_is_round_already_stays(metres, up, down):
    assert tuple(at_most(metres).values()) == up
    assert tuple(at_least(metres).values()) == down


def test_names_in_a_sentence_are_only_names():
    said = say("near {what}", what="{0} %s <b>")
    assert said == {"metric": "near {0} %s <b>", "imperial": "near {0} %s <b>"}
    assert listed(["a", "b", "a", "c"]) == "a, b and c"
    assert listed([]) == ""


def test_everything_that_stops_is_said_in_some_way(report):
    said = " ".join(what_is_wrong(report.findings))
    stops = [one for one in report.findings if one.status == "stop"]
    assert any(one.check == "setback" for one in stops) == ("nearer than a rule allows" in said)
    for one in stops:
        if one.check in ("overhead line", "fall zone", "setback"):
            assert one.subject.rpartition(" to ")[2] in said


def test_words_of_the_trade_are_explained_in_order():
    words = [one["word"] for one in glossary_data()]
    assert words == sorted(WORDS)
    assert {"gin pole", "head", "rotor", "setback", "tow lane", "turnbuckle"} <= set(words)
