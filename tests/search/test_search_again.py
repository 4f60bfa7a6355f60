"""Exact looks: what only a bound turns down is found, and the full check agrees."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, box

from visual.search import pool, run
from visual.search.again import look_exactly
from visual.search.causes import Cause
from visual.search.choose import GAIN, choose_looks, take_in
from visual.search.rose import rose_at
from visual.search.run import search
from visual.site import Feature

SPOT = box(-2.5, -0.5, 2.5, 0.5)
SHRUB = Feature("tree", "shrub", Point(1.5, 3.0), 1, height=0.4, crown_radius=0.2)
EIGHTH = math.radians(45)


def around(x: float, y: float):
    """Return four small barns at a place in front and at the same turned by right angles."""
    spots = ((x, y), (y, -x), (-x, -y), (-y, x))
    return [
        Feature("building", f"barn {k}", box(a - 0.4, b - 0.4, a + 0.4, b + 0.4), k, height=4.0)
        for k, (a, b) in enumerate(spots, start=1)
    ]


def settled(land, features, **options):
    """Search a spot with the bounds alone, and with exact looks."""
    options = {"within": SPOT, "step": 2.0, "top": 0, "lattice": land.lattice, **options}
    return search(land.model, looks=0, **options), search(land.model, looks=50, **options)


def test_a_shrub_that_the_raise_passes_over_is_found_to_be_no_obstacle(make_land, stops):
    land = make_land(lambda x, y: 0 * x, {}, [SHRUB])
    coarse, found = settled(land, [SHRUB], turn=EIGHTH)
    assert not coarse.works.any()
    assert coarse.unsure.sum() == coarse.searched.sum() == 3
    assert not coarse.looked.any()
    assert found.works.any()
    assert found.looked.sum() == 3
    for row, column in np.argwhere(found.works):
        x, y = (float(v) for v in found.job.place(row, column))
        assert stops(land.at(x, y, found.front(row, column))) == []


def test_a_barn_beside_a_lane_over_which_only_the_line_hangs(make_land, stops):
    features = around(2.0, 18.0)
    land = make_land(lambda x, y: 0 * x, {"tow": {"line_length": 30.0}}, features)
    options = {"turn": math.radians(90), "within": box(-0.5, -0.5, 0.5, 0.5)}
    coarse, found = settled(land, features, **options)
    assert set(coarse.cause[coarse.searched]) == {Cause.CLEARANCE}
    assert not coarse.works.any()
    (spot,) = np.argwhere(found.works)
    assert stops(land.at(0.0, 0.0, found.front(*spot))) == []
    # still nearer, the line itself comes too near; one bearing of four is not looked at any more
    features = around(0.8, 18.0)
    land = make_land(lambda x, y: 0 * x, {"tow": {"line_length": 30.0}}, features)
    coarse, found = settled(land, features, **options)
    assert coarse.unsure.any()
    assert not found.works.any()
    assert found.unsure.any()
    assert stops(land.at(0.0, 0.0)) == ["clearance"] * len(stops(land.at(0.0, 0.0)))


def test_ground_just_beyond_the_tip_of_the_gin_pole_is_no_sure_no(make_land, stops):
    # rises 3 in 100: enough room under the tip, too little half a metre beyond it
    land = make_land(lambda x, y: 0.03 * y)
    coarse, rose = (
        rose_at(land.model, 0.6, 0.0, turn=math.radians(90), lattice=land.lattice, exact=exact)
        for exact in (False, True)
    )
    assert coarse.share[0] <= 0.0
    assert coarse.cause[0] == Cause.GIN_TIP
    assert rose.share[0] > 0.0
    assert stops(land.at(0.6, 0.0)) == []


@given(seed=st.integers(0, 10**6))
@settings(max_examples=2)
def test_what_is_looked_at_exactly_is_what_the_checks_say(make_land, make_waves, stops, seed):
    rng = np.random.default_rng(seed)
    turn, away = rng.uniform(0, 2 * math.pi, 3), rng.uniform(2.5, 9.0, 3)
    features = [
        Feature("tree", f"shrub {k}", Point(d * math.sin(t), d * math.cos(t)), k, height=0.6,
                crown_radius=0.3)
        for k, (t, d) in enumerate(zip(turn, away, strict=True), start=1)
    ]  # fmt: skip
    land = make_land(make_waves(seed, 0.1), {}, features)
    told = []
    coarse, rose = (
        rose_at(
            land.model, turn=math.radians(90), lattice=land.lattice, exact=exact,
            tell=lambda done, total: told.append((done, total)),
        )
        for exact in (False, True)
    )  # fmt: skip
    assert told == [(k, len(told)) for k in range(len(told))]
    for b, front in enumerate(rose.bearings):
        # a look never takes away what was right
        assert rose.share[b] >= coarse.share[b] - 1e-3 or coarse.share[b] <= 0.0
        stopped = stops(land.at(0.0, 0.0, float(front)))
        if rose.share[b] > 0.0:
            assert stopped == []
        elif rose.cause[b] != Cause.PULL:
            assert stopped or rose.share[b] > -0.03


@pytest.fixture(scope="module")
def mixed(make_land, make_waves):
    """A field where some places work, some could, and some cannot."""
    features = [
        Feature("tree", "shrub", Point(6.0, 3.0), 1, height=0.5, crown_radius=0.3),
        Feature("water", "pond", Point(-20.0, -14.0).buffer(5.0), 2),
    ]
    land = make_land(make_waves(3, 0.12), {}, features)
    options = {"radius": 14.0, "step": 2.0, "turn": EIGHTH, "top": 0, "lattice": land.lattice}
    return land, options


@pytest.fixture(scope="module")
def coarse(mixed):
    land, options = mixed
    return search(land.model, looks=0, **options)


def test_the_same_places_are_looked_at_whatever_the_tiles_and_threads(mixed):
    land, options = mixed
    one = search(land.model, looks=5, tile=200, threads=1, **options)
    other = search(land.model, looks=5, tile=8, threads=3, **options)
    assert other.job.count > one.job.count == 1
    rows, columns = np.nonzero(one.searched)
    assert 0 < one.looked.sum() <= 5
    for name in ("share", "cause", "bearing", "hope", "looked"):
        a, b = getattr(one, name), getattr(other, name)
        assert np.array_equal(a[rows, columns], b[rows, columns]), name


def test_hope_is_no_less_than_what_is_sure(coarse):
    asked = np.isfinite(coarse.hope)
    assert asked.any()
    assert (coarse.hope[asked] >= coarse.share[asked] - 1e-6).all()
    assert coarse.unsure.any()
    # nothing else is a sure no
    assert sum(coarse.areas(unsure=True).values()) == pytest.approx(
        coarse.unsure.sum() * coarse.cell_area
    )


def test_places_to_look_at_are_few_worth_it_and_well_spread(coarse):
    every = [(int(r), int(c)) for b in choose_looks(coarse, looks=10**6) for r, c in spots(b)]
    sure = np.where(coarse.works, coarse.share, 0.0)
    worth = (coarse.hope > 0) & (coarse.hope - sure > np.where(coarse.works, GAIN, 0.0))
    assert sorted(every) == sorted(map(tuple, np.argwhere(worth).tolist()))
    few = [spot for batch in choose_looks(coarse, looks=6) for spot in spots(batch)]
    assert 1 < len(few) <= 6
    assert set(few) <= set(every)
    assert choose_looks(coarse, looks=0) == ()
    # the best of all is among them, and they are not all in one clump
    best = max(every, key=lambda s: 2 * coarse.hope[s] - sure[s])
    assert best in few
    assert np.ptp(np.array(few), axis=0).max() >= np.ptp(np.array(every), axis=0).max() / 3


def spots(batch):
    return zip(batch.rows.tolist(), batch.columns.tolist(), strict=True)


def test_a_look_never_lowers_what_works(coarse):
    batch = choose_looks(coarse, looks=10**6)[0]
    looked = look_exactly(coarse.model, coarse.job, batch)
    worse = replace(
        looked,
        share=np.full(len(batch), 1e-4),
        bearing=np.zeros(len(batch), dtype=np.int16),
    )
    found = take_in(coarse, [worse], count=len(batch))
    works = coarse.works
    assert np.array_equal(found.share[works], coarse.share[works])
    assert (found.share[found.looked & ~works] == np.float32(1e-4)).all()
    assert found.complete
    assert not take_in(coarse, [], count=1).complete


def test_an_interrupt_of_the_exact_looks_keeps_those_that_are_done(mixed, monkeypatch):
    land, options = mixed
    done = []

    def interrupted(model, job, batch):
        if done:
            raise KeyboardInterrupt
        done.append(batch)
        return look_exactly(model, job, batch)

    monkeypatch.setattr(run, "look_exactly", interrupted)
    told: list[pool.Progress] = []
    found = search(land.model, looks=12, threads=1, progress=told.append, **options)
    assert found.looked.sum() == len(done[0])
    assert not found.complete
    assert told[-1].doing.startswith("interrupted")
    assert (told[-1].done, told[-1].total > told[-1].done) == (len(done[0]), True)
