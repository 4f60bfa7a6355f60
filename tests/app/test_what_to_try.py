"""Hints where something stops: what could help, and never that turning would where it cannot."""

import pytest

from visual.app.what_to_try import what_to_try
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


def test_the_hill_sample_is_told_to_look_for_another_place(copy_site):
    path = copy_site("hill_paddock")
    assert what_to_try(assess(load_model(path)).findings)["first"] == "place"
