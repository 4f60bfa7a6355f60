"""What a rose says in words, at hand-made roses of four bearings."""

import math

import numpy as np
import pytest

from visual.search.causes import SHARES, WORDS, Cause
from visual.search.rose import Rose, rose_lines


def rose(place_share: float, place_cause: Cause) -> Rose:
    return Rose(
        x=0.0,
        y=0.0,
        bearings=np.radians([0.0, 90.0, 180.0, 270.0]),
        share=np.array([0.68, 0.5, -0.2, math.nan]),
        cause=np.array([Cause.LANE_SLOPE, Cause.PULL, Cause.WIRE_TIGHT, Cause.GROUND], np.uint8),
        shares=np.full((4, SHARES), math.nan),
        place_share=place_share,
        place_cause=place_cause,
    )


def test_a_run_leaves_no_more_than_the_spot_does():
    one = rose(0.6, Cause.ROTOR_HEIGHT)
    first, *spans = rose_lines(one)
    assert first == (
        f"Whatever the bearing, 60 % is left here at most: {WORDS[Cause.ROTOR_HEIGHT].tight}."
    )
    assert spans[0] == "  000° to 090°  works, 60 % left at best"
    assert one.left[:3] == pytest.approx([0.6, 0.5, -0.2])


def test_a_spot_that_leaves_all_is_not_spoken_of():
    assert rose_lines(rose(1.0, Cause.NONE))[0] == "  000° to 090°  works, 68 % left at best"


def test_where_the_spot_is_out_no_bearing_is_said_to_work():
    first, *spans = rose_lines(rose(-0.1, Cause.BASE_PLACE))
    assert first.startswith("Whatever the bearing, this spot is out:")
    assert not [line for line in spans if "works" in line]
    assert "stopped by the spot alone" in spans[0]
