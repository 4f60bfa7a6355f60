"""Fingers on the page: touches as a phone sends them, one and two at a time."""

import math

import numpy as np
import pytest

PHONE = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 0.5,
    "reduced_motion": "reduce",
}


class Fingers:
    """Fingers on the glass; places are in pixels of the page."""

    def __init__(self, page):
        self.page = page
        self.wire = page.context.new_cdp_session(page)

    def down(self, *places):
        self._send("touchStart", places)

    def move(self, *places):
        self._send("touchMove", places)

    def up(self, number=None):
        """Lift one finger, or all."""
        at = [] if number is None else [{"x": 0, "y": 0, "id": number}]
        self.wire.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": at})

    def slide(self, *ways, steps=6):
        """Put fingers down, move each from one place to another, and leave them there."""
        self.down(*(start for start, _ in ways))
        for step in range(1, steps + 1):
            self.move(
                *(
                    (x + (u - x) * step / steps, y + (v - y) * step / steps)
                    for (x, y), (u, v) in ways
                )
            )

    def _send(self, kind, places):
        points = [{"x": x, "y": y, "id": k} for k, (x, y) in enumerate(places)]
        self.wire.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


@pytest.fixture(scope="module")
def phone(chromium, page_file):
    context = chromium.new_context(**PHONE)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.wait_for_function("!!window.hillmast")
    # what a finger does is in the numbers; a picture of each move would take its time
    page.evaluate("hillmast.viewer.stage.renderer.render = () => {}")
    yield page
    context.close()


@pytest.fixture
def page(phone):
    phone.evaluate(
        "hillmast.viewer.setAngle('standing'); hillmast.viewer.showView('overview');"
        "hillmast.viewer.stage.draw()"
    )
    return phone


@pytest.fixture
def fingers(page):
    return Fingers(page)


def stand(page):
    return page.evaluate(
        "(({ target, bearing, height, distance, fieldOfView }) =>"
        "({ target: target.toArray(), bearing, height, distance, fieldOfView }))"
        "(hillmast.viewer.stage.eye.stand)"
    )


def middle(page, right=0.0, down=0.0):
    """Return a pixel of the page, some way from the middle of the drawing."""
    box = page.locator(".hm-canvas").bounding_box()
    return box["x"] + box["width"] / 2 + right, box["y"] + box["height"] / 2 + down


def ground_at(page, place):
    x, y = place
    return page.evaluate(
        "([clientX, clientY]) => { const v = hillmast.viewer; v.stage.draw();"
        "return v.hands.groundAt(v.hands.at({ clientX, clientY })).toArray() }",
        [x, y],
    )


def pixel(page, point):
    box = page.locator(".hm-canvas").bounding_box()
    x, y = page.evaluate(
        "(at) => { const v = hillmast.viewer; v.stage.draw();"
        "return v.pixel(v.place('mast top').clone().fromArray(at)).toArray() }",
        point,
    )
    return box["x"] + x, box["y"] + y


def test_one_finger_turns_and_leaves_the_target_where_it_is(page, fingers):
    before = stand(page)
    x, y = middle(page)
    fingers.slide(((x, y), (x + 90, y)))
    fingers.up()
    after = stand(page)
    turned = math.remainder(after["bearing"] - before["bearing"], math.tau)
    assert turned == pytest.approx(90 * 0.006, abs=0.1)
    assert after["target"] == before["target"]
    assert after["distance"] == before["distance"]


@pytest.mark.parametrize("view", ["overview", "plan"])
def test_a_pinch_comes_nearer_to_what_is_between_the_fingers(page, fingers, view):
    page.evaluate(f"hillmast.viewer.showView('{view}')")
    x, y = centre = middle(page, -70, 60)
    between = ground_at(page, centre)
    before = stand(page)
    fingers.slide(((x - 40, y), (x - 80, y)), ((x + 40, y), (x + 80, y)))
    fingers.up()
    assert stand(page)["distance"] == pytest.approx(before["distance"] / 2, rel=1e-6)
    turned = math.remainder(stand(page)["bearing"] - before["bearing"], math.tau)
    assert turned == pytest.approx(0, abs=1e-9)
    np.testing.assert_allclose(pixel(page, between), centre, atol=0.5)


