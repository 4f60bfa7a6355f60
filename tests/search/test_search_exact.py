"""Full looks at given pairs say what the search said of its winners, and no pair beats them."""

import math

import numpy as np
import pytest
from shapely.geometry import box

from visual.search.causes import Cause
from visual.search.exact import look_at
from visual.search.run import search
from visual.site import Feature

FEATURES = (
    Feature("boundary", "field", box(-44.0, -40.0, 40.0, 44.0), 1),
    Feature("building", "barn", box(22.0, 18.0, 34.0, 26.0), 2, height=5.0),
)


@pytest.fixture(scope="module", params=[1.0, 2.0, 4.0])
def found(request, make_land, make_waves):
    land = make_land(make_waves(3, 0.2), {}, FEATURES)
    options = {"step": request.param, "turn": math.radians(15), "top": 0, "looks": 0}
    return search(land.model, tile=16, lattice=land.lattice, **options)


def test_winners_looked_at_again_are_as_good_as_the_search_said(found):
    rows, columns = np.nonzero(found.works)
    again = look_at(found.job, rows, columns, found.bearing[rows, columns].astype(np.int64))
    assert again.share == pytest.approx(found.share[rows, columns], abs=1e-6)
    assert np.array_equal(again.cause, found.cause[rows, columns])
    # the least of all checks is the share, unless the place itself leaves less
    assert (np.nanmin(again.shares, axis=1) >= again.share - 1e-12).all()


def test_no_bearing_is_better_than_the_one_found(found):
    rows, columns = np.nonzero(found.searched & np.isfinite(found.share))
    some = slice(None, None, max(1, len(rows) // 200))
    rows, columns = rows[some], columns[some]
    count = found.job.tables[0].bearings.size
    pairs = [np.repeat(part, count) for part in (rows, columns)]
    all_of = look_at(found.job, *pairs, np.tile(np.arange(count), len(rows)))
    best = np.nanmax(all_of.share.reshape(len(rows), count), axis=1)
    said = found.share[rows, columns]
    assert np.where(said > 0, said, 0) == pytest.approx(np.where(best > 0, best, 0), abs=1e-6)


def test_unknown_ground_is_unknown(make_land):
    land = make_land(lambda x, y: np.where(x > 20.0, np.nan, 0.0 * x))
    found = search(
        land.model, step=4.0, turn=math.radians(45), radius=30.0, top=0, lattice=land.lattice
    )
    rows, columns = np.nonzero(found.works)
    x, _ = found.job.place(rows, columns)
    one = slice(int(np.argmax(x)), int(np.argmax(x)) + 1)
    east = look_at(found.job, rows[one], columns[one], np.array([2]))
    assert np.isnan(east.share).all()
    assert (east.cause == Cause.GROUND).all()
