"""Inputs and methods: every value, every limit, and sources that stand in the documents."""

import math
from pathlib import Path

import pytest

from visual.checks import assess
from visual.sheets.methods import METHODS
from visual.sheets.methods_rows import input_rows, limit_rows, place_rows, shown
from visual.site import parse_site
from visual.site.inputs import input_values
from visual.site.limits import LIMIT_MEANINGS

DOCS = Path(__file__).resolve().parents[2] / "docs"

STANDINGS = ("read", "from memory", "common practice, no source", "form read", "pages from memory")


@pytest.fixture(scope="module")
def report(make_model):
    return assess(make_model(changes={"tow": {"grip": 0.3}, "limits": {"trestle": "0.6 m"}}))


def test_every_source_stands_in_the_documents_with_its_standing():
    text = " ".join(
        " ".join((DOCS / name).read_text(encoding="utf-8").split())
        for name in ("numbers.md", "forces.md")
    )
    for method in METHODS:
        assert method.source in text, method.what
        assert method.source == "" or method.standing.startswith(STANDINGS), method.what


def test_stated_values_and_defaults_are_told_apart(report):
    rows = {row.key: row for row in input_rows(report, units="metric")}
    assert rows["tow.grip"].is_stated
    assert rows["tow.grip"].value == "0.3"
    assert not rows["tow.rolling"].is_stated
    assert "Marks' Standard Handbook" in rows["tow.rolling"].origin
    assert rows["tubes: modulus"].value == "210 GPa"


def test_steel_is_not_told_where_every_tube_states_its_own(make_model):
    own = {"modulus": "70 GPa", "yield": "160 MPa", "density": "2700 kg/m³"}
    tube = {"length": 6.0, "outer_diameter": 0.1143, "wall": 0.0045, "count": 2, **own}
    model = make_model(changes={"mast": {"section": [tube]}, "gin_pole": own})
    keys = [row.key for row in input_rows(assess(model), units="metric")]
    assert not [key for key in keys if key.startswith("tubes")]
    assert "mast.section.yield" in keys


def test_no_stated_key_is_left_out():
    tables = {
        "site": {"name": "x", "crs": "local"},
        "ground": {"survey": "points.csv"},
        "wire": {"guy": {"diameter": 0.006}},
    }
    rest = {
        "format": 1,
        "mast": {
            "position": [0.0, 0.0],
            "front": 0.0,
            "hinge_height": 0.25,
            "section": [{"length": 6.0, "outer_diameter": 0.1, "wall": 0.004}],
            "collar": [{"height": 5.0, "wire": "guy"}],
        },
        "anchors": {"radius": 8.0, "left": {"turn": 5.0}},
        "gin_pole": {"length": 5.0, "outer_diameter": 0.09, "wall": 0.004},
        "tow": {"line": "guy", "line_length": 20.0, "vehicle_mass": 2000.0},
        "turnbuckle": {"travel": 0.3, "end_allowance": 0.4},
    }
    tables["wire"]["guy"] |= {"mass_per_metre": 0.15, "stiffness": 1.6e6, "breaking_load": 20e3}
    stated = {
        one.key: one for one in input_values(parse_site({**tables, **rest}, file="site.toml"))
    }
    wanted = {"wire.guy.stiffness", "anchors.left.turn", "mast.collar.wire", "mast.position"}
    assert wanted <= {key for key, one in stated.items() if one.is_stated}
    assert stated["anchors.left.turn"].value == pytest.approx(math.radians(5.0))
    assert stated["tow.line_length"].kind == "length"


def test_every_limit_is_listed_and_an_own_one_says_so(report):
    rows = {row.key: row for row in limit_rows(report, units="imperial")}
    assert {f"limits.{name}" for name in LIMIT_MEANINGS} <= rows.keys()
    assert rows["limits.trestle"].is_stated
    assert rows["limits.trestle"].value == "1 ft 11 5/8 in"
    assert "default" in rows["limits.trestle"].origin
    assert rows["limits.wire_angle"].value == "35° to 60°"


def test_small_imperial_lengths_are_not_rounded_to_sixteenths():
    assert shown(0.237 * 0.0254, "length", "imperial") == "0.237 in"
    assert shown(0.0045, "length", "metric") == "4.5 mm"
    assert shown(True, "", "metric") == "yes"


def test_a_site_without_north_says_why(report):
    facts = dict(place_rows(report, units="metric"))
    assert "local" in facts["Magnetic north"]
    assert facts["Surroundings"] == "none are known"
