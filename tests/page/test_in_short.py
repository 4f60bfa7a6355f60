"""In short: what a neighbour asks first, in everyday words."""

import pytest

from visual.checks import assess
from visual.page.brief import brief_data


@pytest.fixture(scope="module")
def page(chromium, page_file):
    context = chromium.new_context(viewport={"width": 900, "height": 620}, device_scale_factor=0.5)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("!!window.hillmast")
    page.evaluate("hillmast.viewer.stage.renderer.render = () => {}")
    yield page
    context.close()


def test_heights_and_reach_are_those_of_the_model(report):
    brief = brief_data(report)
    mast = report.model.rig.mast
    assert brief["total"]["metric"] == f"{mast.total_height:.2f} m"
    assert brief["mast"]["metric"] == f"{mast.mast_height:.2f} m"
    assert brief["reach"]["metric"] == f"{report.fall_zone.circle_radius:.2f} m"
    assert " ft" in brief["total"]["imperial"]


def test_what_a_fall_may_reach_comes_first_and_then_the_nearest(report):
    brief = brief_data(report)
    falls = [report.findings[one["finding"]] for one in brief["falls"]]
    meant = [f for f in report.findings if f.check == "fall zone" or "falling mast" in f.subject]
    assert {f.subject for f in falls} == {f.subject for f in meant}
    safe = [f.status == "ok" for f in falls]
    assert safe == sorted(safe)
    for group in (True, False):
        away = [f.value or 0.0 for f, ok in zip(falls, safe, strict=True) if ok is group]
        assert away == sorted(away)


def test_nothing_in_reach_is_called_out_of_reach(report):
    for one in brief_data(report)["falls"]:
        finding = report.findings[one["finding"]]
        said = "out of its reach" in one["text"]["metric"] or "short of" in one["text"]["metric"]
        assert said == (finding.status == "ok")
        if finding.status == "ok":
            assert finding.margin > 0


def test_day_and_contact_are_those_of_the_site_file_or_said_to_be_missing(make_model, page):
    told = {"site": {"when": "a Saturday in June", "contact": "the farm office"}}
    brief = brief_data(assess(make_model(changes=told)))
    assert (brief["when"], brief["contact"]) == ("a Saturday in June", "the farm office")
    text = page.locator("#hm-panel-short").text_content()
    assert "This file does not say; ask whoever sent you this file." in text


def test_it_is_open_first_and_leads_to_windows_and_findings(page, report):
    panel = page.locator("#hm-panel-short")
    assert panel.is_visible()
    panel.locator(".hm-finding").first.click()
    shown = page.evaluate("hillmast.frame.findings.marked.subject")
    assert (
        shown.removeprefix("falling mast to ") in panel.locator(".hm-finding").first.text_content()
    )
    view = page.evaluate("hillmast.viewer.data.views.find((one) => one.eyeLevel).name")
    panel.locator(".hm-short-views button").first.click()
    assert page.evaluate("hillmast.viewer.view.name") == view
    page.evaluate("hillmast.frame.toPaper()")
    assert "Whom can I ask?" in page.locator(".hm-paper").text_content()
    assert page.locator(".hm-paper .hm-short-see").count() == 0
