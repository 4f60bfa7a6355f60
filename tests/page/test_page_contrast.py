"""Contrast of every text of the page, and size of every target on a phone.

The formulas and limits, with their sources, are in `tests/legible.js`.
"""

import pytest

SIZE = {"width": 900, "height": 620}


@pytest.fixture(scope="module")
def page(chromium, page_file):
    """Return the page without a drawing that takes time: its texts are what is looked at."""
    context = chromium.new_context(viewport=SIZE, reduced_motion="reduce", device_scale_factor=0.5)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("!!window.hillmast")
    yield page
    context.close()


@pytest.mark.parametrize("tab", ["In short", "Findings", "Show", "Tape", "Read first"])
def test_every_text_stands_out_from_its_ground(page, legible, tab):
    page.get_by_role("tab", name=tab).click()
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
    for angle in ("'standing'", "45"):
        page.evaluate(f"hillmast.raise({angle})")
        assert legible.faint(page, least=30) == []


def test_faint_text_is_found(page, legible):
    page.get_by_role("tab", name="Findings").click()
    page.evaluate("document.querySelector('.hm-title').style.color = '#a8a090'")
    page.evaluate("document.querySelector('.hm-count').style.opacity = '0.5'")
    wrong = legible.faint(page)
    page.evaluate("document.querySelector('.hm-title').style.color = ''")
    page.evaluate("document.querySelector('.hm-count').style.opacity = ''")
    assert {one["of"] for one in wrong} >= {"hm-title", "hm-count"}


@pytest.fixture(scope="module")
def phone(chromium, page_file):
    context = chromium.new_context(
        viewport={"width": 390, "height": 844},
        has_touch=True,
        is_mobile=True,
        reduced_motion="reduce",
        device_scale_factor=0.5,
    )
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("!!window.hillmast")
    yield page
    context.close()


@pytest.mark.parametrize("tab", [None, "short", "findings", "show", "tape", "read"])
def test_on_a_phone_every_text_is_legible_and_every_target_can_be_hit(phone, legible, tab):
    phone.evaluate(f"hillmast.frame.open({f'{tab!r}' if tab else 'null'})")
    phone.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
    assert legible.faint(phone, least=15) == []
    assert legible.small_targets(phone, least=7) == []
    assert phone.evaluate("document.documentElement.scrollWidth") == 390
    assert legible.fields_that_zoom(phone) == []


def test_small_targets_are_found(phone, legible):
    tabs = "document.querySelectorAll('.hm-tab').forEach((one) => { one.style.cssText = '%s' })"
    phone.evaluate(tabs % "flex: none; width: 12px; padding: 0; overflow: hidden")
    wrong = legible.small_targets(phone)
    phone.evaluate(tabs % "")
    assert {one["of"] for one in wrong} == {"hm-tab"}


def test_on_a_phone_rows_that_scroll_sideways_show_it_and_a_panel_can_be_closed(phone):
    phone.evaluate("hillmast.frame.open(null)")
    views = phone.locator(".hm-views")
    views.evaluate("(row) => { row.scrollLeft = 0 }")
    more = "document.querySelector('.hm-views').dataset.more"
    for left, shown in [(0, "right"), (60, "left right"), (9999, "left")]:
        views.evaluate(f"(row) => {{ row.scrollLeft = {left} }}")
        for _ in range(100):
            if phone.evaluate(more) == shown:
                break
            phone.wait_for_timeout(20)
        assert phone.evaluate(more) == shown
        assert "gradient" in views.evaluate("(row) => getComputedStyle(row).maskImage")
    phone.get_by_role("tab", name="Findings").tap()
    assert not phone.locator(".hm-raise").is_visible()
    phone.get_by_role("button", name="Close", exact=True).tap()
    assert phone.locator(".hm-raise").is_visible()
