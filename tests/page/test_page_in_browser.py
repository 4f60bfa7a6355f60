"""The page in a real browser: Chromium of the system, drawing in software."""

import json
import math

import numpy as np
import pytest

from visual.raising import pose_at
from visual.units import format_force, format_length

SIZE = {"width": 900, "height": 620}


PLAIN = {"viewport": SIZE, "reduced_motion": "reduce", "device_scale_factor": 0.5}
"""Few pixels: software draws them all."""


class Opened:
    """A page that is open, with everything it asked for and complained about."""

    def __init__(self, browser, path, **options):
        self.asked: list[str] = []
        self.complaints: list[str] = []
        context = browser.new_context(**(PLAIN | options))
        self.page = context.new_page()
        self.page.set_default_timeout(20_000)
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("console", self._heard)
        self.page.on("dialog", lambda dialog: self.complaints.append(dialog.message))
        self.page.goto(path.as_uri(), wait_until="load")
        for _ in range(400):
            if self("!!window.hillmast"):
                break
            self.page.wait_for_timeout(50)

    def _heard(self, message):
        if message.type == "error":
            self.complaints.append(message.text)

    def __call__(self, script):
        return self.page.evaluate(script)

    def angle(self):
        return self("hillmast.viewer.angle")

    def pixel(self, name):
        """Return where a named point is on the screen."""
        box = self.page.locator(".hm-canvas").bounding_box()
        x, y = self(f"hillmast.viewer.pixel(hillmast.viewer.place('{name}')).toArray()")
        return box["x"] + x, box["y"] + y

    def close(self):
        self.page.context.close()


@pytest.fixture(scope="module")
def opened(chromium, page_file):
    page = Opened(chromium, page_file)
    yield page
    page.close()


@pytest.fixture
def page(opened):
    """Return the open page as it was when it opened."""
    opened(
        "hillmast.viewer.chooseAngle('standing'), hillmast.viewer.setUnits('metric'),"
        "hillmast.frame.findings.clear(), hillmast.frame.tape.clear(),"
        "hillmast.frame.open('findings'), hillmast.viewer.showView('overview')"
    )
    return opened


def test_it_opens_from_disk_and_asks_for_nothing_else(page, page_file):
    outside = [url for url in page.asked if not url.startswith("data:")]
    assert outside == [page_file.as_uri()]
    assert page.complaints == []


def test_hostile_names_are_texts_and_nothing_more(page, data):
    name = data["site"]["name"]
    assert page.page.title().startswith("Test ground </script><img src=x onerror=alert(1)>")
    assert page.page.locator("h1").first.text_content() == name
    assert page("document.querySelectorAll('img').length") == 0
    assert page("document.scripts.length") == 2
    assert page.complaints == []


def test_the_mast_goes_where_it_was_computed(page, report):
    for degrees in (20.0, 47.5, 90.0):
        page(f"hillmast.raise({degrees})")
        pose = pose_at(report.model, math.radians(degrees))
        np.testing.assert_allclose(page("hillmast.position('mast top')"), pose.top, atol=1e-4)
        np.testing.assert_allclose(page("hillmast.position('gin-pole tip')"), pose.tip, atol=1e-4)
        # the drawn mast, not only the table
        drawn = page(
            "(() => { const v = hillmast.viewer; v.rig.mast.root.updateMatrixWorld(true);"
            "const up = v.place('mast top').clone().set(0, 0, v.place('mast top').length());"
            "return up.applyMatrix4(v.rig.mast.root.matrixWorld).toArray() })()"
        )
        np.testing.assert_allclose(drawn, pose.top, atol=1e-4)


