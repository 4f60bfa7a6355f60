"""A small site with everything around it, named as nobody would; and its page."""

from pathlib import Path

import pytest
from shapely.geometry import LineString, Point, Polygon

from visual.checks import assess
from visual.page.bundle import BUILT, read_bundle
from visual.page.data import PageMaker
from visual.page.page import page_text
from visual.site import Feature

HOSTILE = "</script><img src=x onerror=alert(1)>\"'&<b>\u2028{0}%s"

FEATURES = (
    Feature("building", f"barn {HOSTILE}", Polygon([(12, 6), (20, 6), (20, 14), (12, 14)]), 1, 5.0),
    Feature("tree", "oak", Point(-14.0, 10.0), 2, 9.0, 3.0),
    Feature(
        "overhead_line",
        "11 kV line",
        LineString([(-40.0, -17.0), (40.0, -17.0)]),
        3,
        voltage_kv=11.0,
        conductor_heights=(8.0, 8.0),
        sag=0.6,
    ),
    Feature("viewpoint", f"window {HOSTILE}", Point(-30.0, 25.0), 4),
    Feature("boundary", "field", Polygon([(-45, -40), (45, -40), (45, 40), (-45, 40)]), 5),
    Feature("road", "lane", LineString([(-45.0, 30.0), (45.0, 30.0)]), 6),
)

MAST = {
    "site": {"name": f"Test ground {HOSTILE}"},
    "mast": {
        "head": {
            "mass": 60.0,
            "centre_above_top": 0.3,
            "rotor_diameter": 3.0,
            "rotor_above_top": 0.3,
        }
    },
    "limits": {"setback": [{"to": "boundary", "from": "base", "times": 1.1, "of": "total_height"}]},
}


def slope(x, y):
    return 100.0 + 0.08 * x + 0.03 * y


@pytest.fixture(scope="session")
def report(make_model):
    """Return the judged small site."""
    return assess(make_model(slope, MAST, features=FEATURES))


@pytest.fixture(scope="session")
def page_maker(report):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("visual.scene.site_ground._CELLS", 80)
        patch.setattr("visual.scene.ground._TEXTURE", 200)
        maker = PageMaker(report)
        assert maker.maker.fixed
        yield maker


@pytest.fixture(scope="session")
def data(page_maker):
    return page_maker.data()


def build_viewer() -> None:
    """Build the viewer if it is out of date; where it cannot be built, the built one is tested."""
    try:
        from visual.page.hatch_build import build

        build()
    except (ImportError, SystemExit) as error:
        if not (BUILT / "viewer.js").exists():
            pytest.skip(f"no viewer is built, and none can be: {error}")


@pytest.fixture(scope="session")
def page_file(data, tmp_path_factory) -> Path:
    """Return the page of the small site; the viewer is built if it is not there."""
    build_viewer()
    path = tmp_path_factory.mktemp("page") / "small.html"
    path.write_text(page_text(data, read_bundle()), encoding="utf-8")
    return path
