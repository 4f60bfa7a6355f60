"""The results document and the command that writes it."""

import ast
import json
import math
import re
import subprocess
import sys
from pathlib import Path

import pytest
from shapely.geometry import LineString, box

from visual import cli
from visual.checks import assess, results_document, write_results
from visual.site import Feature

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"

# Section by section what other programs read; names of the contract, version 1.
KEYS = {
    "": "format program_version site frame anchors wires side_wires raising fall_zone clearances "
    "setbacks findings",
    "site": "name crs provisional",
    "frame": "origin convergence declination scale",
    "frame.origin": "easting northing height",
    "anchors[]": "name x y z easting northing height bearing_grid bearing_true bearing_magnetic "
    "horizontal_distance slope_distance height_difference diagonal_to_next",
    "wires[]": "name collar anchor straight_length straight_length_pm unstressed_length cut_length "
    "sag angle_at_anchor initial_tension change_over",
    "side_wires[]": "wire change_at_start tightest slackest tension_at_tightest",
    "side_wires[].tightest": "angle change",
    "side_wires[].slackest": "angle change",
    "raising": "start_angle start_limited_by balance_angle vehicle_travel hand_lift peak steps "
    "first_raise hand_walk",
    "raising.first_raise": "start_angle balance_angle peak",
    "raising.hand_walk": "tip_force pole_angle people take_over_angle",
    "raising.peak": "tow_tension lift_wire gin_compression hinge mast_stress",
    "raising.steps[]": "angle tow_tension lift_wires gin_compression hinge vehicle_travel "
    "mast_moment mast_stress hitch_tension hold_back",
    "fall_zone": "total_height circle_radius circle_area contact_area reach_by_bearing",
    "clearances[]": "part obstacle distance angle at_part at_obstacle required basis first_raise",
    "setbacks[]": "to name from distance required basis",
    "findings[]": "check subject status value limit bound unit margin angle where message basis "
    "missing quantities",
    "findings[].quantities[]": "value unit",
}

HEAD = {
    "mass": 50.0,
    "centre_above_top": 0.2,
    "centre_to_front": 0.0,
    "rotor_diameter": 2.0,
    "rotor_above_top": 0.3,
}
SETBACK = {"to": "building", "times": 1.1, "of": "total_height", "basis": "test rule"}
BARN = Feature("building", "barn", box(-30.0, -25.0, -20.0, -15.0), 1, height=5.0)
LINE = Feature(
    "overhead_line",
    "line",
    LineString([(-40.0, 30.0), (40.0, 30.0)]),
    2,
    conductor_heights=(9.0, 9.0),
    sag=0.5,
    voltage_kv=1100.0,
)


@pytest.fixture(scope="module")
def report(make_model):
    changes = {"mast": {"head": HEAD}, "limits": {"setback": [SETBACK]}}
    return assess(make_model(changes=changes, features=(BARN, LINE), spacing=20.0))


@pytest.fixture(scope="module")
def document(report):
    return results_document(report)


def at(document, path):
    """Return every object at a path such as ``side_wires[].tightest``."""
    found = [document]
    for step in filter(None, path.split(".")):
        found = [one[step.removesuffix("[]")] for one in found]
        if step.endswith("[]"):
            found = [item for many in found for item in many]
    return found


@pytest.mark.parametrize("path", KEYS)
def test_every_key_of_the_contract(document, path):
    found = at(document, path)
    assert found
    for one in found:
        assert list(one) == KEYS[path].split()


def test_json_and_back_is_the_same(document, report, tmp_path):
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    write_results(report, tmp_path / "results.json")
    text = (tmp_path / "results.json").read_text(encoding="utf-8")
    assert json.loads(text) == document
    assert [path.name for path in tmp_path.iterdir()] == ["results.json"]


