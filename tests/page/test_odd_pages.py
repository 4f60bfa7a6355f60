"""Pages of sites that lack something: unknown is shown as unknown, and nothing falls over."""

import json
import math

import pytest
from shapely.geometry import LineString, Point

from visual.checks import assess
from visual.page.bundle import read_bundle
from visual.page.data import PageMaker
from visual.page.page import page_text
from visual.site import Feature

UNKNOWN_SAG = Feature(
    "overhead_line", "line", LineString([(-40.0, 20.0), (40.0, 20.0)]), 1, conductor_heights=(9, 9)
)
FAR_TREE = Feature("tree", "oak", Point(90.0, 0.0), 2, height=8.0, crown_radius=3.0)
SITES = {
    "bare, with a winch": {"changes": {"tow": {"by": "winch"}}},
    "no ground at the anchors": {"spacing": 2.0, "reach": 4.0},
    "unknown line and ground": {"features": (UNKNOWN_SAG, FAR_TREE)},
}


@pytest.fixture(autouse=True)
def coarse(monkeypatch):
    monkeypatch.setattr("visual.scene.site_ground._CELLS", 40)
    monkeypatch.setattr("visual.scene.ground._TEXTURE", 100)


@pytest.fixture(scope="module")
def made():
    """Return pages of odd sites, made once."""
    return {}


def data_of(name, made, make_model):
    if name not in made:
        made[name] = PageMaker(assess(make_model(**SITES[name])), step=math.radians(5.0)).data()
    return made[name]


@pytest.mark.parametrize("name", SITES)
def test_the_data_of_an_odd_site_are_plain(name, made, make_model):
    data = data_of(name, made, make_model)
    json.dumps(data, allow_nan=False)
    assert data["views"][0]["name"] == "overview"
    assert data["rig"]["angles"][-1] == pytest.approx(90.0)


def test_what_has_no_place_has_no_track(made, make_model):
    data = data_of("no ground at the anchors", made, make_model)
    assert not [t for t in data["rig"]["tracks"] if t["group"] == "wires"]
    assert "left anchor" not in data["points"]


def test_odd_sites_open_in_a_browser(chromium, page_file, made, make_model, tmp_path):
    assert page_file.exists()  # so the viewer is built
    context = chromium.new_context(
        viewport={"width": 800, "height": 560}, reduced_motion="reduce", device_scale_factor=0.5
    )
    page = context.new_page()
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    path = tmp_path / "odd.html"
    path.write_text(
        page_text(data_of("bare, with a winch", made, make_model), read_bundle()), encoding="utf-8"
    )
    page.goto(path.as_uri())
    for _ in range(400):
        if page.evaluate("!!window.hillmast"):
            break
        page.wait_for_timeout(50)
    for name in SITES:
        data = data_of(name, made, make_model)
        page.evaluate(
            "(data) => { const v = hillmast.viewer; v.setData(data);"
            "for (const view of v.data.views) v.showView(view.name, 0);"
            "for (const a of [v.rig.first, 40, 90, 'standing']) v.chooseAngle(a);"
            "for (const f of v.data.findings) hillmast.frame.findings.show(f, 0);"
            "hillmast.frame.lettering.draw() }",
            data,
        )
        assert complaints == [], name
    context.close()
