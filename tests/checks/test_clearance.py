import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from visual.checks.clearance import (
    ANGLE_TOLERANCE,
    TOLERANCE,
    MovingPart,
    certified_minima,
    certified_minimum,
    first_below,
)
from visual.checks.distance import to_triangles
from visual.checks.shapes import Shape, building_shape
from visual.model.placed import PlacedBuilding

UPRIGHT = math.pi / 2
ARC = {"start": 0.0, "end": UPRIGHT}
MILLIMETRE = 1e-3


def mast_direction(angles, front=(0.0, 1.0)):
    level = -np.cos(angles)
    return np.stack([level * front[0], level * front[1], np.sin(angles)], axis=1)


def mast(length=18.0, *, radius=0.0, front=(0.0, 1.0), hinge=(0.0, 0.0, 0.0), speed=None):
    def ends(angles):
        top = hinge + length * mast_direction(angles, front)
        return np.stack([np.broadcast_to(hinge, top.shape), top], axis=1)

    speed = (0.0, length) if speed is None else speed
    return MovingPart("mast", radius, speed, ends)


def ball(length=18.0, *, radius=0.0):
    def ends(angles):
        return np.repeat(length * mast_direction(angles)[:, None], 2, axis=1)

    return MovingPart("rotor", radius, length, ends)


def side_wire(eye, height=17.4):
    def ends(angles):
        collar = height * mast_direction(angles)
        return np.stack([np.broadcast_to(eye, collar.shape), collar], axis=1)

    return MovingPart("wire", 0.0, (0.0, height), ends)


def point(*place, radius=0.0):
    return Shape("point", "tree", segments=np.array([[place, place]], dtype=float), radius=radius)


def rope(first, second):
    return Shape("rope", "overhead_line", segments=np.array([[first, second]], dtype=float))


def wall(y, *, half=200.0):
    corners = np.array([[-half, y, -half], [half, y, -half], [half, y, half], [-half, y, half]])
    return Shape("wall", "building", corners[[[0, 1, 2], [0, 2, 3]]])


def house(xmin, ymin, xmax, ymax, *, base=-1.0, top=6.0):
    return building_shape(PlacedBuilding("house", box(xmin, ymin, xmax, ymax), base, top))


def cloud(seed, count=12):
    random = np.random.default_rng(seed)
    middle = random.uniform([-25, -25, -13], [25, 25, 37], size=(count, 1, 3))
    return Shape("cloud", "ground", middle + random.normal(size=(count, 3, 3)) * 3)


def assert_closest(found, distance, angle=None):
    assert found.distance - found.lower_bound <= MILLIMETRE
    assert found.lower_bound <= distance + 1e-9
    assert found.distance == pytest.approx(distance, abs=TOLERANCE)
    if angle is not None:
        assert found.angle == pytest.approx(angle, abs=0.02)


def test_mast_laid_before_a_wall_is_nearest_at_the_start():
    found = certified_minimum(mast(), wall(-20.0), **ARC)
    assert_closest(found, 2.0)
    assert found.angle == 0.0
    assert found.at_part == pytest.approx([0, -18, 0])
    assert found.at_obstacle == pytest.approx([0, -20, 0])


def test_mast_in_front_of_a_wall_is_nearest_upright():
    found = certified_minimum(ball(), wall(4.0), **ARC)
    assert_closest(found, 4.0)
    assert found.angle == UPRIGHT


@pytest.mark.parametrize("degrees", [0.0, 0.7, 37.123, 88.8, 90.0])
@pytest.mark.parametrize("gap", [0.0, 0.004, 1.0])
def test_mast_passes_a_point_beside_its_plane(degrees, gap):
    angle = math.radians(degrees)
    place = 11.0 * mast_direction(np.array([angle]))[0] + [gap, 0, 0]
    assert_closest(certified_minimum(mast(), point(*place), **ARC), gap, angle)


@pytest.mark.parametrize("gap", [0.02, 0.5, 8.0])
@pytest.mark.parametrize("degrees", np.linspace(1.3, 88.9, 15))
def test_tip_passes_under_a_point_at_any_angle(degrees, gap):
    angle = math.radians(degrees)
    place = (18.0 + gap) * mast_direction(np.array([angle]))[0]
    assert_closest(certified_minimum(ball(), point(*place), **ARC), gap, angle)


def test_mast_passes_under_a_rope_along_the_hinge_axis():
    angle = math.radians(50.0)
    y, z = 19.5 * mast_direction(np.array([angle]))[0, 1:]
    found = certified_minimum(mast(), rope([-40, y, z], [60, y, z]), **ARC)
    assert_closest(found, 1.5, angle)