def test_the_slider_goes_by_pointer_and_by_keys(page, report):
    track = page.page.locator(".hm-track")
    box = track.bounding_box()
    page.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + 60)
    lowest = min(math.degrees(run.angles[0]) for run in report.forces.runs)
    middle = (90 + lowest) / 2
    assert page.angle() == pytest.approx(middle, abs=1.0)
    track.focus()
    before = page.angle()
    page.page.keyboard.press("ArrowRight")
    assert page.angle() == pytest.approx(round(2 * (before + 0.5)) / 2)
    page.page.keyboard.press("End")
    assert page.angle() == 90
    page.page.keyboard.press("Home")
    assert page.angle() == pytest.approx(lowest)
    assert "raising angle" in track.get_attribute("aria-valuetext")
    run = min(report.forces.runs, key=lambda one: one.angles[0])
    assert page("hillmast.viewer.rig.data.headFrom") >= lowest
    pull = float(run.hauling[0])
    assert format_force(pull, "metric") in page.page.locator(".hm-numbers").text_content()


def test_standing_and_raising_are_two_states(page):
    standing = page.page.locator(".hm-standing")
    assert standing.text_content() == "Lay it down"
    standing.click()
    assert standing.text_content() == "Stand it up"
    assert page.angle() == page("hillmast.viewer.rig.first")
    assert page("hillmast.viewer.rig.lifting.root.visible") is True
    standing.click()
    assert page.angle() == "standing"
    assert page("hillmast.viewer.rig.lifting.root.visible") is False


def test_groups_are_shown_and_hidden(page):
    page.page.get_by_role("tab", name="Show").click()
    page.page.get_by_label("Fall zone", exact=True).uncheck()
    shown = "hillmast.viewer.things.own.branch('zones').visible"
    assert page(shown) is False
    page.page.get_by_label("Fall zone", exact=True).check()
    assert page(shown) is True


def test_a_finding_takes_the_eye_and_the_mast_to_its_place(page, report):
    finding = next(f for f in report.findings if f.where is not None and f.angle is not None)
    key = f"{finding.check}/{finding.subject}"
    page("document.querySelectorAll('details').forEach((one) => { one.open = true })")
    buttons = page.page.locator(".hm-finding")
    names = page("[...document.querySelectorAll('.hm-finding')].map((b) => b.dataset.subject)")
    number = names.index(key)
    buttons.nth(number).click()
    assert page.angle() == pytest.approx(finding.angle)
    page("hillmast.viewer.stage.draw()")
    where = [float(value) for value in finding.where]
    *pixel, width, height, top, bottom = page(
        f"(() => {{ const v = hillmast.viewer;"
        f"const at = v.place('mast top').clone().set(...{where});"
        "const { top, bottom } = v.covered();"
        "return [...v.pixel(at).toArray(), v.stage.width, v.stage.height, top, bottom] })()"
    )
    middle = [width / 2, (top + height - bottom) / 2]
    np.testing.assert_allclose(pixel, middle, atol=3.0, err_msg="in the middle of what is free")
    assert buttons.nth(number).get_attribute("aria-pressed") == "true"


def test_what_is_picked_and_the_mast_are_both_in_the_picture_with_their_distance(page, data):
    page("hillmast.viewer.showView('plan')")
    for near in data["nearby"]:
        assert page(f"hillmast.frame.apart.show({json.dumps(near['key'])}, 0)")
        shares = page(
            "(() => { const v = hillmast.viewer, at = v.place('mast top').clone(); v.stage.draw();"
            f"return [[0, 0, 0], v.place('mast top').toArray(), ...{near['ends']}].map((one) => {{"
            "const p = v.pixel(at.set(...one)); return [p.x / v.stage.width, p.y / v.stage.height];"
            "}) })()"
        )
        assert np.all((np.array(shares) > 0) & (np.array(shares) < 1)), near["key"]


def test_a_person_is_told_what_hides_the_mast(page, data):
    """The barn stands north-east of the mast: from behind it the eye sees nothing of it."""
    hidden = "(() => {{ const v = hillmast.viewer; const eye = v.place('mast top').clone();"
    hidden += "eye.set({0}); const s = hillmast.seen(eye); return [s.hidden, s.by] }})()"
    share, by = page(hidden.format("21, 11, 1"))
    assert share > 0.5
    assert by.startswith("barn")
    assert page(hidden.format("-20, -10, 3"))[0] == 0


