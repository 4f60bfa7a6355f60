"""Which files are written, all of them or none, and the command."""

import re
import shutil
from pathlib import Path

import pytest

from visual.checks import assess
from visual.cli import main
from visual.errors import InputError
from visual.exports import ALL, FORMATS, known_names, possible, wanted_formats, write_exports
from visual.exports.replacing import replacing, replacing_all

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"


def content(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_files_are_the_same_byte_for_byte(full, tmp_path):
    write_exports(full.report, [ALL], tmp_path)
    before = {path.name: path.read_bytes() for path in full.files.values()}
    assert content(tmp_path) == before


def test_every_file_says_what_it_is(full, tmp_path):
    written = write_exports(full.report, ["csv,geojson", "gpx"], tmp_path)
    assert all(one.path.is_file() and one.word for one in written)
    assert [one.path.suffix for one in written] == [".geojson", ".gpx", *[".csv"] * 6]
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(o.path.name for o in written)


@pytest.mark.parametrize(
    ("texts", "names"),
    [
        (["dxf,KML", " gpx "], ("dxf", "kml", "gpx")),
        (["geopackage", "glb", "gpkg"], ("gpkg", "gltf")),
        (["all", "csv,"], ("all", "csv")),
    ],
)
def test_names_of_formats(texts, names):
    assert known_names(texts) == names


def test_every_unknown_format_is_told_with_the_nearest():
    with pytest.raises(InputError, match=r"did you mean dxf\? Known are dxf, geojson") as raised:
        known_names(["dfx", "kml", "xyz"])
    assert [problem.value for problem in raised.value.problems] == ["dfx", "xyz"]


@pytest.mark.parametrize("texts", [[], [" , "]])
def test_no_format_is_an_error(texts):
    with pytest.raises(InputError, match="no format is given; give one or more of dxf"):
        known_names(texts)


def test_local_site_has_no_files_of_the_earth(plain, tmp_path):
    wanted = [name for name, one in FORMATS.items() if one.needs_place]
    assert wanted == ["geojson", "kml", "gpx"]
    with pytest.raises(InputError, match="a local grid has none; give the site a CRS") as raised:
        write_exports(plain.report, ["dxf", *wanted], tmp_path / "new")
    assert len(raised.value.problems) == 3
    assert not (tmp_path / "new").exists()


def test_all_of_a_local_site_is_what_it_can_have(plain):
    names = [one.name for one in wanted_formats([ALL], plain.model)]
    assert names == list(possible(plain.model)) == ["dxf", "gpkg", "gltf", "csv", "json"]


def test_nothing_is_written_if_one_format_fails(full, tmp_path, monkeypatch):
    def fail(*_):
        message = "the disk is full"
        raise OSError(28, message)

    monkeypatch.setattr("visual.exports.gltf.write_gltf", fail)
    (tmp_path / "site.geojson").write_text("as it was")
    with pytest.raises(InputError, match="cannot be written: the disk is full"):
        write_exports(full.report, ["geojson", "gltf", "csv"], tmp_path)
    assert content(tmp_path) == {"site.geojson": b"as it was"}
    with pytest.raises(InputError, match="the disk is full"):
        write_exports(full.report, ["csv", "gltf"], tmp_path / "a" / "b")
    assert not (tmp_path / "a").exists()


def test_folder_in_the_place_of_a_file_is_an_error(full, tmp_path):
    (tmp_path / "site-results.json").mkdir()
    (tmp_path / "site.geojson").write_text("as it was")
    with pytest.raises(InputError, match=r"site-results\.json: .*a folder of that name"):
        write_exports(full.report, ["geojson", "json"], tmp_path)
    assert (tmp_path / "site.geojson").read_text() == "as it was"
    assert len(list(tmp_path.iterdir())) == 2


def test_file_in_the_place_of_the_folder_is_an_error(full, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match=r"file: cannot be written: File exists"):
        write_exports(full.report, ["json"], tmp_path / "file")


def test_interruption_leaves_nothing(tmp_path):
    def interrupted():
        with replacing_all(tmp_path / "new") as beside:
            (beside / "half").write_text("ha")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert list(tmp_path.iterdir()) == []


def test_one_file_is_replaced_whole(tmp_path):
    path = tmp_path / "one.txt"
    path.write_text("old")
    with replacing(path) as beside:
        beside.write_text("new")
        assert path.read_text() == "old"
    assert content(tmp_path) == {"one.txt": b"new"}


def test_unknown_ground_is_left_out_and_not_made_up(make_model, tmp_path):
    """Ground that ends before the anchors: no heights for them, and every file still written."""
    model = make_model(
        changes={"site": {"crs": "EPSG:32630"}, "mast": {"position": [553210.0, 5912480.0]}},
        reach=4.0,
        spacing=2.0,
    )
    model.site._path = tmp_path / "site.toml"
    assert not any(anchor.placed for anchor in model.anchors.values())
    written = write_exports(assess(model), [ALL], tmp_path)
    assert len(written) == 13
    for one in written:
        raw = one.path.read_bytes()
        if one.path.suffix in (".kml", ".gpx", ".geojson", ".json", ".csv"):
            assert not re.search(rb"\bnan\b", raw, re.IGNORECASE)


def run(arguments):
    with pytest.raises(SystemExit) as done:
        main(arguments)
    return done.value.code


def test_command_writes_what_it_lists(tmp_path, capsys):
    site = tmp_path / "Högfält"
    shutil.copytree(SAMPLES / "flat_yard", site)
    out = tmp_path / "out"
    assert run(["export", str(site), "--to", "csv,json", "--to", "gltf", "-o", str(out)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 8
    assert {line.split("  ")[0] for line in lines} == {str(path) for path in out.iterdir()}
    assert lines[0].startswith(str(out / "Högfält.glb"))
    assert lines[0].endswith("3D model, metres from the hinge, y up")


def test_command_refuses_before_the_long_work(capsys, tmp_path):
    site = str(SAMPLES / "flat_yard")
    assert run(["export", site, "--to", "kml", "-o", str(tmp_path / "out")]) == 2
    said = capsys.readouterr().err
    assert "site.crs = 'local': kml holds longitude and latitude" in said
    assert "checking" not in said
    assert run(["export", site, "--to", "dwg"]) == 2
    assert "--to = 'dwg': is no format that is written" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
