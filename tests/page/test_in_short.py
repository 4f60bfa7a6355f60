"""In short: the verdict as a sentence, and what a neighbour asks first, in everyday words."""

import re
from dataclasses import replace

import pytest
from shapely import Point

from visual.checks import assess
from visual.page.brief import brief_data
from visual.page.finding_data import reader_of
from visual.page.tables import distances_table
from visual.page.verdict_words import verdict_words
from visual.site import Feature
from visual.units import format_length


@pytest.fixture(scope="module")
def page(chromium, page_file):
    context = chromium.new_context(viewport={"width": 900, "height": 620}, device_scale_factor=0.5)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("!!window.hillmast")
    page.evaluate("hillmast.viewer.stage.renderer.render = () => {}")
    yield page
    context.close()


@pytest.fixture(scope="module")
def brief(report):
    return brief_data(report)


def answered(brief, key):
    (found,) = [one for one in brief["answers"] if one["key"] == key]
    return found


def words_of(one, units="metric"):
    things = [f"{thing['name']} {thing['text'][units]}" for thing in one["things"]]
    return " ".join([one["lead"][units], *(more[units] for more in one["more"]), *things])


def metres(text):
    return [float(one) for one in re.findall(r"(\d+\.\d) m\b", text)]


def test_the_verdict_counts_what_stops_and_says_it_is_no_permit(report, make_model):
    stops = sum(one.status == "stop" for one in report.findings)
    said = verdict_words(report)
    assert said["stops"]
    assert stops > 1
    assert said["short"] == f"As planned here it must NOT be raised: {stops} checks stop it."
    assert said["wrong"]
    assert "This is no permit." in " ".join(said["more"])


def test_a_verdict_that_nothing_stops_tells_what_was_not_checked_and_what_is_not_known(make_model):
    plain = assess(make_model())
    assert not plain.stops
    said = verdict_words(plain)
    unchecked = sum(one.status == "not checked" for one in plain.findings)
    assert said["short"].startswith("Nothing in the checks made forbids raising it here.")
    assert f"{unchecked} things were not checked." in said["short"]
    missing = "This file knows no edge of the property, no road or path, no overhead line"
    assert missing in said["short"]
    assert said["short"].endswith("This is no permit.")
    assert not said["wrong"]


def test_what_is_never_checked_and_what_the_file_lacks_are_told(make_model):
    told = brief_data(assess(make_model()))
    never = " ".join(told["never"])
    for word in ("storm", "ice", "foundation", "soil", "ground", "noise", "permit"):
        assert word in never
    assert any("no overhead line" in one for one in told["unknown"])


def test_heights_are_written_as_in_the_pictures(report, brief):
    mast = report.model.rig.mast
    high = answered(brief, "high")
    for units in ("metric", "imperial"):
        assert high["lead"][units].startswith(format_length(mast.total_height, units))
        assert f"reaches {format_length(mast.mast_height, units)};" in words_of(high, units)


def test_distances_of_buildings_are_rounded_down_and_nearest_first(report, brief):
    base = report.fall_zone.circle.centroid
    buildings = report.model.surroundings.buildings
    away = sorted(float(one.footprint.distance(base)) for one in buildings)
    things = answered(brief, "far")["things"]
    said = [metres(one["text"]["metric"])[0] for one in things]
    assert len(said) == len(away) == 1
    for text, true in zip(said, away, strict=True):
        assert 0 <= true - text < 0.1


def test_what_a_fall_may_reach_comes_first_and_then_the_nearest(report, brief):
    falls = [report.findings[one["finding"]] for one in answered(brief, "fall")["things"]]
    meant = [f for f in report.findings if f.check == "fall zone" or "falling mast" in f.subject]
    assert {f.subject for f in falls} == {f.subject for f in meant}
    safe = [f.status == "ok" for f in falls]
    assert safe == sorted(safe)
    for group in (True, False):
        away = [f.value or 0.0 for f, ok in zip(falls, safe, strict=True) if ok is group]
        assert away == sorted(away)


def test_nothing_in_reach_is_called_out_of_reach(report, brief):
    for one in answered(brief, "fall")["things"]:
        finding = report.findings[one["finding"]]
        if "out of its reach" in one["text"]["metric"]:
            assert finding.status == "ok"
            assert finding.margin > 0