def test_the_findings_are_a_table_too(page, report):
    rows = page.page.locator(".hm-findings > .hm-as-table tbody tr")
    assert rows.count() == len(report.findings)
    assert report.findings[0].status in rows.first.text_content()


def test_the_tape_measures_between_two_points(page, data):
    page.page.get_by_role("tab", name="Tape").click()
    ends = page.page.locator(".hm-tape select")
    ends.nth(0).select_option("base plate")
    ends.nth(1).select_option("left anchor")
    found = page("hillmast.frame.tape.measured()")
    way = np.subtract(data["points"]["left anchor"], data["points"]["base plate"])
    assert found["space"] == pytest.approx(np.linalg.norm(way))
    assert found["level"] == pytest.approx(math.hypot(way[0], way[1]))
    assert found["height"] == pytest.approx(way[2])
    assert format_length(found["space"], "metric") in page.page.locator(".hm-result").text_content()


def test_the_tape_picks_points_in_the_scene(page):
    page("hillmast.viewer.setAngle(60)")
    page.page.get_by_role("tab", name="Tape").click()
    page.page.get_by_role("button", name="Pick two points").click()
    for name in ("mast top", "gin-pole tip"):
        page.page.mouse.click(*page.pixel(name))
    a, b = (np.array(page(f"hillmast.position('{n}')")) for n in ("mast top", "gin-pole tip"))
    assert page("hillmast.frame.tape.measured().space") == pytest.approx(np.linalg.norm(a - b))


def test_units_change_everywhere(page, report):
    page.page.locator(".hm-head input[value=imperial]").check()
    page("hillmast.viewer.chooseAngle(30)")
    assert "lbf" in page.page.locator(".hm-numbers").text_content()
    finding = next(f for f in report.findings if f.unit == "m" and f.value is not None)
    text = format_length(finding.value, "imperial")
    assert text in page.page.locator(".hm-findings").first.text_content()


def test_pointing_at_a_wire_tells_its_name_and_numbers(page, report):
    middle = page(
        "(() => { const v = hillmast.viewer; const line = v.things.lines().find("
        "(one) => one.userData.name === 'wire back'); const g = line.geometry;"
        "const k = Math.floor(g.getAttribute('instanceStart').count / 2);"
        "const at = v.place('mast top').clone().fromBufferAttribute("
        "g.getAttribute('instanceStart'), k); return v.pixel(at).toArray() })()"
    )
    box = page.page.locator(".hm-canvas").bounding_box()
    page.page.mouse.click(box["x"] + middle[0], box["y"] + middle[1])
    tip = page.page.locator(".hm-tip")
    assert tip.is_visible()
    assert "Wire back" in tip.text_content()
    assert "cut length" in tip.text_content()


def test_the_scene_turns_by_keys_and_its_focus_shows(page):
    canvas = page.page.locator(".hm-canvas")
    canvas.focus()
    before = page("hillmast.viewer.stage.eye.stand.bearing")
    page.page.keyboard.press("ArrowLeft")
    assert page("hillmast.viewer.stage.eye.stand.bearing") != before
    page.page.keyboard.press("Shift+ArrowRight")
    page.page.keyboard.press("+")
    assert page("getComputedStyle(document.activeElement).outlineStyle") == "solid"


def test_a_viewpoint_is_seen_at_eye_height_with_its_own_field_of_view(page, data):
    view = next(one for one in data["views"] if one["eyeLevel"])
    page(f"hillmast.viewer.showView('{view['name']}')")
    page("hillmast.viewer.stage.draw()")
    eye = page("hillmast.viewer.stage.eye.camera.position.toArray()")
    np.testing.assert_allclose(eye, view["eye"], atol=1e-6)
    assert page("hillmast.viewer.stage.eye.camera.isPerspectiveCamera")


