"""Hints where something stops: what could help, and never that turning would where it cannot."""

import pytest

from visual.app.what_to_try import Known, known_of, what_to_try
from visual.checks import Finding, assess
from visual.model import load_model


def finding(status, check="wire goes tight", subject="wire right 1"):
    return Finding(check, subject, status)


BASE = finding("stop", "setback", "base to lane")


@pytest.mark.parametrize(
    ("findings", "first", "text"),
    [
        ([finding("stop")], "bearing", "look which ones work here"),
        ([finding("stop"), BASE], "place", "1 of these 2 hold whatever the bearing"),
        ([BASE], "place", "it holds whatever the bearing"),
        ([BASE, finding("stop", "fall zone", "barn")], "place", "all of it holds"),
        ([finding("stop", "setback", "nearest part to barn")], "bearing", ""),
        ([finding("stop", "mast buckling", "mast")], "rig", "hangs on the rig"),
        ([finding("not checked"), finding("ok")], "", "not checked"),
        ([finding("caution")], "", "needs care"),
        ([finding("ok"), finding("caution", "fall zone", "barn")], "", "before you save"),
    ],
)
def test_the_hint_leads_to_what_can_help(findings, first, text):
    hint = what_to_try(findings)
    assert hint["first"] == first
    assert text in hint["text"]


@pytest.mark.parametrize(
    ("known", "first", "text", "leads"),
    [
        (Known(), "bearing", "look which", ["bearing", "place", "findings"]),
        (Known((9, 72)), "bearing", "9 of the 72", ["bearing", "place", "findings"]),
        (Known((0, 72)), "place", "No bearing works here: 72", ["place", "findings"]),
        (Known((0, 72), (3, 8)), "place", "3 places were found", ["place", "findings"]),
        (Known((0, 72), (1, 8)), "place", "1 place was found", ["place", "findings"]),
        (Known((0, 72), (0, 8)), "rig", "best other places too", ["rig", "place", "findings"]),
        (Known((0, 72), (0, 0)), "place", "look farther", ["place", "findings"]),
        (Known((0, 72), (0, 0), everywhere=True), "rig", "another rig", ["rig", "findings"]),
    ],
)
def test_what_was_looked_at_is_not_advised_again(known, first, text, leads):
    hint = what_to_try([finding("stop")], known)
    assert hint["first"] == first
    assert text in hint["text"]
    assert [way["lead"] for way in hint["ways"]] == leads
    assert (
        "Try the bearings here" not in [way["word"] for way in hint["ways"]] or not known.bearings
    )


def test_a_bearing_is_no_advice_for_what_hangs_on_the_rig():
    hint = what_to_try([finding("stop"), finding("stop", "loads", "shackles")])
    assert "1 of these 2 hangs on the rig itself" in hint["text"]


def test_what_is_known_counts_what_passes_the_full_check_and_a_lost_place_as_no_bearing():
    places = [{"stops": 0}, {"stops": 2}]
    search = {"places": places, "complete": True, "works": {"metric": "1 ha"}}
    rose = {"place": "", "bearings": [{"works": True}, {"works": False}]}
    assert known_of(search, rose, whole=True) == Known((1, 2), (1, 2))
    assert known_of(None, rose | {"place": "setback"}, whole=True) == Known((0, 2))
    nothing = {"places": [], "complete": True, "works": None}
    assert known_of(nothing, None, whole=True).everywhere
    assert not known_of(nothing, None, whole=False).everywhere
    assert not known_of(nothing | {"complete": False}, None, whole=True).everywhere


def test_the_hill_sample_is_told_to_look_for_another_place(copy_site):
    path = copy_site("hill_paddock")
    assert what_to_try(assess(load_model(path)).findings)["first"] == "place"