def test_falling_is_told_for_the_day_of_the_raise_and_for_ever_after(brief):
    said = words_of(answered(brief, "fall"))
    for words in (
        "While it is raised",
        "As long as it stands",
        "can fly farther",
        "storm is not checked here. A licensed engineer must",
    ):
        assert words in said


def test_a_broken_wire_reaches_as_far_as_its_anchor_and_its_length(report, brief):
    (far,) = metres(words_of(answered(brief, "wire")))
    wires = report.model.installed
    longest = max(report.model.anchors[w.side].radius + w.straight_length for w in wires)
    assert 0 <= far - longest < 0.1


def test_day_and_contact_are_those_of_the_site_file_or_said_to_be_missing(make_model, page):
    told = {"site": {"when": "a Saturday in June", "contact": "the farm office, 01632 960123"}}
    brief = brief_data(assess(make_model(changes=told)))
    assert answered(brief, "when")["lead"]["metric"] == "A Saturday in June."
    assert answered(brief, "ask")["lead"]["metric"] == "The farm office, 01632 960123."
    text = page.locator("#hm-panel-short").text_content()
    assert "This file does not say; ask whoever sent you this file." in text


def test_a_day_is_conditional_where_it_must_not_be_raised(report):
    site = report.model.site.site.model_copy(update={"when": "a Saturday in June"})
    model = replace(report.model, site=report.model.site.model_copy(update={"site": site}))
    said = answered(brief_data(replace(report, model=model)), "when")["lead"]["metric"]
    assert said.startswith("Not as planned here. If all that is wrong is put right:")


def test_it_is_open_first_and_leads_to_windows_and_findings(page):
    panel = page.locator("#hm-panel-short")
    assert panel.is_visible()
    first = panel.locator("[data-answer=fall] button.hm-finding").first
    first.click()
    shown = page.evaluate("hillmast.frame.findings.marked.subject")
    assert shown.removeprefix("falling mast to ") in first.text_content()
    view = page.evaluate("hillmast.viewer.data.views.find((one) => one.eyeLevel).name")
    panel.locator(".hm-short-views button").first.click()
    assert page.evaluate("hillmast.viewer.view.name") == view


def test_the_verdict_stands_in_the_head_in_words(page, brief):
    head = page.locator(".hm-head .hm-verdict")
    assert brief["verdict"]["short"] in head.text_content()
    head.click()
    assert page.locator("#hm-panel-short").is_visible()


def test_paper_answers_but_leads_nowhere(page):
    page.evaluate("hillmast.frame.toPaper()")
    assert "Whom can I ask?" in page.locator(".hm-paper").text_content()
    assert page.locator(".hm-paper .hm-short-see").count() == 0


def test_what_is_named_after_the_verdict_is_everything_that_is_not_ok(report):
    more = " ".join(verdict_words(report)["more"])
    lists = {"not checked": "Could not be checked", "caution": "For those who raise it to mind"}
    for status, words in lists.items():
        if any(one.status == status for one in report.findings):
            assert words in more
    around = [
        one for one in report.findings if one.status == "caution" and reader_of(one) == "permit"
    ]
    assert ("of concern to those around" in more) == bool(around)
    assert all(one.subject in more for one in around[:5])


def test_how_high_it_looks_is_the_rule_of_similar_triangles(make_model):
    site = make_model(features=(Feature("viewpoint", "gate", Point(0.0, 100.0), 1),), reach=120.0)
    said = answered(brief_data(assess(site)), "see")["more"][0]
    total = site.rig.mast.total_height
    assert f"as high as {0.6 * total:.0f} cm" in said["metric"]  # a 100th of 0.6 m for each metre
    assert f"as high as {0.006 * total / 0.0254:.1f} in" in said["imperial"]


def test_the_count_of_distances_is_that_of_their_table(report, brief):
    rows = distances_table(report)["rows"]
    broken = sum("stop" in [str(cell) for cell in row] for row in rows)
    text = answered(brief, "allowed")["more"][0]["metric"]
    known = [row for row in rows if "none known" not in row]
    assert f"{len(known)} distances" in text
    assert text.startswith(f"The plan breaks {broken} of" if broken else "The plan keeps all")
