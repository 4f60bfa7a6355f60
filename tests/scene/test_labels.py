import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from visual.scene.boxes import crossings, overlap
from visual.scene.label_places import Wish
from visual.scene.labels import Busy, ink_of, lay_out

FRAME = (0.0, 0.0, 500.0, 300.0)

place = st.tuples(st.floats(5, 495), st.floats(5, 295))
size = st.tuples(st.floats(10, 120), st.floats(8, 30))


@st.composite
def wish_lists(draw):
    rows = draw(st.lists(st.tuples(place, size, st.floats(0, 9)), min_size=1, max_size=14))
    turns = draw(st.lists(st.none() | st.floats(-1.5, 1.5), min_size=len(rows), max_size=len(rows)))
    return [
        Wish(
            key=k, at=np.array(at), size=wh, priority=p, turn=turn, slide=30.0, or_beside=k % 2 == 0
        )
        for k, ((at, wh, p), turn) in enumerate(zip(rows, turns, strict=True))
    ]


@given(wishes=wish_lists())
def test_labels_never_overlap_and_stay_in_the_frame(wishes):
    layout = lay_out(wishes, frame=FRAME)
    boxes = [Polygon(p.box) for p in layout.places]
    assert all(a.intersection(b).area < 1e-6 for a, b in combinations(boxes, 2))
    frame = Polygon([(0, 0), (500, 0), (500, 300), (0, 300)]).buffer(1e-6)
    assert all(frame.contains(box) for box in boxes)
    assert len(layout.places) + layout.left_out == len(wishes)


@given(wishes=wish_lists())
def test_no_leader_runs_under_another_label(wishes):
    places = lay_out(wishes, frame=FRAME).places
    for one in places:
        if one.leader is None:
            continue
        outer = LineString(one.leader + np.array([[0.4], [0.0]]) * (one.leader[1] - one.leader[0]))
        assert not any(
            outer.intersection(Polygon(other.box)).length > 1e-6
            for other in places
            if other is not one
        )


def test_labels_keep_off_what_is_taken():
    mark = np.array([[240, 140], [260, 140], [260, 160], [240, 160]], float)
    wish = Wish(key=0, at=np.array([250.0, 150.0]), size=(60, 20), clear=12.0)
    (found,) = lay_out([wish], frame=FRAME, taken=[mark]).places
    assert Polygon(found.box).intersection(Polygon(mark)).area == 0


def test_the_more_important_label_wins_and_the_other_is_counted():
    narrow = (0.0, 0.0, 70.0, 30.0)
    wishes = [Wish(key=k, at=np.array([2.0, 15.0]), size=(60, 20), priority=k) for k in range(3)]
    layout = lay_out(wishes, frame=narrow)
    assert [p.wish.key for p in layout.places] == [2]
    assert layout.left_out == 2


def test_of_alternatives_one_is_granted_and_none_is_missed():
    wishes = [
        Wish(key=k, at=np.array([100.0 * k, 150.0]), size=(40, 12), one_of="barn") for k in range(4)
    ]
    layout = lay_out(wishes, frame=FRAME)
    assert len(layout.places) == 1
    assert layout.left_out == 0


def test_calm_places_are_preferred():
    picture = np.full((300, 500, 3), 255, np.uint8)
    picture[:, 250:][:, ::2] = 0  # the right half is all edges
    wish = Wish(key=0, at=np.array([250.0, 150.0]), size=(60, 20))
    (found,) = lay_out([wish], frame=FRAME, busy=Busy(ink_of(picture))).places
    assert found.box[:, 0].max() <= 250


@given(a=st.tuples(place, size, st.floats(-3, 3)), b=st.tuples(place, size, st.floats(-3, 3)))
def test_overlap_agrees_with_shapely(a, b):
    one, other = (turned(*shape) for shape in (a, b))
    area = Polygon(one).intersection(Polygon(other)).area
    if area > 1e-6:
        assert overlap(one, other)
    elif Polygon(one).distance(Polygon(other)) > 1e-6:
        assert not overlap(one, other)


def turned(at, wh, turn):
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * np.array(wh) / 2
    c, s = math.cos(turn), math.sin(turn)
    return corners @ np.array([[c, s], [-s, c]]) + at


