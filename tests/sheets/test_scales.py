"""Standard scales, their words, and the scale bar."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.sheets.scales import (
    bar_length,
    fitting_scale,
    parse_scale,
    scale_words,
    standard_scales,
)

UNITS = st.sampled_from(["metric", "imperial"])


@given(metres=st.floats(0.5, 2000.0), room=st.floats(40.0, 400.0), units=UNITS)
def test_the_scale_is_the_first_standard_one_that_fits(metres, room, units):
    scale = fitting_scale([(metres, room)], units)
    assert 1000 * metres / scale <= room * (1 + 1e-9)
    smaller = [s for s in standard_scales(units) if s < scale]
    assert all(1000 * metres / s > room * (1 - 1e-9) for s in smaller)


def test_what_no_standard_scale_fits_gets_a_round_one():
    assert fitting_scale([(3000.0, 100.0)], "metric") == 50_000


@pytest.mark.parametrize(
    ("text", "denominator"),
    [("1:250", 250), (" 1 : 500 ", 500), ("1 in = 20 ft", 240), ("1\"=30'", 360), ("1:12.5", 12.5)],
)
def test_scales_are_read(text, denominator):
    assert parse_scale(text) == denominator


@pytest.mark.parametrize("text", ["", "250", "1:", "2:1", "1:abc", "1:1e3", "one to ten"])
def test_what_is_no_scale_is_refused(text):
    with pytest.raises(ValueError, match="write it like 1:250"):
        parse_scale(text)


@pytest.mark.parametrize("text", ["1:1", "1:90000", "1:0"])
def test_scales_beyond_reason_are_refused(text):
    with pytest.raises(ValueError, match="1:5 to 1:50000"):
        parse_scale(text)


def test_scales_are_written_as_their_readers_write_them():
    assert scale_words(250, "metric") == "1:250"
    assert scale_words(240, "imperial") == "1 in = 20 ft (1:240)"
    assert scale_words(2500, "metric") == "1:2 500"


@given(denominator=st.floats(20, 20_000), room=st.floats(30, 120), units=UNITS)
def test_a_scale_bar_fits_its_room_and_has_round_parts(denominator, room, units):
    parts, part, unit = bar_length(denominator, room, units)
    size = 1.0 if unit == "m" else 0.3048
    assert 0.3 * room < parts * part * 1000 / denominator <= room * (1 + 1e-9)
    assert parts in (4, 5)
    digits = f"{part * parts / size:.0e}"[0]
    assert digits in "1245"
