"""Sheets of sites that lack something or are out of the way: drawn without it, never a crash."""

import re

import pytest

from visual.checks import assess
from visual.scene.build import SceneMaker
from visual.sheets.elevation_sheet import draw_elevation_sheet
from visual.sheets.plan_sheet import draw_plan_sheet


def both(report, document):
    maker = SceneMaker(report)
    draw_plan_sheet(document, report, maker)
    draw_elevation_sheet(document, report, maker)
    return document.content()


def test_a_site_with_nothing_around_and_no_head(make_model, new_document, text_of):
    shown = text_of(both(assess(make_model(spacing=20.0)), new_document()), 0)
    assert "The site file names none." in shown


def test_ground_that_ends_within_the_fall_zone(make_model, new_document, text_of):
    content = both(assess(make_model(reach=15.0, spacing=5.0)), new_document("A3"))
    assert "front anchor" in text_of(content, 0)


def test_anchors_on_unknown_ground_are_left_out_of_the_drawing(make_model, new_document, text_of):
    report = assess(make_model(spacing=2.0, reach=4.0))
    assert not any(anchor.placed for anchor in report.model.anchors.values())
    assert "front anchor" not in text_of(both(report, new_document()), 0)


@pytest.mark.parametrize(
    ("crs", "position", "words", "numbers"),
    [
        ("EPSG:4326", [-2.25, 53.4], "EPSG:4326, degrees", r"E −2\.2\d+°"),
        ("EPSG:2263", [980_000.0, 200_000.0], "units of 0.304801 m", r"E 98\d \d{3}"),
        ("EPSG:32630", [553_210.0, 5_912_480.0], "EPSG:32630, metres", r"N 5 912 \d{3}"),
    ],
)
def test_the_grid_is_that_of_the_site(
    crs, position, words, numbers, make_model, new_document, text_of
):
    changes = {"site": {"crs": crs}, "mast": {"position": position}}
    report = assess(make_model(changes=changes, spacing=30.0))
    document = new_document("A4")
    draw_plan_sheet(document, report, SceneMaker(report))
    shown = text_of(document.content(), 0)
    assert words in shown
    assert re.search(numbers, shown)


def test_a_scale_far_too_large_is_drawn_and_cut_at_the_frame(judge, maker, new_document, paths_of):
    document = new_document("A4")
    draw_plan_sheet(document, judge("metric"), maker("metric"), denominator=20.0)
    frame = document.body
    for path in paths_of(document.content(), 0):
        assert (path.points >= -1.0).all()
        assert (path.points[:, 0] <= frame.right + 11.0).all()