def test_distance_that_never_changes_is_found():
    beside = Shape("wall", "building", wall(7.0).triangles[:, :, [1, 0, 2]])
    assert_closest(certified_minimum(mast(), beside, **ARC), 7.0)
    assert_closest(certified_minimum(mast(), point(0, 0.0, -0.5), **ARC), 0.5)
    assert_closest(certified_minimum(mast(speed=18.0), point(0, 0.0, -0.5), **ARC), 0.5)


def test_radii_count_on_both_sides_and_never_below_touching():
    found = certified_minimum(ball(radius=1.8), point(0, 0, 22.0, radius=0.7), **ARC)
    assert_closest(found, 4.0 - 2.5, UPRIGHT)
    touching = certified_minimum(ball(radius=3.5), point(0, 0, 22.0, radius=0.7), **ARC)
    assert (touching.distance, touching.lower_bound) == (0.0, 0.0)


def test_mast_that_goes_through_a_roof_has_no_clearance():
    found = certified_minimum(mast(), house(-3, -15, 5, -9, top=2.0), **ARC)
    assert (found.distance, found.lower_bound) == (0.0, 0.0)


def test_mast_wholly_inside_of_a_hall_has_no_clearance():
    found = certified_minimum(mast(), house(-50, -50, 50, 50, base=-40, top=70), **ARC)
    assert (found.distance, found.lower_bound) == (0.0, 0.0)
    assert (found.at_part == found.at_obstacle).all()


def test_nothing_there_is_infinitely_far():
    found = certified_minimum(mast(), Shape("none", "ground"), **ARC)
    assert found.distance == found.lower_bound == math.inf
    assert math.isnan(found.angle)
    assert certified_minima(mast(), [], **ARC) == ()


def test_one_angle_is_a_range_too():
    found = certified_minimum(mast(), point(0, 3.0, 12.0), start=UPRIGHT, end=UPRIGHT)
    assert_closest(found, 3.0, UPRIGHT)


@pytest.mark.parametrize(
    "part",
    [mast(), mast(speed=18.0), mast(speed=25.0), ball(radius=1.8), side_wire([9.0, 1.0, -2.0])],
    ids=["mast", "one speed", "loose speed", "ball", "wire"],
)
@pytest.mark.parametrize("seed", range(4))
def test_closely_spaced_angles_never_find_less(part, seed):
    shape = cloud(seed)
    angles = np.linspace(0.0, UPRIGHT, 4001)
    every = to_triangles(part.ends(angles), shape.triangles).distance - part.radius
    found = certified_minimum(part, shape, **ARC)
    assert found.distance - found.lower_bound <= MILLIMETRE
    assert found.lower_bound <= max(every.min(), 0.0) + 1e-9
    assert found.distance <= max(every.min(), 0.0) + MILLIMETRE


corner = st.tuples(st.floats(-25, 25), st.floats(-25, 25), st.floats(-3, 25))
triangle = st.tuples(corner, corner, corner)


@settings(max_examples=40, deadline=None)
@given(
    triangles=st.lists(triangle, min_size=1, max_size=4),
    start=st.floats(-0.2, 0.5),
    width=st.floats(0, 1.2),
    share=st.floats(0, 1),
)
def test_finer_subdivision_never_finds_less(triangles, start, width, share):
    shape = Shape("faces", "ground", np.array(triangles))
    found = certified_minimum(mast(), shape, start=start, end=start + width)
    here = share * width
    finer = np.clip(start + here + np.linspace(-1e-3, 1e-3, 201), start, start + width)
    every = to_triangles(mast().ends(finer), shape.triangles).distance
    again = certified_minimum(mast(), shape, start=start + here, end=start + width)
    assert every.min() >= found.lower_bound - 1e-9
    assert every.min() >= found.distance - MILLIMETRE
    assert again.distance >= found.lower_bound - 1e-9


@settings(max_examples=15, deadline=None)
@given(
    seed=st.integers(0, 1000),
    turn=st.floats(0, 6.2),
    shift=st.tuples(st.floats(-500, 500), st.floats(-500, 500), st.floats(-50, 50)),
    mirrored=st.booleans(),
)
def test_turning_shifting_and_mirroring_the_site_changes_nothing(seed, turn, shift, mirrored):
    shape = cloud(seed, count=5)
    here = certified_minimum(mast(), shape, **ARC)
    c, s = math.cos(turn), math.sin(turn)
    turning = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]) @ np.diag([-1 if mirrored else 1, 1, 1])
    moved = Shape("cloud", "ground", shape.triangles @ turning.T + shift)
    there = certified_minimum(mast(front=(s, c), hinge=shift), moved, **ARC)
    assert there.distance == pytest.approx(here.distance, abs=MILLIMETRE)


