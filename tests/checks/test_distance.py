import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.spatial.transform import Rotation
from shapely import LineString

from visual.checks import distance
from visual.checks.distance import segment_pairs, to_segments, to_triangles, triangle_pairs

COORDINATE = st.one_of(
    st.floats(-50, 50).map(lambda metres: round(metres, 6)), st.integers(-3, 3).map(float)
)
ROUND_OFF = 1e-7  # [m] hypothesis likes needles: nearly parallel, nearly of no length


def segments(count=1):
    return arrays(np.float64, (count, 2, 3), elements=COORDINATE)


def triangles(count=1):
    return arrays(np.float64, (count, 3, 3), elements=COORDINATE)


def turned(corners, rotation, shift):
    return rotation.apply(corners.reshape(-1, 3)).reshape(corners.shape) + shift


@given(first=segments(), second=segments())
def test_planar_segments_agree_with_shapely(first, second):
    first[..., 2] = second[..., 2] = 0.0
    expected = LineString(first[0]).distance(LineString(second[0]))
    assert segment_pairs(first, second).distance[0] == pytest.approx(expected, abs=ROUND_OFF)


@given(first=segments(), second=segments())
def test_no_pair_of_sampled_points_is_nearer(first, second):
    share = np.linspace(0, 1, 41)[:, None]
    one = first[0, 0] + share * (first[0, 1] - first[0, 0])
    two = second[0, 0] + share * (second[0, 1] - second[0, 0])
    sampled = np.linalg.norm(one[:, None] - two, axis=2).min()
    spacing = np.linalg.norm(first[0, 1] - first[0, 0]) + np.linalg.norm(
        second[0, 1] - second[0, 0]
    )
    found = segment_pairs(first, second).distance[0]
    assert found <= sampled + ROUND_OFF
    assert found >= sampled - spacing / 40 - ROUND_OFF


@given(first=segments(), second=segments())
def test_swapping_the_segments_swaps_the_points(first, second):
    there, back = segment_pairs(first, second), segment_pairs(second, first)
    assert there.distance == pytest.approx(back.distance, abs=ROUND_OFF)
    gap = np.linalg.norm(back.at_first - back.at_second, axis=1)
    assert gap == pytest.approx(there.distance, abs=ROUND_OFF)


@given(segment=segments(), triangle=triangles())
def test_nearest_points_lie_on_the_bodies_and_are_as_far_apart_as_said(segment, triangle):
    found = triangle_pairs(segment, triangle)
    point = found.at_first[:, None].repeat(2, axis=1)
    foot = found.at_second[:, None].repeat(2, axis=1)
    assert segment_pairs(point, segment).distance[0] < ROUND_OFF
    assert triangle_pairs(foot, triangle).distance[0] < ROUND_OFF
    gap = np.linalg.norm(found.at_first - found.at_second)
    assert gap == pytest.approx(found.distance[0], abs=ROUND_OFF)


@given(
    segment=segments(),
    triangle=triangles(),
    turn=arrays(np.float64, 3, elements=st.floats(-3, 3)),
    shift=arrays(np.float64, 3, elements=st.floats(-100, 100)),
)
def test_turning_and_shifting_both_changes_nothing(segment, triangle, turn, shift):
    rotation = Rotation.from_rotvec(turn)
    moved = triangle_pairs(turned(segment, rotation, shift), turned(triangle, rotation, shift))
    here = triangle_pairs(segment, triangle)
    assert moved.distance == pytest.approx(here.distance, abs=1e-6)


@given(segment=segments(), triangle=triangles(), order=st.permutations([0, 1, 2]))
def test_order_of_corners_and_ends_does_not_matter(segment, triangle, order):
    there = triangle_pairs(segment, triangle).distance
    back = triangle_pairs(segment[:, ::-1], triangle[:, order]).distance
    assert there == pytest.approx(back, abs=1e-6)


TRIANGLE = np.array([[[0.0, 0, 0], [4, 0, 0], [0, 4, 0]]])


