"""Running searches: tiles and threads, unknown ground, interruption, files, other engines."""

import json
import math
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pyogrio
import pytest
import rasterio
from shapely.geometry import box

from visual.checks import Finding
from visual.errors import InputError
from visual.model import load_model
from visual.search import run
from visual.search import short_list as short_list_module
from visual.search.causes import Cause
from visual.search.files import write_place, write_search
from visual.search.rose import rose_at
from visual.search.run import search
from visual.search.search_text import format_area, search_lines
from visual.search.short_list import short_list, with_short_list
from visual.search.tile import search_tile
from visual.site import Feature

HILL = Path(__file__).parents[2] / "sample_sites" / "hill_paddock"
FEATURES = (
    Feature("boundary", "field", box(-44.0, -40.0, 40.0, 44.0), 1),
    Feature("building", "barn", box(22.0, 18.0, 34.0, 26.0), 2, height=5.0),
)


@pytest.fixture(scope="module")
def land(make_land, make_waves):
    return make_land(make_waves(3, 0.2), {}, FEATURES)


def arrays(found):
    """Return what was found by place, whatever the tiles."""
    rows, columns = np.nonzero(found.searched)
    return found.share[rows, columns], found.cause[rows, columns], found.bearing[rows, columns]


@pytest.mark.parametrize("step", [1.0, 2.0, 4.0])
def test_results_do_not_depend_on_tiles_or_threads(land, step):
    options = {
        "step": step,
        "turn": math.radians(15),
        "top": 0,
        "looks": 0,
        "lattice": land.lattice,
    }
    one = search(land.model, tile=200, threads=1, **options)
    other = search(land.model, tile=16, threads=3, **options)
    assert other.job.count > one.job.count == 1
    assert one.works.any()
    for a, b in zip(arrays(one), arrays(other), strict=True):
        assert np.array_equal(a, b)


def test_a_finer_step_finds_the_same_at_the_same_places(land):
    options = {"turn": math.radians(15), "top": 0, "looks": 0, "lattice": land.lattice}
    coarse, fine = search(land.model, step=2.0, **options), search(land.model, step=1.0, **options)
    rows, columns = np.nonzero(coarse.searched)
    assert np.array_equal(coarse.share[rows, columns], fine.share[2 * rows, 2 * columns])


def test_unknown_ground_never_passes_for_good(make_land, make_waves):
    waves = make_waves(3, 0.1)

    def holed(x, y):
        return np.where(np.hypot(x - 6.0, y + 4.0) < 3.0, np.nan, waves(x, y))

    options = {"step": 2.0, "turn": math.radians(15), "top": 0, "looks": 0, "radius": 30.0}
    whole = make_land(waves)
    known = search(whole.model, lattice=whole.lattice, **options)
    land = make_land(holed)
    found = search(land.model, lattice=land.lattice, **options)
    x, y = found.job.place(*np.indices(found.share.shape))
    assert not found.works[np.hypot(x - 6.0, y + 4.0) < 3.0].any()
    assert (found.cause[np.hypot(x - 6.0, y + 4.0) < 2.0] == Cause.GROUND).all()
    # far away nothing changes, and nowhere is anything better than with all ground known
    far = np.hypot(x - 6.0, y + 4.0) > 36.0
    assert np.array_equal(found.share[far], known.share[far])
    assert (found.share <= np.maximum(known.share, -1.0) + 1e-6).all()


def test_an_interrupt_keeps_what_is_found(land, monkeypatch):
    done = []

    def interrupted(job, number):
        if len(done) == 3:
            raise KeyboardInterrupt
        done.append(number)
        return search_tile(job, number)

    monkeypatch.setattr(run, "search_tile", interrupted)
    told = []
    found = search(
        land.model,
        step=2.0,
        turn=math.radians(45),
        top=0,
        looks=0,
        tile=16,
        threads=1,
        lattice=land.lattice,
        progress=told.append,
    )
    assert not found.complete
    assert (found.cause == Cause.NOT_REACHED).any()
    assert found.searched.any()
    assert told[-1].doing.startswith("interrupted")
    assert "Stopped before the end" in next(search_lines(found))