def test_two_fingers_take_the_ground_along(page, fingers):
    x, y = centre = middle(page, 30, 50)
    between = ground_at(page, centre)
    before = stand(page)
    fingers.slide(((x - 40, y), (x + 20, y - 35)), ((x + 40, y), (x + 100, y - 35)))
    fingers.up()
    assert stand(page)["distance"] == pytest.approx(before["distance"], rel=0.01)
    np.testing.assert_allclose(pixel(page, between), (x + 60, y - 35), atol=0.5)


def test_the_finger_left_of_two_does_not_turn_the_scene(page, fingers):
    x, y = middle(page)
    fingers.slide(((x - 40, y), (x - 60, y)), ((x + 40, y), (x + 60, y)))
    fingers.up(1)
    page.wait_for_timeout(50)  # moves come with the next picture
    before = stand(page)
    fingers.move((x - 66, y + 4))  # as fingers do when they are lifted one after the other
    page.wait_for_timeout(50)
    assert stand(page) == before
    fingers.move((x - 90, y + 4))
    page.wait_for_timeout(50)
    assert stand(page)["bearing"] != before["bearing"], "it turns once it means it"
    fingers.up()
    assert page.locator(".hm-tip").is_hidden(), "two fingers are no tap"


def test_a_person_at_a_window_turns_the_head_and_stays_there(page, fingers):
    view = page.evaluate("hillmast.viewer.data.views.find((one) => one.eyeLevel).name")
    page.evaluate(f"hillmast.viewer.showView('{view}')")
    eye = "hillmast.viewer.stage.eye.position.toArray()"
    place, before = page.evaluate(eye), stand(page)
    x, y = middle(page)
    fingers.slide(((x - 40, y), (x + 10, y)), ((x + 40, y), (x + 90, y)))
    fingers.up()
    np.testing.assert_allclose(page.evaluate(eye), place, atol=1e-9)
    turned = math.remainder(before["bearing"] - stand(page)["bearing"], math.tau)
    height = page.locator(".hm-canvas").bounding_box()["height"]
    assert turned == pytest.approx(50 * before["fieldOfView"] / height, rel=0.3)
    assert page.evaluate("hillmast.viewer.view.name") == view
    page.locator(".hm-canvas").focus()
    page.keyboard.press("Shift+ArrowLeft")
    np.testing.assert_allclose(page.evaluate(eye), place, atol=1e-9)


def test_a_finger_beside_a_wire_means_it(page, fingers):
    a, b = page.evaluate(
        "(() => { const v = hillmast.viewer; const line = v.things.lines().find("
        "(one) => one.userData.name === 'wire back'); const g = line.geometry;"
        "const k = Math.floor(g.getAttribute('instanceStart').count * 0.6);"
        "return ['instanceStart', 'instanceEnd'].map((one) => v.pixel(v.place('mast top').clone()"
        ".fromBufferAttribute(g.getAttribute(one), k)).toArray()) })()"
    )
    box = page.locator(".hm-canvas").bounding_box()
    length = math.dist(a, b)
    across = ((b[1] - a[1]) / length, (a[0] - b[0]) / length)
    x, y = (box[k] + p + 14 * c for k, p, c in zip(("x", "y"), a, across, strict=True))
    fingers.down((x, y))
    fingers.move((x + 6, y + 2))  # no finger holds quite still
    fingers.up()
    assert "Wire back" in page.locator(".hm-tip").text_content()


def test_a_finger_slides_along_the_raise(page, fingers):
    page.evaluate("hillmast.frame.open(null)")  # the answers are open first, over the raise
    box = page.locator(".hm-track").bounding_box()
    y = box["y"] + 50
    fingers.slide(((box["x"] + 100, y), (box["x"] + box["width"] - 14, y)))
    fingers.up()
    assert page.evaluate("hillmast.viewer.angle") == pytest.approx(90, abs=0.6)
