"""The commands of the crew on the sample sites: what they print, write, and how they end."""

import json
import shutil
from pathlib import Path

import pytest

from visual.cli import main
from visual.site import read_site

SAMPLES = Path(__file__).parents[2] / "sample_sites"


@pytest.fixture
def yard(tmp_path):
    shutil.copytree(SAMPLES / "flat_yard", tmp_path / "yard")
    return tmp_path / "yard"


@pytest.fixture
def run(capsys):
    def call(*arguments):
        with pytest.raises(SystemExit) as ended:
            main([str(argument) for argument in arguments])
        shown = capsys.readouterr()
        assert max(map(len, shown.out.splitlines()), default=0) <= 100
        return ended.value.code, shown.out, shown.err

    return call


def test_wires(run, yard):
    code, out, _ = run("wires", yard, "--spool", "60 m", "--cut-at", "41 F", "--steel-tape")
    assert code == 0
    assert "12.732 m" in out  # the cut length of the README
    assert "wire at 5 °C" in out
    assert "Planning aid, not a stamped design" in out
    assert "60.00 m, 9." in out.replace("open ", "")


@pytest.mark.parametrize(
    ("option", "value", "message"),
    [("--cut-at", "warm", "is not a temperature"), ("--spool", "5 m", "give a spool at least")],
)
def test_wrong_options_end_with_code_2(run, yard, option, value, message):
    code, _, err = run("wires", yard, option, value)
    assert code == 2
    assert message in err


def test_stake_with_files(run, yard, tmp_path):
    code, out, err = run("stake", yard, "--csv", tmp_path / "pegs.csv")
    assert code == 0
    assert "10.61 m" in out  # the diagonal of the README
    assert "Fronts that level both sides at once" in out
    assert (tmp_path / "pegs.csv").read_text(encoding="utf-8").startswith("point,easting")
    assert "table of points" in err
    code, _, err = run("stake", yard, "--gpx", tmp_path / "pegs.gpx")
    assert code == 2
    assert 'site.crs is "local"' in err


def test_as_built_and_written_makes_the_wires_final(run, yard, tmp_path):
    assert "provisional" in run("wires", yard)[1]
    code, out, _ = run("asbuilt", yard, yard / "asbuilt.csv", "--json", tmp_path / "survey.json")
    assert code == 0
    assert "as they should be" in out
    survey = json.loads((tmp_path / "survey.json").read_text(encoding="utf-8"))["as_built"]
    assert survey["trustworthy"]
    assert not list(yard.glob("*.bak"))
    code, _, err = run("asbuilt", yard, yard / "asbuilt.csv", "--write")
    assert code == 0
    assert "site.toml.bak" in err
    before, after = (
        (yard / name).read_text(encoding="utf-8") for name in ("site.toml.bak", "site.toml")
    )
    assert [line for line in before.splitlines() if line not in after.splitlines()] == []
    for anchor in survey["anchors"]:
        written = getattr(read_site(yard).anchors, anchor["name"])
        assert written.position == pytest.approx((anchor["easting"], anchor["northing"]), abs=6e-4)
    wires = run("wires", yard)[1]
    assert "final" in wires
    assert "provisional" not in wires.lower()


def test_reading_typed_wrong_is_caught_and_nothing_is_written(run, yard):
    before = (yard / "site.toml").read_bytes()
    code, out, err = run("asbuilt", yard, yard / "asbuilt_slip.csv", "--write")
    assert code == 2
    assert "SUSPECT row 7: slope right – back" in out
    assert "so nothing is written" in err
    assert (yard / "site.toml").read_bytes() == before
    assert run("asbuilt", yard, yard / "asbuilt_slip.csv")[0] == 1


def test_plumb(run, yard, tmp_path):
    code, out, _ = run("plumb", yard, yard / "plumb.csv", "--json", tmp_path / "plumb.json")
    assert code == 0
    assert "0.050 m to the left" in out
    found = json.loads((tmp_path / "plumb.json").read_text(encoding="utf-8"))["plumb"]
    assert found["top_after"] < 0.002
    assert {wire["name"] for wire in found["wires"]} == {"front", "right", "back", "left"}


def test_readings_that_are_not_there(run, yard):
    for command in ("asbuilt", "plumb"):
        code, _, err = run(command, yard, yard / "nothing.csv")
        assert code == 2
        assert "cannot be read" in err