def test_the_hill_sample_finds_the_place_of_the_second_site_file_or_better(hill):
    moved = load_model(HILL / "site_moved.toml")
    x, y = hill.model.frame.to_local(*moved.site.mast.position)
    east, north = hill.job.place(*np.indices(hill.share.shape))
    near = hill.works & (np.hypot(east - x, north - y) < 4.0)
    assert near.any()
    best = hill.places[0]
    # by the search's own measure the second file's very place and front leave no more than the best
    rose = rose_at(hill.model, float(x), float(y), turn=math.radians(45.0), exact=False)
    (own,) = np.flatnonzero(np.isclose(rose.bearings, moved.site.mast.front))
    assert 0.0 < rose.left[own] <= best.share
    # the front of the second file looks down the hill, and so does the best one near it
    fronts = np.degrees(hill.job.tables[0].bearings[hill.bearing[near]])
    assert np.abs(fronts - math.degrees(moved.site.mast.front)).min() <= 20.0
    assert best.stops == 0


def test_the_list_says_the_largest_pull(hill):
    pull = next(f for f in hill.places[0].findings if f.check == "vehicle pull")
    line = next(line for line in search_lines(hill) if "largest pull" in line)
    assert f"{pull.value / 1000:.2f} kN of {pull.limit / 1000:.2f} kN" in line


def test_files_hold_what_was_found(hill, tmp_path):
    raster, shapes, listed = write_search(hill, tmp_path)
    with rasterio.open(raster) as file:
        assert file.count == 4
        place = hill.places[0]
        row, column = file.index(place.easting, place.northing)
        bands = file.read()[:, row, column]
    assert bands[0] == pytest.approx(place.share)
    assert bands[1] == pytest.approx(math.degrees(place.front))
    assert bands[3] == float(place.exact)
    names = [name for name, _ in pyogrio.list_layers(shapes)]
    assert {"allowed", "lost", "works", "looked", "places", "fronts"} <= set(names)
    info = pyogrio.read_info(shapes, layer="lost")
    assert info["crs"] == "EPSG:32630"
    document = json.loads(listed.read_text(encoding="utf-8"))
    lost = sum(part["area"] for part in document["lost"])
    assert lost + document["allowed_area"] == pytest.approx(document["area"])


def test_a_place_becomes_a_site_file_with_all_comments(hill, tmp_path):
    folder = tmp_path / "hill"
    shutil.copytree(HILL, folder)
    model = load_model(folder)
    target = write_place(replace(hill, model=model), 1)
    old = (folder / "site.toml").read_text(encoding="utf-8").splitlines()
    new = target.read_text(encoding="utf-8").splitlines()
    changed = [line for line in new if line not in old]
    assert len(changed) == 2
    assert len(old) == len(new)
    moved = load_model(target)
    assert moved.site.mast.position == pytest.approx(
        (hill.places[0].easting, hill.places[0].northing), abs=0.006
    )
    with pytest.raises(InputError, match="is there already"):
        write_place(replace(hill, model=model), 1)


def test_comments_on_the_old_place_stay_with_the_old_place(hill, tmp_path):
    folder = tmp_path / "hill"
    shutil.copytree(HILL, folder)
    site = folder / "site.toml"
    text = site.read_text(encoding="utf-8")
    assert "along the hedge" in text  # behind the front
    text = text.replace("5912480.0]", "5912480.0]  # by the old ash")
    site.write_text(text, encoding="utf-8")
    target = write_place(replace(hill, model=load_model(folder)), 1)
    written = target.read_text(encoding="utf-8")
    assert "old ash" not in written
    assert "along the hedge" not in written
    assert written.count("#") == text.count("#") - 2