def test_a_turned_label_follows_its_direction():
    wish = Wish(key=0, at=np.array([250.0, 150.0]), size=(60, 20), turn=0.5)
    (found,) = lay_out([wish], frame=FRAME).places
    along = found.box[1] - found.box[0]
    assert math.atan2(along[1], along[0]) == pytest.approx(0.5)
    np.testing.assert_allclose(found.middle, [250, 150])


def test_a_turned_label_that_finds_no_room_along_its_line_is_told_to_stand_level():
    wish = Wish(key=0, at=np.array([250.0, 150.0]), size=(60, 20), turn=0.5, or_beside=True)
    (found,) = lay_out([wish], frame=FRAME).places
    assert found.turn == pytest.approx(0.5)
    taken = np.array([[245, 145], [255, 145], [255, 155], [245, 155]], float)
    (found,) = lay_out([wish], frame=FRAME, taken=[taken]).places
    assert found.turn == 0.0


def test_a_box_that_would_stick_out_is_moved_into_the_frame():
    wish = Wish(key=0, at=np.array([30.0, 150.0]), size=(200, 20))
    right = np.array([[35, 100], [240, 100], [240, 200], [35, 200]], float)
    (found,) = lay_out([wish], frame=FRAME, taken=[right], reach=120.0).places
    assert found.box[:, 0].min() == pytest.approx(0.0)


def test_a_name_between_two_points_has_a_line_to_its_own():
    own, other = np.array([200.0, 150.0]), np.array([240.0, 150.0])
    wishes = [Wish(key=k, at=at, size=(20, 10)) for k, at in enumerate((own, other))]
    between = [[100, 100, 204, 200], [236, 100, 340, 200], [100, 0, 340, 142], [100, 158, 340, 300]]
    walls = [np.array([[a, b], [c, b], [c, d], [a, d]], float) for a, b, c, d in between]
    (tight,) = lay_out(wishes, frame=FRAME, taken=walls, reach=20.0).places
    assert tight.leader is not None
    (free,) = lay_out(wishes[:1], frame=FRAME, taken=walls, reach=20.0).places
    assert free.leader is None


@given(
    a=st.tuples(place, size, st.floats(-3, 3)),
    ends=st.lists(st.tuples(place, place), min_size=1, max_size=6),
)
def test_crossings_agree_with_shapely(a, ends):
    box = turned(*a)
    lines = [LineString(pair) for pair in ends]
    area = Polygon(box)
    deep = sum(line.intersection(area).length > 1e-6 for line in lines)
    touching = sum(line.distance(area) < 1e-6 for line in lines)
    assert deep <= crossings(box[None], np.array(ends, float))[0] <= touching


def test_text_keeps_off_a_line_that_costs():
    line = np.array([[[250.0, 0.0], [250.0, 300.0]], [[300.0, 0.0], [300.0, 300.0]]])
    wish = Wish(key=0, at=np.array([250.0, 150.0]), size=(60, 20))
    (found,) = lay_out([wish], frame=FRAME, lines=[(line, 40.0)]).places
    assert crossings(found.box[None], line)[0] == 0


def test_a_name_does_not_stand_at_another_thing():
    """The nearest free place of the left name is beside the right point: it goes elsewhere."""
    points = [np.array([200.0, 150.0]), np.array([221.0, 139.0])]
    wishes = [Wish(key=k, at=at, size=(50, 14)) for k, at in enumerate(points)]
    first = next(p for p in lay_out(wishes, frame=FRAME).places if p.wish.key == 0)
    low, high = first.box.min(axis=0), first.box.max(axis=0)
    own, other = (np.linalg.norm(at - np.clip(at, low, high)) for at in points)
    assert own <= other


def test_of_alternatives_the_one_with_the_best_place_is_taken():
    busy = np.array([[[100.0, y], [200.0, y]] for y in range(100, 200, 5)])
    wishes = [
        Wish(key=0, at=np.array([150.0, 150.0]), size=(40, 12), one_of="mast", priority=5.0),
        Wish(key=1, at=np.array([400.0, 150.0]), size=(40, 12), one_of="mast", priority=4.9),
    ]
    (found,) = lay_out(wishes, frame=FRAME, lines=[(busy, 40.0)], reach=30.0).places
    assert found.wish.key == 1
