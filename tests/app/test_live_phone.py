"""The live view on a phone, by fingers; and with a server or another tab that is in the way."""

import pytest

PHONE = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 0.5,
    "reduced_motion": "reduce",
}
NO_PICTURES = "window.hillmast.live.frame.viewer.stage.renderer.render = () => {}"
NEWS = "document.querySelector('.hm-live-news').textContent"


@pytest.fixture
def phone(open_view):
    view = open_view(**PHONE)
    view(NO_PICTURES)
    yield view
    assert view.wrong == []


def slide(view, handle, *ways):
    """Put a finger on a handle, a little beside its middle, and move it by pixels."""
    knob = view.page.locator(f'[data-handle="{handle}"]')
    knob.wait_for(state="visible")
    box = knob.bounding_box()
    x, y = box["x"] + box["width"] / 2 + 6, box["y"] + box["height"] / 2 - 5
    wire = view.page.context.new_cdp_session(view.page)
    places = [(x, y), *((x + right, y + down) for right, down in ways)]
    for kind, (u, v) in zip(["touchStart"] + ["touchMove"] * len(ways), places, strict=True):
        wire.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": [{"x": u, "y": v, "id": 0}]},
        )
    wire.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    view.until("!document.querySelector('.hm-live-dragging')")


def place_of(view, side):
    return view(
        f"window.hillmast.live.frame.viewer.data.live.anchors.find((a) => a.side === '{side}').at"
    )


def test_a_finger_drags_a_handle_and_a_tap_moves_nothing(phone):
    phone("window.hillmast.live.frame.open(null)")
    phone("window.hillmast.live.frame.viewer.showView('plan')")
    phone("window.hillmast.live.frame.viewer.stage.draw()")
    version, before = phone("window.hillmast.session.version"), place_of(phone, "left")
    slide(phone, "anchor left", (4, -3))
    assert phone("window.hillmast.session.version") == version, "no finger holds quite still"

    slide(phone, "anchor left", (20, 0), (40, 0))
    phone.until(f"window.hillmast.session.version > {version}")
    phone.quiet()
    drawn = "window.hillmast.live.frame.viewer.data.live.version"
    phone.until(f"{drawn} === window.hillmast.session.version")  # the picture follows the answer
    after = place_of(phone, "left")
    per_pixel = phone(
        "(({ stage }) => stage.eye.perPixel(stage.height))(window.hillmast.live.frame.viewer)"
    )
    # what is held stays as far from the finger as where it was taken; angles are kept to 0.1°
    assert after[0] - before[0] == pytest.approx(40 * per_pixel, rel=0.05)
    assert after[1] - before[1] == pytest.approx(0.0, abs=2 * per_pixel)


def test_the_banner_leaves_the_mast_to_be_seen(phone):
    view = "window.hillmast.live.frame.viewer"
    for name in ("overview", "plan", "raising", "front"):
        phone(f"{view}.showView('{name}', 0)")
        phone(f"{view}.stage.start(); {view}.stage.draw()")
        top, high = phone(
            f"(() => {{ const v = {view};"
            "const box = (one) => document.querySelector(one).getBoundingClientRect();"
            "const high = box('.hm-live-top').bottom - box('.hm-scene').top;"
            "return [v.pixel(v.place('mast top')).y, high]; })()"
        )
        assert top > high, name


def test_everything_can_be_read_and_hit(phone, legible):
    for tab in (None, "change", "fields", "make", "findings", "show", "tape", "read"):
        phone(f"window.hillmast.live.frame.open({f'{tab!r}' if tab else 'null'})")
        phone("document.querySelectorAll('details').forEach((one) => { one.open = true })")
        assert legible.faint(phone.page, least=15) == []
        assert legible.small_targets(phone.page, least=7) == []
        assert legible.fields_that_zoom(phone.page) == []
        assert phone("document.documentElement.scrollWidth") == 390
    phone("window.hillmast.live.frame.open('change')")
    phone("window.hillmast.live.frame.root.dataset.old = 'change find findings'")
    for tab in ("find", "findings", None):
        phone(f"window.hillmast.live.frame.open({f'{tab!r}' if tab else 'null'})")
        assert legible.faint(phone.page, least=5) == [], "what is old can still be read"
    phone("window.hillmast.live.frame.open('change')")
    for state in ("hm-live-old", "hm-live-partly"):
        phone(f"document.querySelector('.hm-live-change').classList.add('{state}')")
        assert legible.faint(phone.page, least=15) == [], "numbers of the state before"
        phone(f"document.querySelector('.hm-live-change').classList.remove('{state}')")
    phone("document.querySelector('[data-act=save_as]').click()")
    assert legible.faint(phone.page) == []
    assert legible.fields_that_zoom(phone.page) == []


def test_the_bar_is_one_row_that_shows_that_it_scrolls(phone):
    bar = phone.page.locator(".hm-live-bar")
    assert bar.bounding_box()["height"] < 50
    assert bar.get_attribute("data-more") == "right"
    phone.page.get_by_role("button", name="Contour").tap()
    assert phone("window.hillmast.live.handles.keeps") is True
    phone.until("document.querySelector('.hm-live-bar').dataset.more.includes('left')")
    assert phone.page.locator(".hm-live-said").is_visible()


def test_an_edit_of_an_old_state_is_taken_back_in_its_field(open_view):
    view = open_view()
    view(NO_PICTURES)
    view.page.click("#hm-tab-fields")
    view("document.querySelectorAll('details').forEach((one) => { one.open = true })")
    grip = view.page.locator('[data-key="tow.grip"]')
    session = view.running.desk.session(view.running.desk.first)
    # news does not come through, as on a tab in the background
    view("window.hillmast.session.close()")
    session.edit({"mast.front": "100"}, version=session.version)
    before = grip.input_value()
    grip.fill("0.31")
    grip.press("Enter")
    view.until(f"{NEWS}.includes('another tab')")
    view.until(f"document.querySelector('[data-key=\"tow.grip\"]').value === '{before}'")
    assert "0.31" not in session.text
    assert [one for one in view.wrong if "409" not in one] == []


def test_a_program_that_is_gone_is_said_and_an_edit_does_not_look_taken(open_view):
    view = open_view()
    view(NO_PICTURES)
    view.page.click("#hm-tab-fields")
    grip = view.page.locator('[data-key="mast.hinge_height"]')
    before = grip.input_value()
    view.running.stop()
    view.until(f"{NEWS}.includes('trying again')")
    grip.fill("0.31 m")
    grip.press("Enter")
    view.until(f"document.querySelector('[data-key=\"mast.hinge_height\"]').value === '{before}'")
    assert view("window.hillmast.session.sending") is False
    assert all("Failed to load" in one for one in view.wrong), "no fault of the page itself"
