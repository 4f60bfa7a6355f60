"""Arrows and closest approaches in a real browser: what is written at an angle."""

import math

import numpy as np
import pytest

from visual.page.approach_data import approaches_data
from visual.scene.forces import forces_at
from visual.units import format_force


@pytest.fixture(scope="module")
def opened(chromium, page_file):
    """Return the page of the small site, open and drawn."""
    context = chromium.new_context(
        viewport={"width": 1100, "height": 700}, reduced_motion="reduce", device_scale_factor=0.5
    )
    page = context.new_page()
    page.set_default_timeout(20_000)
    page.goto(page_file.as_uri(), wait_until="load")
    for _ in range(400):
        if page.evaluate("!!window.hillmast"):
            break
        page.wait_for_timeout(50)
    yield page
    context.close()


@pytest.fixture
def page(opened):
    opened.evaluate(
        "hillmast.viewer.setUnits('metric'), hillmast.viewer.setFirstRaise(false),"
        "hillmast.frame.findings.clear(), hillmast.viewer.chooseAngle('standing'),"
        "hillmast.viewer.showView('overview')"
    )
    return opened


def at(page, degrees):
    """Go to an angle and draw; return the texts that stand on the drawing."""
    page.evaluate(f"hillmast.viewer.chooseAngle({degrees}), hillmast.viewer.stage.draw()")
    return page.evaluate("hillmast.frame.lettering.written")


def words(report, degrees, units, *, with_head=True):
    found = forces_at(report.model, math.radians(degrees), with_head=with_head)
    return {f"{f.name}: {format_force(f.size, units)}" for f in found if f.size >= 1.0}


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_each_force_is_written_with_its_value_in_the_units_of_the_reader(page, report, units):
    page.get_by_role("button", name="Forces").click()
    page.evaluate(f"hillmast.viewer.setUnits('{units}')")
    wanted = words(report, 40.0, units)
    assert len(wanted) >= 5
    assert wanted <= set(at(page, 40))
    key = page.locator(".hm-forces")
    assert key.is_visible()
    assert page.evaluate(f"hillmast.viewer.data.forces.scale.{units}") in key.text_content()


def test_no_force_vanishes(page, report):
    page.evaluate("hillmast.viewer.showView('forces')")
    at(page, 89.5)
    said = page.locator(".hm-forces").text_content()
    for force in forces_at(report.model, math.radians(89.5)):
        assert force.key in said


def test_arrows_stay_when_the_scene_is_turned_and_go_with_another_view(page):
    page.evaluate("hillmast.viewer.showView('forces')")
    at(page, 30)
    page.locator(".hm-canvas").focus()
    page.keyboard.press("ArrowLeft")
    assert page.evaluate("hillmast.viewer.view") is None
    assert page.evaluate("hillmast.frame.forces.on") is True
    page.get_by_role("tab", name="Show").click()
    box = page.get_by_label("Forces on mast and gin pole")
    assert box.is_checked()
    page.evaluate("hillmast.viewer.showView('overview')")
    assert page.evaluate("hillmast.frame.forces.on") is False
    assert not box.is_checked()
    box.check()
    assert page.evaluate("hillmast.frame.forces.on") is True
    page.evaluate("hillmast.viewer.showView('plan')")
    assert page.evaluate("hillmast.frame.forces.on") is True
    box.uncheck()


def test_the_first_raise_can_be_shown_at_every_angle(page, report):
    page.get_by_role("button", name="Bare mast").click()
    page.evaluate("hillmast.viewer.showView('forces')")
    assert words(report, 40.0, "metric", with_head=False) <= set(at(page, 40))
    assert "without the head" in page.locator(".hm-forces").text_content()
    hauling = report.forces.bare.hauling
    pull = np.interp(math.radians(40.0), report.forces.bare.angles, hauling)
    assert format_force(float(pull), "metric") in page.locator(".hm-numbers").text_content()


def test_a_closest_approach_is_written_at_its_angle_and_only_there(page, report):
    one = next(a for a in approaches_data(report) if "loaded" in a["raises"] and not a["far"])
    written = at(page, one["angle"])
    assert one["text"]["metric"] in written
    shown = page.evaluate("hillmast.frame.approaches.shown.map((one) => one.ends)")
    assert one["ends"] in shown
    assert one["text"]["metric"] not in at(page, one["angle"] + 5.0)
    page.evaluate("hillmast.viewer.show('approach', false)")
    assert one["text"]["metric"] not in at(page, one["angle"])
    page.evaluate("hillmast.viewer.show('approach', true)")


def test_a_clearance_finding_shows_its_line_at_any_angle(page, report):
    number = page.evaluate("hillmast.viewer.data.findings.findIndex((one) => one.gap !== null)")
    gap = page.evaluate(f"hillmast.viewer.data.findings[{number}].gap")
    page.evaluate(
        f"hillmast.frame.findings.show(hillmast.viewer.data.findings[{number}]),"
        "hillmast.viewer.chooseAngle(70), hillmast.viewer.stage.draw()"
    )
    shown = page.evaluate("hillmast.frame.approaches.shown.map((one) => one.ends)")
    assert gap in shown


def test_contours_follow_the_units_of_the_reader(page, data):
    shown = (
        "(() => { const { around } = hillmast.viewer.things;"
        "const drawn = around.branch('contours').children.filter((one) => one.visible);"
        "return drawn.map((one) => one.userData.units) })()"
    )
    assert page.evaluate(shown) == ["metric"]
    page.evaluate("hillmast.viewer.setUnits('imperial')")
    assert page.evaluate(shown) == ["imperial"]
    heights = page.evaluate(
        "[...hillmast.viewer.signs()].filter((one) => one.layer.group === 'contours')"
        ".map((one) => one.layer.text)"
    )
    feet = [
        one["text"]
        for one in data["around"]["layers"]
        if one.get("units") == "imperial" and one["kind"] == "label"
    ]
    assert heights == feet
