"""Which way a limit counts, told by the margin."""

from dataclasses import replace

import pytest

from visual.checks import Finding
from visual.checks.finding import limit_word


@pytest.mark.parametrize(
    ("value", "limit", "margin", "word"),
    [
        (40.4, 35.0, 5.4, "at least"),
        (30.0, 35.0, -5.0, "at least"),
        (40.4, 60.0, 19.6, "at most"),
        (0.5, 0.02, -0.48, "at most"),
        (21.4555, 1.0, 20.4552, "at least"),  # a certified distance may be a hair longer
        (2.0, 2.0, 0.0, "limit"),
    ],
)
def test_the_margin_tells_which_way_a_limit_counts(value, limit, margin, word):
    assert limit_word(value, limit, margin) == word
    finding = Finding("c", "s", "ok", value=value, limit=limit, margin=margin)
    assert finding.limit_word == word


def test_a_distance_that_is_a_hair_short_still_has_a_least():
    # what lies 1.7 mm lower than asked for counts as enough: by the margin it would be "at most"
    short = Finding("off the ground", "rotor to ground", "ok", 0.2983, 0.3, margin=0.0003)
    assert short.limit_word == "at most"
    assert replace(short, sense="at least").limit_word == "at least"


def test_a_finding_without_numbers_has_just_a_limit():
    assert Finding("c", "s", "not checked").limit_word == "limit"