def test_numbers_on_level_ground(document):
    anchors = {anchor["name"]: anchor for anchor in document["anchors"]}
    assert list(anchors) == ["front", "right", "back", "left"]
    right = anchors["right"]
    assert (right["x"], right["y"], right["z"]) == pytest.approx((8.0, 0.0, -0.15))
    assert right["bearing_grid"] == pytest.approx(90.0)
    assert right["bearing_true"] is None
    assert right["height"] == pytest.approx(100.1)
    assert right["slope_distance"] == pytest.approx(math.hypot(8.0, 0.15))
    assert right["diagonal_to_next"] == pytest.approx(8.0 * math.sqrt(2.0))
    wires = {wire["name"]: wire for wire in document["wires"]}
    assert wires["front"]["straight_length"] == pytest.approx(math.hypot(8.0, 11.15))
    over = math.hypot(8.0, 11.15) - math.hypot(5.0, 11.0)
    assert wires["front"]["change_over"] == pytest.approx(over)
    assert wires["back"]["change_over"] is None
    assert document["fall_zone"]["total_height"] == pytest.approx(13.55)
    assert document["site"]["provisional"] is True
    assert [step["angle"] for step in document["raising"]["steps"]][-1] == pytest.approx(90.0)
    (setback,) = document["setbacks"]
    assert setback["required"] == pytest.approx(1.1 * 13.55)
    assert setback["distance"] == pytest.approx(25.0)


def test_a_line_without_a_distance_is_null_and_not_checked(document):
    to_line = [c for c in document["clearances"] if c["obstacle"] == "line"]
    assert {c["required"] for c in to_line} == {None}
    statuses = {f["status"] for f in document["findings"] if "line" in f["subject"].split(" to ")}
    assert statuses == {"not checked"}


def test_unknown_is_null_never_a_number(make_model):
    far = {"anchors": {"right": {"radius": 70.0}}}
    document = results_document(assess(make_model(changes=far, spacing=20.0)))
    json.dumps(document, allow_nan=False)
    right = next(anchor for anchor in document["anchors"] if anchor["name"] == "right")
    assert right["z"] is right["height"] is right["slope_distance"] is None
    wire = next(wire for wire in document["wires"] if wire["name"] == "right")
    assert wire["cut_length"] is wire["straight_length"] is wire["angle_at_anchor"] is None
    swung = next(wire for wire in document["side_wires"] if wire["wire"] == "right")
    assert swung["tightest"]["change"] is None


def test_ground_known_hardly_beyond_the_base(make_model):
    """Nothing that needs a height is ok; the document still holds together."""
    model = make_model(features=(BARN,), reach=2.0, spacing=1.0)
    report = assess(model)
    document = results_document(report)
    json.dumps(document, allow_nan=False)
    needs = ("laydown", "off the ground", "gin tip", "wire angle", "wire goes tight", "side stay")
    for finding in report.findings:
        if finding.check in needs and "in plan" not in finding.subject:
            assert finding.status == "not checked", finding
    assert document["raising"]["start_angle"] is None


def code_of(*arguments):
    with pytest.raises(SystemExit) as exit_:
        cli.main([str(argument) for argument in arguments])
    return exit_.value.code or 0


def test_messages_are_in_the_units_of_the_site(make_model):
    changes = {
        "site": {"units": "imperial"},
        "mast": {"head": HEAD},
        "limits": {"setback": [SETBACK]},
    }
    report = assess(make_model(changes=changes, features=(BARN, LINE), spacing=20.0))
    shown = results_document(report)["findings"]
    assert [one["message"] for one in shown] == [
        one.message.in_units("imperial") for one in report.findings
    ]
    metric = r"\d (m|mm|k?N|kNm|kg|m²)\b"
    assert not [one for one in shown if re.search(metric, one["message"] + one["subject"])]


def test_exit_code_0_where_nothing_stops(capsys, tmp_path):
    results = tmp_path / "results.json"
    assert code_of("check", SAMPLES / "flat_yard", "--json", results) == 0
    out, err = capsys.readouterr()
    assert "0 stop" in out
    assert max(map(len, out.splitlines())) <= 100
    assert "\x1b" not in out
    assert str(results) in err
    assert json.loads(results.read_text(encoding="utf-8"))["format"] == 1


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_exit_code_1_where_something_stops(capsys, tmp_path, units):
    """The flat yard with a trestle so high that the mast does not come down."""
    text = (SAMPLES / "flat_yard" / "site.toml").read_text(encoding="utf-8")
    text = text.replace('units = "metric"', f'units = "{units}"')
    stops = text.replace('trestle = "0.45 m"', 'trestle = "9 m"')
    (tmp_path / "site.toml").write_text(stops, encoding="utf-8")
    survey = (SAMPLES / "flat_yard" / "survey.csv").read_bytes()
    (tmp_path / "survey.csv").write_bytes(survey)
    assert code_of("check", tmp_path) == 1
    out, _ = capsys.readouterr()
    lines = out.splitlines()
    first_row = next(i for i, line in enumerate(lines) if line.startswith("-----")) + 1
    assert lines[first_row].startswith("STOP")
    assert max(map(len, lines)) <= 100


