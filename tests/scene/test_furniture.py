import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from visual.scene.furniture import bar_length, draw_scale_bar, looking, round_scale
from visual.scene.legend import entries_for
from visual.scene.render import visible
from visual.scene.sheet import Rect, Sheet
from visual.scene.style import INK, PAGE_WIDTH, ROLES, type_pixels


@given(mpp=st.floats(0.002, 5.0), units=st.sampled_from(["metric", "imperial"]))
def test_scale_bar_is_exact_to_the_pixel_and_fits(mpp, units):
    sheet, room = Sheet(1600, 1000), 330.0
    image = Image.new("RGB", (400, 60), "white")
    draw_scale_bar(image, sheet, (20, 5), mpp=mpp, room=room, units=units)
    length, _ = bar_length(mpp, room, units)
    expected = length * (1.0 if units == "metric" else 0.3048) / mpp
    inked = np.flatnonzero((np.asarray(image)[5:60] == INK).all(axis=2).any(axis=0))
    rows = np.flatnonzero((np.asarray(image)[:, 20] == INK).all(axis=1))
    bar = np.asarray(image)[rows[-1]] == INK
    drawn = int(bar.all(axis=1).sum())
    assert inked.min() >= 20
    assert abs(drawn - expected) <= 0.5 + 1e-9
    assert 0.3 * room <= expected <= room


def test_round_scale_is_round_and_shows_no_less(plan_view):
    sheet, frame = Sheet(1600, 1000), Rect(0, 0, 1200, 860)
    view = round_scale(plan_view, sheet, frame)
    ratio = view.metres_per_pixel(1200, 860) * 1600 / (PAGE_WIDTH / 1000)
    assert ratio == pytest.approx(round(ratio / 25) * 25)
    assert view.metres_per_pixel(1200, 860) >= plan_view.metres_per_pixel(1200, 860)


def test_legend_has_what_is_in_the_picture_and_nothing_else(scene, plan_view):
    entries = entries_for(visible(scene, plan_view), plan_view, width=600, height=600)
    words = [entry.word for entry in entries]
    assert words == [
        "mast",
        "wire",
        "anchor",
        "fall zone: ground a falling mast can touch",
    ]


def test_legend_leaves_out_what_lies_beyond_the_frame(scene, plan_view):
    near = plan_view.with_span(4.0, 4.0)
    words = [e.word for e in entries_for(scene.layers, near, width=600, height=600)]
    assert "anchor" not in words
    assert "mast" in words


def test_every_role_has_its_edge_and_a_known_swatch():
    for key in ("fall_zone", "lane", "required_clearance", "water", "road", "keep_out"):
        assert f"{key}_edge" in ROLES
        assert ROLES[key].word == ROLES[f"{key}_edge"].word


def test_zones_differ_by_more_than_colour():
    outlines = ["fall_zone_edge", "fall_circle", "setback", "lane_edge", "laydown_edge"]
    assert len({ROLES[key].dash for key in outlines}) == len(outlines)


def test_type_shrinks_slowly_and_never_below_nine_pixels():
    assert type_pixels(2.7, 1600, 1000) == 16
    assert type_pixels(2.7, 800, 500) >= 9
    assert type_pixels(2.7, 320, 200) == 9


def test_a_view_says_which_way_it_looks(plan_view, slant_view):
    assert looking(plan_view) == "seen from above, north up"
    assert looking(slant_view) == "looking north-west (326°)"
