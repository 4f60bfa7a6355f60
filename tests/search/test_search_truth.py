"""The search says what the checks say: number by number, and place by place by brute force."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, box

from visual.model import installed_wires
from visual.raising import analyse_raise
from visual.rig import SIDES
from visual.search.causes import LEAST, Cause
from visual.search.rose import rose_at
from visual.search.run import prepare, search
from visual.site import Feature

FEATURES = (
    Feature("boundary", "field", box(-40.0, -40.0, 40.0, 40.0), 1),
    Feature("building", "barn", box(22.0, 18.0, 34.0, 26.0), 2, height=5.0),
    Feature("tree", "oak", Point(-26.0, 24.0), 3, height=9.0, crown_radius=3.0),
    Feature("water", "pond", Point(-20.0, -24.0).buffer(4.0), 4),
)
RULES = {
    "setback": [
        {"to": "boundary", "from": "base", "distance": 14.0},
        {"to": "building", "from": "nearest_part", "distance": 3.0},
    ]
}


@given(seed=st.integers(0, 10**6), size=st.floats(0.05, 0.5))
@settings(max_examples=2)
def test_brute_force_by_the_checks_agrees(make_land, make_waves, stops, seed, size):
    land = make_land(make_waves(seed, size), {"limits": RULES}, FEATURES)
    rng = np.random.default_rng(seed)
    for x, y in rng.uniform(-22.0, 22.0, (3, 2)):
        rose = rose_at(land.model, x, y, turn=math.radians(90.0), lattice=land.lattice)
        for b, front in enumerate(rose.bearings):
            stopped = stops(land.at(x, y, float(front)))
            cause = Cause(int(rose.cause[b]))
            if rose.share[b] > 0 and rose.place_share >= 0:
                assert stopped == []
            elif rose.place_share < 0:
                assert rose.place_cause in (Cause.FALL_ZONE, Cause.BASE_PLACE) or stopped
            elif cause != Cause.PULL:
                assert stopped or rose.share[b] > -0.03


def test_numbers_of_a_look_are_those_of_the_checks(make_land, make_waves):
    land = make_land(make_waves(7, 0.25))
    x, y = 3.3, -4.7
    rose = rose_at(land.model, x, y, turn=math.radians(30.0), lattice=land.lattice)
    job, _ = prepare(land.model, lattice=land.lattice, radius=5.0)
    level = job.level
    for b, front in enumerate(rose.bearings):
        model = land.at(x, y, float(front))
        raised = analyse_raise(model)
        left = [1.0]
        for wire in installed_wires(model):
            spot = SIDES.index(wire.side), wire.level
            left.append((wire.angle - job.numbers.wire_low) / level.angle_low[spot])
            left.append((job.numbers.wire_high - wire.angle) / level.angle_high[spot])
        assert rose.shares[b, Cause.WIRE_ANGLE] == pytest.approx(min(left), abs=1e-3)
        if math.isnan(rose.shares[b, Cause.WIRE_SLACK]):
            continue
        start = raised.start.angle
        caution = 2 * rose.shares[b, Cause.LAYDOWN] - 1
        if rose.shares[b, Cause.LAYDOWN] < 1:
            found = job.numbers.steep_caution - caution * level.start_caution
            assert start - 1e-4 <= found <= start + math.radians(0.8)
        wires = [one for one in raised.side_wires if one.slackest[1] < 0]
        slack = min((job.numbers.slack + w.slackest[1]) / level.slack[1, w.collar] for w in wires)
        assert rose.shares[b, Cause.WIRE_SLACK] == pytest.approx(
            max((1 + slack) / 2, LEAST), abs=0.03
        )


def test_the_first_raise_without_the_head_drives_on_more_of_the_lane(make_land, stops):
    # a large rotor cannot lie low; the bare mast can, and its hitch begins nearer: on a bank
    head = {"mass": 30.0, "centre_above_top": 0.2, "centre_to_front": 0.0}
    head |= {"rotor_diameter": 6.0, "rotor_above_top": 0.3}
    for line, at_bank in ((16.2, True), (17.0, False)):
        land = make_land(
            lambda x, y: np.where(np.abs(y - 14.0) < 0.1, -1.6, 0.0 * x),
            {"mast": {"head": head, "hinge_height": 0.6}, "tow": {"line_length": line}},
        )
        raised = analyse_raise(land.at(0.0, 0.0))
        assert raised.tow.distance[0] > 16.0
        assert (raised.hitch_distances[0] < 16.0) == at_bank
        rose = rose_at(land.model, turn=math.radians(90.0), lattice=land.lattice, exact=False)
        assert stops(land.at(0.0, 0.0)) == (["tow lane"] if at_bank else [])
        assert (rose.share[0] <= 0.0) == at_bank
        assert (rose.cause[0] == Cause.LANE_SLOPE) == at_bank


def test_on_a_slope_the_best_bearing_puts_the_side_anchors_on_the_contour(make_land):
    rise = 0.05
    for fall in (0.0, 40.0, 285.0):
        way = math.radians(fall)
        land = make_land(lambda x, y, w=way: -rise * (x * math.sin(w) + y * math.cos(w)))
        rose = rose_at(land.model, lattice=land.lattice)
        assert rose.best is not None
        # closed form: the hinge axis lies along the contour; the gin pole needs the fall in front
        sides = np.fmin(rose.shares[:, Cause.WIRE_SLACK], rose.shares[:, Cause.WIRE_TIGHT])
        best = math.degrees(rose.bearings[np.nanargmax(np.where(rose.works, sides, np.nan))])
        assert best == pytest.approx(fall)
        # wires to the front are steeper there, which can turn the best of all by a step
        assert abs(math.remainder(math.degrees(rose.bearings[rose.best]) - fall, 360.0)) <= 5.0
        assert not rose.works[(rose.best + 36) % 72]


def test_flat_open_land_works_everywhere_outside_of_the_setback(make_land):
    field = box(-30.0, -26.0, 34.0, 28.0)
    features = (Feature("boundary", "field", field, 1),)
    rules = {"setback": [{"to": "boundary", "from": "base", "distance": 13.4}]}
    land = make_land(lambda x, y: 0 * x + 5.0, {"limits": rules}, features)
    found = search(
        land.model, step=2.0, turn=math.radians(30), top=0, looks=0, lattice=land.lattice
    )
    inner = field.buffer(-13.4)
    assert found.land.allowed.area == pytest.approx(inner.area, rel=1e-9)
    assert sum(part.area for part in found.land.lost) == pytest.approx(field.area - inner.area)
    rows, columns = np.indices(found.share.shape)
    x, y = found.job.place(rows, columns)
    inside = [inner.covers(Point(a, b)) for a, b in zip(x.ravel(), y.ravel(), strict=True)]
    assert found.works.ravel().tolist() == inside
    assert np.nanmax(found.share) <= 1.0


def test_flat_ground_leaves_all_that_level_ground_leaves(make_land):
    land = make_land(lambda x, y: 0 * x + 5.0)
    rose = rose_at(land.model, 0.7, 0.3, lattice=land.lattice)
    assert rose.share == pytest.approx(np.ones(72), abs=2e-3)
    assert set(rose.cause[rose.share < 1.0]) <= {
        Cause.WIRE_SLACK,
        Cause.LAYDOWN,
        Cause.WIRE_ANGLE,
        Cause.GIN_TIP,
        Cause.PULL,
        Cause.LANE_SLOPE,
        Cause.WIRE_TIGHT,
    }