def spoil(folder, what):
    """Return a site folder with one thing wrong."""
    text = (SAMPLES / "flat_yard" / "site.toml").read_text(encoding="utf-8")
    survey = (SAMPLES / "flat_yard" / "survey.csv").read_text(encoding="utf-8")
    site = folder / "site.toml"
    site.write_text(text, encoding="utf-8")
    (folder / "survey.csv").write_text(survey, encoding="utf-8")
    edits = {
        "bad crs": ('crs = "local"', 'crs = "EPSG:99999999"'),
        "no such survey": ('"survey.csv"', '"nowhere.csv"'),
        "unknown key": ("hinge_height", "hinge_hight"),
        "bad unit": ('"0.50 m"', '"0.50 parsecs"'),
        "not toml": ("[site]", "[site"),
        "survey is a folder": ('"survey.csv"', '"."'),
        "base off the survey": ("[1040.0, 2040.0]", "[0.0, 0.0]"),
        "dem is text": ("[mast]\n", 'dem = "survey.csv"\n[mast]\n'),
        "surroundings are text": ("[mast]\n", '[surroundings]\nfile = "survey.csv"\n[mast]\n'),
        "nan": ("front = 0.0", "front = nan"),
    }
    if what in edits:
        old, new = edits[what]
        assert old in text
        site.write_text(text.replace(old, new), encoding="utf-8")
    elif what == "bytes":
        site.write_bytes(bytes(range(256)))
    elif what == "empty":
        site.write_text("", encoding="utf-8")
    elif what == "empty survey":
        (folder / "survey.csv").write_text("", encoding="utf-8")
    elif what == "no site file":
        site.unlink()
    return folder


@pytest.mark.parametrize(
    "what",
    [
        "bad crs",
        "no such survey",
        "unknown key",
        "bad unit",
        "not toml",
        "survey is a folder",
        "base off the survey",
        "dem is text",
        "surroundings are text",
        "nan",
        "bytes",
        "empty",
        "empty survey",
        "no site file",
    ],
)
def test_exit_code_2_and_a_plain_message_for_bad_input(capsys, tmp_path, what):
    assert code_of("check", spoil(tmp_path, what)) == 2
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    assert "hillmast:" in err
    assert out == ""


@pytest.mark.parametrize("arguments", [["check"], ["check", "nowhere"], ["chek"], ["check", "--x"]])
def test_exit_code_2_for_a_wrong_command_line(capsys, tmp_path, monkeypatch, arguments):
    monkeypatch.chdir(tmp_path)
    assert code_of(*arguments) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_results_that_cannot_be_written_are_a_plain_message(capsys, tmp_path):
    assert code_of("check", SAMPLES / "flat_yard", "--json", tmp_path / "no" / "r.json") == 2
    _, err = capsys.readouterr()
    assert "Traceback" not in err
    assert "r.json" in err


@pytest.mark.parametrize(
    ("sample", "code", "triangulation"),
    [("flat_yard", 0, {"scipy", "numpy.ma"}), ("hill_paddock", 1, set())],
)
def test_check_in_a_process_of_its_own_loads_little(sample, code, triangulation):
    script = (
        "import sys\n"
        "from visual.cli import main\n"
        "try:\n"
        "    main(['check', sys.argv[1]])\n"
        "finally:\n"
        "    drawing = {'pyvista', 'vtk', 'vtkmodules', 'matplotlib', 'PIL'}\n"
        "    slow = {'numba', 'pyogrio', 'pandas', 'tomlkit', 'scipy', 'numpy.ma'}\n"
        "    print('loaded:', sorted((drawing | slow) & set(sys.modules)))\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", script, str(SAMPLES / sample)],
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
        timeout=300,
    )
    assert run.returncode == code, run.stderr
    loaded = ast.literal_eval(run.stdout.rpartition("loaded: ")[2])
    assert set(loaded) <= triangulation
    assert "Traceback" not in run.stderr
