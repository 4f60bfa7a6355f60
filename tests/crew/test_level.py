"""Level hints: what they offer fits, and nothing smaller does."""

import math
from dataclasses import replace

import numpy as np
import pytest

from visual.crew.level import level_hints
from visual.crew.moved import with_anchor_at, with_eye, with_front
from visual.crew.side_margin import side_margin
from visual.crew.stake_text import level_hint_lines
from visual.raising import find_start
from visual.raising.analysis import raise_angles

# Hinge and eyes 0.5 m above the ground: on level ground the side wires never change.
LEVEL = {"mast": {"hinge_height": 0.5}, "anchors": {"eye_height": 0.5}}


def start_of(model):
    limits = model.site.limits
    return find_start(
        model, trestle=limits.trestle.value, head_clearance=limits.head_clearance.value
    )


def hints_of(model):
    return level_hints(model, start_of(model))


def side_of(hints, side):
    return next(one for one in hints.sides if one.side == side)


def test_level_ground_needs_nothing(make_model):
    hints = hints_of(make_model(changes=LEVEL))
    assert hints.fits
    assert hints.front.nearest == pytest.approx(0.0)
    assert hints.front.fitting == ((0.0, math.radians(359.0)),)
    for side in hints.sides:
        assert side.moves == ()
        assert side.height == pytest.approx(0.0, abs=1e-9)


def cross_slope(x, y):
    return 100.0 + 0.05 * x  # rises to the right: right anchor 0.4 m too high, left 0.4 m too low


def test_every_move_fits_and_none_shorter_does(make_model):
    model = make_model(cross_slope, LEVEL)
    angles = raise_angles(start_of(model).angle)
    hints = hints_of(model)
    assert not hints.fits
    for side in hints.sides:
        for move in side.moves:
            there = with_eye(model, side.side, move.place)
            assert side_margin(there, side.side, angles) >= 0
            shorter = model.anchors[side.side].eye + 0.98 * (
                move.place - model.anchors[side.side].eye
            )
            if move.way == "eye height":
                assert side_margin(with_eye(model, side.side, shorter), side.side, angles) < 0
    ways = {move.way: move for move in side_of(hints, "right").moves}
    assert ways["eye height"].amount < 0
    assert ways["eye height"].amount > -0.4  # the limit leaves some room
    ways = {move.way: move for move in side_of(hints, "left").moves}
    assert ways["eye height"].amount > 0


def test_mirrored_ground_gives_mirrored_hints(make_model):
    one = side_of(hints_of(make_model(cross_slope, LEVEL)), "right")
    other = side_of(hints_of(make_model(lambda x, y: 100.0 - 0.05 * x, LEVEL)), "left")
    assert one.tightest == pytest.approx(other.tightest)
    assert [m.way for m in one.moves] == [m.way for m in other.moves]
    for mine, theirs in zip(one.moves, other.moves, strict=True):
        if mine.way == "along the contour":
            assert mine.amount == pytest.approx(-theirs.amount, abs=0.002)
        else:
            assert mine.amount == pytest.approx(theirs.amount, abs=0.002)


def bump(x, y):
    # the right anchor stands on a bank that ends 1.4 m nearer the base
    return 100.0 + np.clip((x - 6.0) / 4.0, 0.0, 1.0) * 0.8


def test_move_in_from_a_bank(make_model):
    model = make_model(bump, LEVEL, spacing=2.0)
    right = side_of(hints_of(model), "right")
    move = next(m for m in right.moves if m.way == "along its bearing")
    assert -2.0 < move.amount < -1.0
    assert side_of(hints_of(model), "left").fits


def test_contour_trades_tight_for_slack(make_model):
    # eye z above the hinge line; f behind it by z: change at level ground 2c(f + z) = 0
    model = make_model(changes=LEVEL)
    high = with_anchor_at(model, "right", 8.0, 0.0, eye_height=0.65)
    right = side_of(level_hints(high, start_of(high)), "right")
    move = next(m for m in right.moves if m.way == "along the contour")
    forward = move.place @ model.forward
    assert move.amount > 0  # clockwise of the right anchor is the back
    assert -0.15 < forward < -0.05
    assert move.place[2] == pytest.approx(high.anchors["right"].eye[2])


def test_front_turns_down_a_slope(make_model):
    model = make_model(cross_slope, LEVEL)
    front = hints_of(model).front
    assert front.nearest is not None
    turned = math.degrees(front.nearest)
    # level sides stand along the contour: front to the east or the west, or a little short of it
    assert min(abs(turned - 90), abs(turned - 270)) < 12
    there = with_front(model, front.nearest)
    angles = raise_angles(start_of(there).angle)
    assert all(side_margin(there, side, angles) >= 0 for side in ("left", "right"))
    assert len(front.fitting) == 2
    first, last = front.fitting[0]
    assert math.degrees(first) + math.degrees(last) == pytest.approx(180.0, abs=1.5)


def test_ground_that_fits_nowhere_names_the_least_bad_front(make_model):
    cone = make_model(lambda x, y: 100.0 - 0.2 * np.hypot(x, y), LEVEL, spacing=2.0)
    hints = hints_of(cone)
    assert hints.front.nearest is None
    assert hints.front.best_margin < 0
    assert "No front levels both sides" in " ".join(level_hint_lines(hints, units="metric"))


def test_front_is_settled_once_a_side_anchor_is_in(make_model):
    left = {"position": [-8.0, 0.0], "height": 100.9}
    hints = hints_of(make_model(changes={**LEVEL, "anchors": {"eye_height": 0.5, "left": left}}))
    assert hints.front is None
    assert not side_of(hints, "left").fits


def test_turning_the_whole_site_turns_the_answer_with_it(make_model):
    changes = {**LEVEL, "mast": {"hinge_height": 0.5, "front": 90.0}}
    turned = make_model(lambda x, y: 100.0 - 0.05 * y, changes)  # right is south now
    plain = side_of(hints_of(make_model(cross_slope, LEVEL)), "right")
    again = side_of(hints_of(turned), "right")
    assert again.height == pytest.approx(plain.height)
    assert again.tightest == pytest.approx(plain.tightest)
    assert [m.amount for m in again.moves] == pytest.approx([m.amount for m in plain.moves])


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_lines_fit_the_page_and_hold_no_minus_zero(make_model, units):
    for ground in (cross_slope, bump):
        hints = hints_of(make_model(ground, LEVEL))
        lines = level_hint_lines(hints, units=units)
        assert max(map(len, lines)) <= 100
        assert not any("-0 " in line for line in lines)
        assert replace(hints, front=None).front is None