def test_many_obstacles_at_once_give_the_same_as_one_by_one():
    shapes = [cloud(1), house(10, 10, 20, 20), rope([-9, 9, 9], [9, 9, 9]), Shape("none", "x")]
    together = certified_minima(mast(radius=0.06), shapes, **ARC)
    for shape, found in zip(shapes, together, strict=True):
        alone = certified_minimum(mast(radius=0.06), shape, **ARC)
        if math.isfinite(alone.distance):
            assert_closest(found, alone.distance)
        else:
            assert found.distance == math.inf


def test_speed_bound_that_is_too_low_is_refused():
    with pytest.raises(ValueError, match=r"mast moves faster than its bound .* near \d+"):
        certified_minimum(mast(speed=(0.0, 17.0)), wall(-20.0), **ARC)


def test_places_that_are_unknown_are_refused():
    lost = MovingPart("tow line", 0.0, 1.0, lambda a: np.full((len(a), 2, 3), np.nan))
    with pytest.raises(ValueError, match="tow line: its ends must be finite"):
        certified_minimum(lost, wall(-20.0), **ARC)


def test_range_the_wrong_way_round_is_refused():
    with pytest.raises(ValueError, match="before it starts"):
        certified_minimum(mast(), wall(-20.0), start=1.0, end=0.5)


@pytest.mark.parametrize("requirement", [0.5, 3.0, 4.7])
def test_first_angle_below_a_requirement(requirement):
    # A wall in front at y = 5: the tip is at −18 cos θ, so 5 + 18 cos θ = requirement past 90°.
    expected = math.acos((requirement - 5.0) / 18.0)
    found = first_below(ball(), wall(5.0), requirement=requirement, start=0.0, end=3.0)
    assert found == pytest.approx(expected, abs=ANGLE_TOLERANCE)
    assert found <= expected + 1e-9


def test_requirement_that_holds_everywhere_is_not_undercut():
    assert first_below(ball(), wall(5.0), requirement=4.999, **ARC) is None
    loose = mast(speed=25.0)
    assert first_below(loose, point(0, 0, -0.5), requirement=0.499, **ARC) is None
    assert first_below(ball(), wall(5.0), requirement=0.0, start=0.0, end=3.0) is None
    assert first_below(ball(), Shape("none", "ground"), requirement=9.0, **ARC) is None


def test_requirement_undercut_from_the_start_gives_the_start():
    assert first_below(mast(), wall(-20.0), requirement=2.5, start=0.1, end=1.0) == 0.1
    hall = house(-50, -50, 50, 50, base=-40, top=70)
    assert first_below(mast(), hall, requirement=1.0, start=0.1, end=1.0) == 0.1


def test_requirement_undercut_at_the_start_only_among_many_pieces():
    ground = [one.triangles for one in map(level_square, range(-40, 40))]
    shape = Shape("ground", "ground", np.concatenate(ground))
    assert first_below(ball(), shape, requirement=1.0 + 1e-7, start=0.0, end=1.0) == 0.0


def level_square(y):
    corners = np.array([[-9.0, y, -1], [9, y, -1], [9, y + 1, -1], [-9, y + 1, -1]])
    return Shape("square", "ground", corners[[[0, 1, 2], [0, 2, 3]]])


def test_requirement_undercut_only_at_the_end_gives_the_end():
    found = first_below(ball(), wall(5.0), requirement=5.0 + 1e-6, **ARC)
    assert found == pytest.approx(UPRIGHT, abs=ANGLE_TOLERANCE)


@pytest.mark.parametrize("seed", range(6))
def test_nothing_is_below_before_the_first_angle_and_something_just_after(seed):
    part, shape, requirement = mast(), cloud(seed, count=20), 1.0
    angles = np.linspace(0.0, UPRIGHT, 8001)
    every = to_triangles(part.ends(angles), shape.triangles).distance
    found = first_below(part, shape, requirement=requirement, **ARC)
    if found is None:
        assert every.min() >= requirement
        return
    assert (every[angles < found] >= requirement).all()
    after = np.linspace(found, found + ANGLE_TOLERANCE, 20)
    nearest = to_triangles(part.ends(after), shape.triangles).distance.min()
    assert nearest < requirement + TOLERANCE
