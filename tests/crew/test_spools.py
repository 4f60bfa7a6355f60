"""Spool plans against plans found by trying everything."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.crew import spools
from visual.crew.spools import Piece, Spool, parse_spool, plan_spools
from visual.errors import InputError


def pieces(*lengths):
    return [Piece(f"wire {number}", length) for number, length in enumerate(lengths, 1)]


def partitions(items):
    """Yield every way to put items into groups."""
    if not items:
        yield []
        return
    first, rest = items[0], items[1:]
    for groups in partitions(rest):
        yield [[first], *groups]
        for k in range(len(groups)):
            yield [*groups[:k], [first, *groups[k]], *groups[k + 1 :]]


def least_by_trying(lengths, sizes):
    """Return the least wire opened, each size to be had as often as needed."""
    best = float("inf")
    for groups in partitions(list(lengths)):
        opened = 0.0
        for group in groups:
            fitting = [size for size in sizes if size >= sum(group) - 1e-9]
            opened += min(fitting, default=float("inf"))
        best = min(best, opened)
    return best


LENGTHS = st.lists(st.integers(1, 40), min_size=1, max_size=6)
SIZES = st.lists(st.integers(40, 100), min_size=1, max_size=3, unique=True)


@given(LENGTHS, SIZES)
def test_plan_is_as_good_as_trying_everything(lengths, sizes):
    plan = plan_spools("guy", pieces(*lengths), [Spool(float(size)) for size in sizes])
    assert plan.exact
    assert plan.opened == pytest.approx(least_by_trying(lengths, sizes))
    cut = sorted(p.length for spool in plan.spools for p in spool.pieces)
    assert cut == sorted(lengths)
    assert all(spool.left >= -1e-9 for spool in plan.spools)
    assert plan.left == pytest.approx(plan.opened - sum(lengths))


def test_plan_without_any_waste_is_found():
    # 44 + 8 + 8 = 24 + 24 + 6 + 6 = 22 + 21 + 17 = 60
    plan = plan_spools("guy", pieces(44, 24, 24, 22, 21, 17, 8, 8, 6, 6), [Spool(60.0)])
    assert plan.exact
    assert (len(plan.spools), plan.left) == (3, 0.0)


def test_fewer_spools_for_the_same_wire():
    plan = plan_spools("guy", pieces(10, 10), [Spool(10.0), Spool(20.0)])
    assert [spool.length for spool in plan.spools] == [20.0]


def test_counted_spools_are_not_used_twice():
    plan = plan_spools("guy", pieces(30, 30, 30), [Spool(60.0, count=1), Spool(40.0)])
    assert sorted(spool.length for spool in plan.spools) == [40.0, 60.0]
    with pytest.raises(InputError, match="no way was found"):
        plan_spools("guy", pieces(30, 30, 30), [Spool(60.0, count=1)])


def test_piece_longer_than_any_spool_is_named():
    with pytest.raises(InputError, match=r"wire 2 is one piece of 70\.00 m"):
        plan_spools("guy", pieces(10, 70), [Spool(60.0)])


def test_spools_of_another_wire_are_left_alone():
    stock = [Spool(60.0, wire="guy"), Spool(50.0, wire="rope")]
    assert plan_spools("guy", pieces(10), stock).opened == 60.0


def test_sixteen_equal_sets_are_settled_quickly():
    plan = plan_spools("guy", pieces(*[21.3, 20.1, 15.2, 14.4] * 4), [Spool(100.0), Spool(150.0)])
    assert plan.opened == 300.0
    assert plan.exact


def test_search_that_is_given_up_says_so(monkeypatch):
    monkeypatch.setattr(spools, "MOST_STEPS", 12)
    lengths = [7.1, 6.9, 6.3, 5.8, 5.1, 4.4, 3.7, 2.9]
    plan = plan_spools("guy", pieces(*lengths), [Spool(11.0), Spool(13.7)])
    assert not plan.exact
    assert sum(len(spool.pieces) for spool in plan.spools) == len(lengths)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("100 m", Spool(100.0)),
        ("100", Spool(100.0)),
        ("2 x 60 m", Spool(60.0, count=2)),
        ("3×50 m", Spool(50.0, count=3)),
        ("guy = 2x 500 ft", Spool(152.4, count=2, wire="guy")),
    ],
)
def test_spool_is_read(text, expected):
    assert parse_spool(text) == expected


@pytest.mark.parametrize("text", ["", "100 kg", "0 x 60 m", "x", "guy=", "-5 m"])
def test_what_is_no_spool_is_refused(text):
    with pytest.raises(InputError, match="--spool"):
        parse_spool(text)


def test_every_plan_is_listed_once():
    found = [sorted(map(len, groups)) for groups in partitions([1, 2, 3])]
    assert len(found) == 5  # Bell number: the check of the check
    assert list(itertools.chain(*found)).count(3) == 1
