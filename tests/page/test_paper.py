"""The page on paper, and the tables on it."""

import math

import pytest

from visual.page.tables import distances_table, rules_table, tables_data


@pytest.fixture(scope="module")
def page(chromium, page_file):
    context = chromium.new_context(viewport={"width": 900, "height": 620}, device_scale_factor=0.5)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("!!window.hillmast")
    page.evaluate("hillmast.viewer.stage.renderer.render = () => {}")
    yield page
    context.close()


def printed(page):
    page.evaluate("hillmast.frame.toPaper()")
    return page.evaluate("document.querySelector('.hm-paper').textContent")


def test_paper_is_the_same_whatever_is_open_and_the_screen_stays_as_it_was(page):
    first = printed(page)
    page.evaluate("hillmast.frame.open('findings'); hillmast.viewer.showView('front', 0)")
    page.evaluate("hillmast.raise(40); hillmast.viewer.show('zones', false)")
    state = (
        "[hillmast.viewer.view.name, hillmast.viewer.angle, [...hillmast.viewer.hidden],"
        "hillmast.viewer.stage.width, hillmast.viewer.stage.eye.stand.bearing,"
        "hillmast.viewer.stage.cut.constant, hillmast.frame.lettering.painters.length]"
    )
    before = page.evaluate(state)
    assert page.evaluate("document.querySelector('.hm-panels .hm-short').hidden")
    assert printed(page) == first
    assert page.evaluate(state) == before
    answers = "document.querySelector('.hm-paper .hm-short')"
    assert not page.evaluate(f"{answers}.hidden"), "a closed panel is on paper too"


def test_verdict_and_plan_come_first_and_then_who_to_ask(page, report):
    printed(page)
    tags = page.evaluate("[...document.querySelector('.hm-paper').children].map((e) => e.tagName)")
    kinds = page.evaluate(
        "[...document.querySelector('.hm-paper').children].map((e) => e.className)"
    )
    assert kinds.index("hm-said hm-said-stop") < kinds.index("hm-glance") < tags.index("FIGURE")
    assert "ask whoever sent you this file" in page.locator(".hm-paper .hm-glance").text_content()


def test_a_hostile_title_is_only_a_text_in_the_margin(page, report):
    printed(page)
    rules = page.evaluate(
        "document.adoptedStyleSheets.flatMap((s) => [...s.cssRules]).map((r) => r.cssText).join()"
    )
    assert "@page" in rules
    assert "counter(pages)" in rules
    count = "document.adoptedStyleSheets.reduce((n, s) => n + s.cssRules.length, 0)"
    assert page.evaluate(count) == 1, "the title opens no rule of its own"


def test_every_distance_says_what_it_needs_what_it_is_and_from_where(report):
    rows = distances_table(report)["rows"]
    meant = [one for one in report.findings if one.check in ("setback", "overhead line")]
    assert len(rows) == len(meant)
    (setback,) = report.setbacks
    (row,) = [one for one in rows if "edge of the property" in one[0]]
    assert row[1]["metric"] == f"{setback.required:.2f} m"
    assert row[2]["metric"] == f"{setback.distance:.2f} m"
    assert row[3] == "foot of the mast (base), level"
    lines = {one[3] for one in rows if "11 kV line" in one[0]}
    assert "a mast falling straight at it, through the air" in lines
    assert len(lines) == 2


def test_every_source_is_listed_once(report):
    bases = [row[0] for row in rules_table(report)["rows"]]
    assert sorted(bases) == sorted({one.basis for one in report.findings if one.basis})


def test_the_crew_gets_every_wire_and_every_anchor(report):
    tables = tables_data(report)
    model = report.model
    wires = {one.name: one for one in model.installed}
    assert [row[0].split(" (")[0] for row in tables["wires"]["rows"]] == list(wires)
    for row in tables["wires"]["rows"]:
        wire = wires[row[0].split(" (")[0]]
        assert row[3]["metric"] == f"{wire.cut_length:.2f} m"
        assert row[5]["metric"] == f"{math.degrees(wire.angle):.1f}°"
    assert len(tables["anchors"]["rows"]) == 4
    for row, anchor in zip(tables["anchors"]["rows"], model.anchors.values(), strict=True):
        assert row[1] == f"{math.degrees(anchor.bearing):.1f}°"
        assert row[4]["metric"] == f"{anchor.radius:.2f} m"


def test_plans_on_paper_look_straight_down(data):
    plans = [*data["paper"]["views"], *[one for one in data["views"] if one["name"] == "plan"]]
    assert len(plans) >= 2
    for one in plans:
        assert one["eye"][:2] == pytest.approx(one["target"][:2])
        assert one["eye"][2] > one["target"][2]


def test_paper_shows_what_it_looks_like_half_way_and_from_each_viewpoint(page, data):
    printed(page)
    captions = page.locator(".hm-sights figcaption").all_text_contents()
    windows = [view["word"] for view in data["views"] if view["eyeLevel"]]
    assert captions[0] == "Half way up, at 45°"
    assert [one.split(",")[0] for one in captions[1:]] == windows[:3]
    see = page.locator('.hm-paper [data-answer="see"]').text_content()
    assert "Pictures from these places follow." in see
    assert page.locator('.hm-paper [data-answer="see"] button').count() == 0
    shapes = page.evaluate(
        "Promise.all([...document.querySelectorAll('.hm-paper img')].map(async (one) => "
        "{ await one.decode(); return one.naturalWidth; }))"
    )
    assert min(shapes) > 1000  # sharp on paper: more than 250 dots an inch at half a page
