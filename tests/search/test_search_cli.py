"""The command: odd input is refused in a sentence, progress does not flood, interrupts keep."""

import json
import math
from pathlib import Path

import pytest

from visual.cli import main
from visual.errors import InputError
from visual.frame import make_frame
from visual.search import run
from visual.search.files import write_search
from visual.search.job import FINEST
from visual.search.pool import Progress, in_threads
from visual.search.run import bearings_in, prepare, search
from visual.search_cli import LINES, Reporter
from visual.site import read_areas

HILL = Path(__file__).parents[2] / "sample_sites" / "hill_paddock"
UTM = {"type": "name", "properties": {"name": "EPSG:32630"}}


def run_main(*arguments: str) -> int:
    with pytest.raises(SystemExit) as stop:
        main(["search", str(HILL), *arguments])
    return int(stop.value.code or 0)


def shapes_file(path: Path, kind: str, coordinates) -> Path:
    geometry = {"type": kind, "coordinates": coordinates}
    one = {"type": "Feature", "properties": {}, "geometry": geometry}
    text = json.dumps({"type": "FeatureCollection", "crs": UTM, "features": [one]})
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        ("--step", "0 m", "must be more than nothing"),
        ("--step", "-1 m", "must be more than nothing"),
        ("--step", "nan", "does not begin with a number"),
        ("--step", "1e9 m", "longer than the land"),
        ("--step", "1e-9 m", "places along a cell"),
        ("--radius", "0 m", "must be more than nothing"),
        ("--turn", "7", "whole number of turns"),
        ("--turn", "0", "more than 0 and at most 90"),
        ("--turn", "nan", "more than 0 and at most 90"),
        ("--turn", "0.001", "more than 720 bearings"),
        ("--looks", "-1", "not in the range"),
        ("--threads", "0", "not in the range"),
        ("-o", "/proc/nowhere", "/proc/nowhere"),
    ],
)
def test_odd_options_are_refused_before_anything_is_searched(option, value, said, capsys):
    assert run_main(option, value) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert "Traceback" not in told.err
    assert told.out == ""


@pytest.mark.parametrize(
    ("kind", "coordinates", "said"),
    [
        ("Point", [553100.0, 5912480.0], "it holds no polygon"),
        ("Polygon", [[[6e5, 5e6], [6e5, 5.1e6], [6.1e5, 5e6], [6e5, 5e6]]], "no land is left"),
    ],
)
def test_files_that_name_no_land_are_refused(tmp_path, capsys, kind, coordinates, said):
    path = shapes_file(tmp_path / "field.geojson", kind, coordinates)
    assert run_main("--within", str(path)) == 2
    assert said in capsys.readouterr().err


def test_an_outline_that_crosses_itself_is_mended(tmp_path):
    e, n = 553100.0, 5912480.0
    ring = [[e, n], [e + 40, n + 40], [e + 40, n], [e, n + 40], [e, n]]
    path = shapes_file(tmp_path / "bow.geojson", "Polygon", [ring])
    frame = make_frame(crs="EPSG:32630", easting=e, northing=n, height=0.0, date=None)
    assert read_areas(path, frame=frame).area == pytest.approx(800.0, rel=1e-3)


def test_more_places_than_memory_holds_are_refused(make_land, monkeypatch):
    land = make_land(lambda x, y: 0 * x)
    with pytest.raises(InputError, match="more than 400 000 000 places"):
        prepare(land.model, step=2.0, radius=1e6, lattice=land.lattice)
    with pytest.raises(InputError, match=f"more than {FINEST} places along a cell"):
        prepare(land.model, step=0.05, radius=10.0, lattice=land.lattice)
    assert bearings_in(math.radians(0.5)) == 720


def test_tiles_of_long_steps_are_no_larger(make_land):
    land = make_land(lambda x, y: 0 * x)
    options = {"radius": 60.0, "turn": math.radians(90), "lattice": land.lattice}
    short, long = (prepare(land.model, step=step, **options)[0] for step in (2.0, 50.0))
    assert long.width <= short.width


def test_progress_that_goes_to_a_file_is_a_few_lines(capsys):
    report = Reporter()
    for doing in ("searching", "looking exactly"):
        for done in range(1001):
            report(Progress(done, 1000, 5.0, doing))
    lines = capsys.readouterr().err.splitlines()
    assert lines[0] == "searching: 0 of 1000, about 5 s left"
    assert lines[-1] == "looking exactly: 1000 of 1000, about 5 s left"
    report(Progress(0, 8, None, "checking the best places", "1 checked in full"))
    last = capsys.readouterr().err.strip()
    assert last == "checking the best places: 0 of 8, 1 checked in full"
    assert 2 * LINES <= len(lines) <= 2 * (LINES + 2)


def test_an_interrupt_while_the_first_part_is_worked_on_yields_nothing_and_waits_for_nothing():
    def interrupted(_: int) -> int:
        raise KeyboardInterrupt

    told: list[Progress] = []
    parts = in_threads(interrupted, range(50), threads=2, tell=told.append, doing="searching")
    assert list(parts) == []
    assert told[-1].doing.startswith("interrupted")
    assert told[-1].done == 0


def test_interrupted_before_anything_is_found_it_says_so(make_land, monkeypatch):
    from visual.search.search_text import search_lines

    def interrupted(job, number):
        raise KeyboardInterrupt

    monkeypatch.setattr(run, "search_tile", interrupted)
    land = make_land(lambda x, y: 0 * x)
    found = search(land.model, radius=20.0, step=4.0, lattice=land.lattice)
    lines = list(search_lines(found))
    assert lines[0].startswith("Stopped before the end")
    assert any("No place of this step was reached" in line for line in lines)
    assert not found.places


def test_files_that_cannot_be_finished_leave_the_old_ones(make_land, tmp_path, monkeypatch):
    land = make_land(lambda x, y: 0 * x)
    options = {"radius": 12.0, "step": 4.0, "turn": math.radians(90), "top": 0}
    found = search(land.model, lattice=land.lattice, **options)
    old = [path.read_bytes() for path in sorted(write_search(found, tmp_path))]

    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("visual.search.files.write_document", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_search(found, tmp_path)
    assert [path.read_bytes() for path in sorted(tmp_path.iterdir())] == old