def test_where_a_place_stops_the_list_goes_on(hill, monkeypatch):
    tried = []

    def check(found, row, column):
        place = replace(hill.places[0], share=float(found.share[row, column]))
        stop = Finding(check="wire load", subject="tow line", status="stop")
        tried.append((row, column))
        return replace(place, findings=(stop,)) if len(tried) <= 5 else place

    monkeypatch.setattr(short_list_module, "_check", check)
    told = []
    places = short_list(hill, top=1, tell=lambda *now: told.append(now))
    assert [place.stops for place in places] == [0]
    assert len(tried) == len(set(tried)) == 6
    # none passed until the sixth was checked
    assert told == [*((0, checked) for checked in range(6)), (1, 6)]
    east, north = hill.job.place(*np.array(tried).T)
    height = hill.job.numbers.total_height
    near = np.hypot(east[:, None] - east, north[:, None] - north)[np.triu_indices(6, 1)]
    assert 0.25 * height <= near.min() < height  # neighbours of what stops are tried


def test_no_time_is_promised_for_full_checks_before_any_place_passes(hill, monkeypatch):
    stop = Finding(check="wire load", subject="tow line", status="stop")
    tried = []

    def check(*_):
        tried.append(None)
        return replace(hill.places[0], findings=() if len(tried) > 4 else (stop,))

    monkeypatch.setattr(short_list_module, "_check", check)
    told = []
    short_list(hill, top=1, tell=run._told(told.append, 1))
    *first, last = told
    assert {(one.done, one.total, one.left) for one in first} == {(0, 1, None)}
    assert (last.done, last.left) == (1, 0.0)
    notes = [one.note.removesuffix(", 200 at most") for one in told]
    assert notes == [f"{n} checked in full" for n in range(6)]


def test_the_list_ends_when_all_places_stop(hill, monkeypatch):
    stop = Finding(check="wire load", subject="tow line", status="stop")
    monkeypatch.setattr(short_list_module, "MOST_CHECKED", 4)
    monkeypatch.setattr(
        short_list_module, "_check", lambda *_: replace(hill.places[0], findings=(stop,))
    )
    told = []
    places = short_list(hill, top=2, tell=lambda _, checked: told.append(checked))
    assert [place.stops for place in places] == [1, 1]
    assert told == [0, 1, 2, 3, 4]


def test_a_list_that_is_interrupted_is_kept_and_said_to_be_short(hill, monkeypatch):
    checked = []

    def check(found, row, column):
        if checked:
            raise KeyboardInterrupt
        checked.append((row, column))
        return hill.places[0]

    monkeypatch.setattr(short_list_module, "_check", check)
    found = with_short_list(hill, top=3)
    assert len(found.places) == 1
    assert hill.complete
    assert not found.complete
    assert next(search_lines(found)).startswith("Stopped before the end")


def test_measured_anchors_and_odd_turns_are_refused(make_land):
    land = make_land(lambda x, y: 0 * x, {"anchors": {"left": {"position": [-8.0, 0.0]}}})
    with pytest.raises(InputError, match="the mast has its place"):
        search(land.model, lattice=land.lattice)
    land = make_land(lambda x, y: 0 * x)
    with pytest.raises(InputError, match="90 degrees must be a whole number of turns"):
        search(land.model, turn=math.radians(7), lattice=land.lattice)


@pytest.mark.parametrize(
    ("area", "units", "text"),
    [
        (18.0, "imperial", "194 sq ft"),
        (1000.0, "imperial", "10,764 sq ft"),
        (4046.8564224, "imperial", "1.00 acres"),
        (18.0, "metric", "18 m²"),
        (0.25, "metric", "0.2 m²"),
        (0.25, "imperial", "3 sq ft"),
        (2500.0, "metric", "0.25 ha"),
    ],
)
def test_small_areas_are_not_rounded_to_nothing(area, units, text):
    assert format_area(area, units) == text