@pytest.mark.parametrize(
    ("ends", "expected"),
    [
        pytest.param([[1, 1, -2], [1, 1, 3]], 0.0, id="pierces"),
        pytest.param([[1, 1, 0], [1, 1, 3]], 0.0, id="ends on the face"),
        pytest.param([[0.5, 0.5, 0], [1, 1, 0]], 0.0, id="lies in the face"),
        pytest.param([[-1, 1, 0], [9, 1, 0]], 0.0, id="crosses within the plane"),
        pytest.param([[0, 0, -1], [0, 0, 1]], 0.0, id="through a corner"),
        pytest.param([[2, 2, -1], [2, 2, 1]], 0.0, id="through an edge"),
        pytest.param([[1, 1, 2], [1, 1, 5]], 2.0, id="above the face"),
        pytest.param([[1, 1, 2], [1.5, 1, 2]], 2.0, id="parallel to the face"),
        pytest.param([[-3, 1, 4], [-3, 2, 4]], 5.0, id="off an edge"),
        pytest.param([[-3, -4, -9], [-3, -4, 9]], 5.0, id="off a corner"),
        pytest.param([[1, 1, -3], [1, 1, -3]], 3.0, id="a point"),
    ],
)
def test_segment_to_triangle_by_hand(ends, expected):
    found = triangle_pairs(np.array([ends], dtype=float), TRIANGLE)
    if expected == 0.0:
        assert found.distance[0] == 0.0
    assert found.distance[0] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        pytest.param([[0, 0, 0]] * 2, [[3, 4, 0]] * 2, 5.0, id="two points"),
        pytest.param([[1, 2, 0]] * 2, [[0, 0, 0], [9, 0, 0]], 2.0, id="point and segment"),
        pytest.param([[0, 0, 0], [9, 0, 0]], [[2, 1, 0], [5, 1, 0]], 1.0, id="side by side"),
        pytest.param([[0, 0, 0], [1, 0, 0]], [[4, 4, 0], [9, 4, 0]], 5.0, id="parallel, apart"),
        pytest.param([[0, 0, 0], [1, 0, 0]], [[3, 0, 0], [4, 0, 0]], 2.0, id="in one line"),
        pytest.param([[0, 0, 0], [3, 0, 0]], [[2, 0, 0], [4, 0, 0]], 0.0, id="overlap"),
        pytest.param([[-1, 0, 0], [1, 0, 0]], [[0, -1, 2], [0, 1, 2]], 2.0, id="cross above"),
        pytest.param([[-1, 0, 0], [1, 0, 0]], [[0, -1, 0], [0, 1, 0]], 0.0, id="cross"),
        pytest.param([[0, 0, 0], [18, 0, 0]], [[0, 1, 0], [18, 1 + 1e-9, 0]], 1.0, id="hair off"),
    ],
)
def test_segments_by_hand(first, second, expected):
    one, two = np.array([first], dtype=float), np.array([second], dtype=float)
    assert segment_pairs(one, two).distance[0] == pytest.approx(expected, abs=1e-12)
    assert triangle_pairs(one, two[:, [0, 1, 1]]).distance[0] == pytest.approx(expected, abs=1e-12)


@given(segment=segments(), base=segments(), share=st.floats(-1, 2))
def test_triangle_without_area_is_its_longest_edge(segment, base, share):
    third = base[:, 0] + share * (base[:, 1] - base[:, 0])
    triangle = np.concatenate([base, third[:, None]], axis=1)
    edges = triangle[0][[[0, 1], [1, 2], [2, 0]]]
    expected = to_segments(segment, edges).distance
    assert triangle_pairs(segment, triangle).distance == pytest.approx(expected, abs=1e-6)


def volume(a, b, c, d):
    return np.einsum("ni,ni->n", np.cross(b - a, c - a), d - a)


def test_distance_is_0_exactly_where_the_segment_passes_between_the_edges():
    random = np.random.default_rng(1)
    segment, triangle = random.normal(size=(4000, 2, 3)), random.normal(size=(4000, 3, 3))
    p, q, (a, b, c) = segment[:, 0], segment[:, 1], triangle.swapaxes(0, 1)
    sides = np.sign([volume(p, q, a, b), volume(p, q, b, c), volume(p, q, c, a)])
    passes = (np.ptp(sides, axis=0) == 0) & (volume(a, b, c, p) * volume(a, b, c, q) < 0)
    assert 100 < passes.sum() < 3900
    assert ((triangle_pairs(segment, triangle).distance == 0) == passes).all()


@pytest.mark.parametrize("chunk", [1, 7, 60, 8192])
def test_blocks_do_not_change_the_nearest(monkeypatch, chunk):
    monkeypatch.setattr(distance, "CHUNK", chunk)
    random = np.random.default_rng(2)
    poses = random.normal(size=(5, 2, 3))
    fixed = random.normal(size=(23, 3, 3)) * 4
    found = to_triangles(poses, fixed)
    lines = to_segments(poses, fixed[:, :2])
    for i, pose in enumerate(poses):
        each = triangle_pairs(np.tile(pose, (23, 1, 1)), fixed)
        nearest = np.argmin(each.distance)
        assert found.distance[i] == each.distance[nearest]
        assert found.at_second[i] == pytest.approx(each.at_second[nearest])
        alone = segment_pairs(np.tile(pose, (23, 1, 1)), fixed[:, :2]).distance
        assert lines.distance[i] == alone.min()


@given(segment=segments(7), triangle=triangles(7), few=st.sampled_from([0, 6, 7]))
def test_all_candidates_at_once_are_as_one_after_the_other(segment, triangle, few):
    known = triangle_pairs(segment, triangle)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(distance, "FEW", few)
        found = triangle_pairs(segment, triangle)
    assert (found.distance == known.distance).all()
    assert (found.at_first == known.at_first).all()
    assert (found.at_second == known.at_second).all()


def test_nothing_is_infinitely_far():
    found = to_triangles(np.zeros((3, 2, 3)), np.empty((0, 3, 3)))
    assert np.isposinf(found.distance).all()
    assert np.isnan(found.at_first).all()
    assert len(to_segments(np.empty((0, 2, 3)), np.zeros((4, 2, 3))).distance) == 0
