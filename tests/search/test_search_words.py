"""What list and map say of a search: why land is lost, and what nobody could judge."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import LineString, Point, box

from visual.checks import assess
from visual.frame import make_frame
from visual.scene.layers import LabelLayer, MarkLayer, TableLayer
from visual.scene.search_layers import search_layers, search_terrain
from visual.search.causes import IN_PLAN, WORDS, Cause
from visual.search.found import Place
from visual.search.reasons import NOTHING, reasons_of
from visual.search.run import search
from visual.search.search_text import format_spot, search_lines
from visual.site import Feature

FEATURES = (
    Feature("boundary", "field", box(-30.0, -30.0, 30.0, 30.0), 1),
    Feature("road", "lane", LineString([(-60.0, 26.0), (60.0, 26.0)]).buffer(1.5), 2),
    Feature("building", "old hut", box(40.0, -4.0, 44.0, 4.0), 3, height=None),
    Feature("overhead_line", "great line", LineString([(-60.0, -70.0), (60.0, -70.0)]), 4,
            voltage_kv=1500.0, conductor_heights=(40.0, 40.0)),
)  # fmt: skip


def reason_of(part):
    return part.reason.in_units("metric", space="\N{NO-BREAK SPACE}")


@pytest.fixture(scope="module")
def found(make_land, make_waves):
    rules = {"setback": [{"to": "boundary", "from": "base", "distance": 5.0}]}
    land = make_land(make_waves(3, 0.1), {"limits": rules}, FEATURES)
    options = {"step": 2.0, "turn": math.radians(45), "top": 0, "looks": 0}
    found = search(land.model, lattice=land.lattice, **options)
    row, column = np.argwhere(found.works)[0]
    x, y = (float(value) for value in found.job.place(row, column))
    front, share = found.front(row, column), float(found.share[row, column])
    cause, findings = Cause(int(found.cause[row, column])), assess(land.at(x, y, front)).findings
    place = Place(1, x, y, x, y, front, share, cause, findings)
    return replace(found, places=(place,))


def test_every_place_is_spoken_of_once_and_as_what_it_is(found):
    reasons = reasons_of(found)
    kinds = np.array([one.kind for one in reasons.said])
    told = reasons.number != NOTHING
    assert np.array_equal(told, found.searched)
    assert set(kinds[reasons.number[found.works]]) == {"works"}
    assert "works" not in kinds[reasons.number[found.searched & ~found.works]]
    # the setback is what is tightest on some of what works, and is not said to be in the way there
    assert Cause.BASE_SETBACK in found.cause[found.works]
    assert all(WORDS[cause].tight for cause in map(Cause, np.unique(found.cause[found.works])))


def test_no_land_is_lost_twice(found):
    road = [part for part in found.land.lost if "lane" in reason_of(part)]
    assert road
    assert (found.cause == Cause.FALL_ROAD).any()
    assert not IN_PLAN & set(found.areas())
    works = float(found.works.sum()) * found.cell_area
    lost = sum(part.area for part in found.land.lost) + sum(found.areas().values())
    edges = found.job.step * sum(part.shape.length for part in found.land.lost) / 2
    assert works + lost == pytest.approx(found.land.whole.area, abs=edges)


def test_what_nobody_could_judge_is_named_and_counted(found):
    lines = list(search_lines(found))
    told = [line for line in lines if line.startswith("Not judged: ")]
    assert len(told) == 2
    assert any("old hut" in line for line in told)
    assert any("great line: 1500 kV is above" in line for line in told)
    (place,) = found.places
    assert place.unchecked > 0
    assert any(f"{place.unchecked} not checked" in line for line in lines)
    (table,) = (
        one for one in search_layers(found, search_terrain(found)) if isinstance(one, TableLayer)
    )
    assert "not judged: old hut" in table.note


@pytest.mark.parametrize(
    ("crs", "place", "written"),
    [
        ("EPSG:4326", (-2.2004763, 53.3587714), ("-2.200476", "53.358771")),
        ("EPSG:32630", (553210.04, 5912480.0), ("553210.0", "5912480.0")),
        ("local", (3.04, -4.0), ("3.0", "-4.0")),
    ],
)
def test_places_are_written_so_finely_that_they_are_found(crs, place, written):
    frame = make_frame(crs=crs, easting=place[0], northing=place[1], height=0.0, date=None)
    assert format_spot(frame, *place) == written


def test_the_map_of_the_hill_says_why_land_is_lost_and_marks_where_the_mast_was_to_stand(hill):
    found, terrain = hill, search_terrain(hill)
    layers = search_layers(found, terrain)
    said = {layer.name for layer in layers if isinstance(layer, LabelLayer)}
    (mark,) = (one for one in layers if isinstance(one, MarkLayer) and one.role == "search_now")
    assert mark.at[0, :2] == pytest.approx([0.0, 0.0])
    # the place of the first site file lies in a part whose reason stands on the map
    (lost,) = (part for part in found.land.lost if part.shape.contains(Point(0.0, 0.0)))
    assert reason_of(lost) in said
    # and so does every reason, but for what stands there itself and specks
    for part in found.land.lost:
        assert reason_of(part) in said or part.check == "base place", reason_of(part)
    for cause, area in found.areas().items():
        assert WORDS[cause].text in said or area < 16 * found.cell_area, cause
    # there is ground to the edge of the picture wherever the site has any
    xmin, _, xmax, _ = found.land.whole.bounds
    west, _, east, _ = found.model.ground.bounds
    assert terrain.west <= max(xmin - 0.5 * (xmax - xmin), west) + terrain.step
    assert terrain.east >= min(xmax + 0.4 * (xmax - xmin), east) - terrain.step