def test_the_plan_is_orthographic_with_north_up(page):
    page("hillmast.viewer.showView('plan'), hillmast.viewer.stage.draw()")
    assert page("hillmast.viewer.stage.eye.camera.isOrthographicCamera")
    south, north = page(
        "(() => { const v = hillmast.viewer, p = v.place('mast top').clone();"
        "const at = (y) => v.pixel(p.set(0, y, 0)).toArray(); return [at(0), at(10)] })()"
    )
    assert north[0] == pytest.approx(south[0], abs=0.1)
    assert north[1] < south[1] - 20


def test_other_data_can_be_shown_without_opening_anew(page):
    page(
        "(() => { const v = hillmast.viewer; const next = structuredClone(v.data);"
        "next.site.name = 'Another'; v.show('zones', false); v.setData(next) })()"
    )
    assert page.page.locator("h1").first.text_content() == "Another"
    assert page("hillmast.viewer.things.own.branch('zones').visible") is False
    assert page("hillmast.viewer.hidden.has('zones')")
    page("hillmast.viewer.show('zones', true)")


def test_what_stands_around_is_drawn_anew_only_if_it_is_another(page):
    same, hidden, rig, hung, looks, other = page(
        "(() => { const v = hillmast.viewer; const { things } = v; const { around, rig } = things;"
        "v.show('buildings', false); let gone = 0;"
        "for (const one of v.looks.faces.values()) one.addEventListener('dispose', () => gone++);"
        "const roles = structuredClone(v.data.roles);"
        "v.setData({ ...v.data, roles, rig: structuredClone(v.data.rig) });"
        "const same = [things.around === around, things.around.branch('buildings').visible,"
        "  v.rig !== rig && rig.root.parent === null, around.root.parent === v.stage.scene, gone];"
        "const tree = { ...roles.tree, color: '#123456' };"
        "v.setData({ ...v.data, roles: { ...roles, tree } });"
        "const other = things.around !== around && around.root.parent === null && gone > 0"
        "  && !things.around.branch('buildings').visible;"
        "v.setData({ ...v.data, roles }); v.show('buildings', true); v.stage.draw();"
        "return [...same, other] })()"
    )
    assert same, "only the rig was another"
    assert not hidden, "what is switched off stays off"
    assert rig, "the old rig is gone"
    assert hung
    assert looks == 0, "looks of what stays are not thrown away"
    assert other, "other colours are drawn anew"
    assert page.complaints == []


def test_paper_has_the_scene_the_findings_and_the_cautions(page, report):
    page("hillmast.frame.toPaper()")
    paper = page.page.locator(".hm-paper")
    assert page("document.querySelector('.hm-paper img').src.startsWith('data:image/png')")
    assert "Keep everybody out of the fall zone" in paper.text_content()
    assert paper.locator(".hm-all-findings tbody tr").count() == len(report.findings)
    page("document.querySelector('.hm-paper').replaceChildren()")


def test_on_a_phone_everything_is_within_reach(chromium, page_file):
    phone = Opened(
        chromium, page_file, viewport={"width": 390, "height": 780}, has_touch=True, is_mobile=True
    )
    try:
        assert phone("document.documentElement.scrollWidth") == 390
        phone.page.get_by_role("tab", name="Findings").tap()
        scene = phone.page.locator(".hm-scene").bounding_box()
        assert scene["height"] > 200
        panel = phone.page.locator("#hm-panel-findings")
        assert panel.is_visible()
        phone.page.get_by_role("tab", name="Findings").tap()
        assert not panel.is_visible()
        for tab in phone.page.get_by_role("tab").all():
            assert tab.bounding_box()["height"] >= 40
        assert phone.complaints == []
    finally:
        phone.close()


def test_without_a_drawing_the_findings_can_still_be_read(chromium, page_file, report):
    context = chromium.new_context(viewport=SIZE)
    try:
        page = context.new_page()
        page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
        page.goto(page_file.as_uri())
        page.locator(".hm-failed").wait_for()
        assert page.locator("tbody tr").count() == len(report.findings)
        assert "Keep everybody out" in page.locator(".hm-words").text_content()
    finally:
        context.close()
