import math

import numpy as np
import pytest
import shapely
from scipy.optimize import brentq
from shapely import Point, Polygon

from visual.checks.distance import to_segments, to_triangles
from visual.checks.shapes import (
    CROWN_SIDES,
    CURVE_ERROR,
    UNKNOWN_SAG_SHARE,
    Missing,
    Shape,
    building_shape,
    ground_shape,
    line_shapes,
    tree_shape,
)
from visual.model.placed import PlacedBuilding, PlacedLine, PlacedTree

COURT = Polygon(
    [(0, 0), (12, 0), (12, 5), (20, 5), (20, 14), (0, 14)],  # concave, with a yard inside
    holes=[[(3, 6), (3, 10), (9, 10), (9, 6)]],
)
SUPPORTS = np.array([[-30.0, 40, 8], [35, 40, 11], [90, 55, 8]])


def court(**changes):
    return building_shape(
        PlacedBuilding(**{"name": "barn", "footprint": COURT, "base": -1.0, "top": 6.0} | changes)
    )


def line(**changes):
    known = {"name": "line", "supports": SUPPORTS, "support_feet": np.zeros(3)}
    return PlacedLine(**known | {"voltage_kv": 11.0, "sag": 1.5, "spread": 2.0} | changes)


def areas(triangles):
    normal = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    return np.linalg.norm(normal, axis=1) / 2


def is_closed(triangles):
    corners = np.round(triangles, 9)
    edges = [frozenset({tuple(t[i]), tuple(t[i - 1])}) for t in corners for i in range(3)]
    return all(edges.count(edge) == 2 for edge in set(edges))


def test_building_is_closed_and_has_walls_roof_and_floor():
    triangles = court().triangles
    assert is_closed(triangles)
    wall = COURT.exterior.length + COURT.interiors[0].length
    assert areas(triangles).sum() == pytest.approx(7.0 * wall + 2 * COURT.area)


def test_roof_covers_the_footprint_and_leaves_the_yard_open():
    triangles = court().triangles
    roof = triangles[(triangles[:, :, 2] == 6.0).all(axis=1)][:, :, :2]
    covered = shapely.union_all([Polygon(corners) for corners in roof])
    assert covered.symmetric_difference(COURT).area == pytest.approx(0, abs=1e-9)


def test_points_inside_of_a_building_agree_with_shapely():
    random = np.random.default_rng(3)
    points = random.uniform([-3, -3, -3], [23, 17, 9], size=(2000, 3))
    inside = [COURT.contains(Point(p)) and -1 <= p[2] <= 6 for p in points]
    assert court().contains(points).tolist() == inside


def test_open_shapes_contain_nothing():
    assert not ground_shape(np.zeros((1, 3, 3))).contains(np.zeros((4, 3))).any()


def test_outline_with_heights_of_its_own_stays_plane():
    lifted = shapely.force_3d(COURT, 99.0)
    assert (court(footprint=lifted).triangles == court().triangles).all()


def test_tree_holds_its_crown_and_hardly_more():
    shape = tree_shape(PlacedTree("oak", np.array([5.0, -2.0, 1.0]), height=9.0, crown_radius=3.0))
    angles = np.linspace(0, 2 * np.pi, 1001)
    rim = [5, -2, 0] + 3 * np.stack([np.cos(angles), np.sin(angles), 0 * angles], axis=1)
    rim[:, 2] = np.linspace(1.0, 10.0, 1001)
    to_rim = to_triangles(rim[:, None].repeat(2, axis=1), shape.triangles).distance
    assert is_closed(shape.triangles)
    assert (shape.contains(rim) | (to_rim < 1e-9)).all()
    reach = np.linalg.norm(shape.triangles[:, :, :2] - [5, -2], axis=2).max()
    assert reach == pytest.approx(3 / math.cos(math.pi / CROWN_SIDES))
    assert reach < 3 * 1.009


@pytest.mark.parametrize("sag", [0.0, 0.4, 1.5, 6.0])
def test_conductor_hangs_as_a_catenary(sag):
    (shape,) = line_shapes(line(supports=SUPPORTS[:2], sag=sag))
    span = SUPPORTS[:2]
    length, rise = np.linalg.norm((span[1] - span[0])[:2]), span[1, 2] - span[0, 2]
    share = np.linspace(0, 1, 2001)
    curve = span[0] + share[:, None] * (span[1] - span[0])
    if sag:
        curve[:, 2] = span[0, 2] + independent_catenary(length, rise, sag, share * length)
    away = to_segments(curve[:, None].repeat(2, axis=1), shape.segments).distance
    assert away.max() < CURVE_ERROR * 1.01
    assert shape.radius == 1.0
    assert (shape.segments[0, 0] == span[0]).all()
    assert (shape.segments[-1, 1] == span[1]).all()


def independent_catenary(span, rise, sag, x):
    """Height over the first support of the catenary with this sag below mid span."""

    def height(a, x):
        m = span / 2 - a * math.asinh(rise / (2 * a * math.sinh(span / (2 * a))))
        return a * (np.cosh((x - m) / a) - math.cosh(m / a))

    a = brentq(lambda a: rise / 2 - height(a, span / 2) - sag, span / 4, span * 500)
    return height(a, x)


def test_every_span_of_a_line_hangs():
    (shape,) = line_shapes(line())
    ends = shape.segments[1:, 0] != shape.segments[:-1, 1]
    assert not ends.any()
    assert any((end == SUPPORTS[1]).all() for end in shape.segments[:, 0])


@pytest.mark.parametrize("share", [0.0, 0.01, 0.02, UNKNOWN_SAG_SHARE])
def test_unknown_sag_covers_every_sag_up_to_its_share(share):
    (shape,) = line_shapes(line(supports=SUPPORTS[:2], sag=None))
    (hanging,) = line_shapes(
        line(supports=SUPPORTS[:2], sag=share * math.dist(SUPPORTS[0], SUPPORTS[1]))
    )
    assert to_triangles(hanging.segments, shape.triangles).distance.max() < CURVE_ERROR
    assert "sag unknown" in shape.note


def test_unknown_sag_covers_no_more_than_its_share():
    (shape,) = line_shapes(line(supports=np.array([[0.0, 0, 9], [50, 0, 9]]), sag=None))
    assert shape.triangles[:, :, 2].max() == 9.0
    assert shape.triangles[:, :, 2].min() == pytest.approx(9 - UNKNOWN_SAG_SHARE * 50, abs=1e-3)
    assert areas(shape.triangles).sum() == pytest.approx(2 / 3 * 50 * 1.5, rel=0.01)  # a parabola's


def test_plumb_span_is_straight():
    drop = np.array([[1.0, 2, 9], [1, 2, 3]])
    for sag in (None, 1.0):
        (shape,) = line_shapes(line(supports=drop, sag=sag))
        assert shape.pieces.reshape(-1, 3)[:, 2].min() == 3.0
        assert to_triangles(drop[None], shape.pieces).distance == 0.0


def test_unknown_heights_give_a_reason_and_no_shape():
    foot = np.array([1.0, 2.0, np.nan])
    tree = tree_shape(PlacedTree("oak", foot, height=9.0, crown_radius=3.0))
    for missing in (court(base=math.nan), court(top=math.nan), tree):
        assert isinstance(missing, Missing)
        assert missing.name in missing.reason
        assert "unknown" in missing.reason


def test_known_spans_of_a_line_are_kept_and_the_unknown_support_is_named():
    supports = np.concatenate([SUPPORTS, [[120.0, 60, np.nan]]])
    shape, missing = line_shapes(line(supports=supports))
    assert isinstance(shape, Shape)
    assert shape.segments[-1, 1] == pytest.approx(SUPPORTS[-1])
    assert isinstance(missing, Missing)
    assert "support 4 of line" in missing.reason
    supports[1, 2] = np.nan
    (missing,) = line_shapes(line(supports=supports[:3]))
    assert "support 2 of line" in missing.reason


def test_ground_leaves_out_triangles_without_heights():
    triangles = np.zeros((3, 3, 3))
    triangles[1, 2, 2] = np.nan
    assert len(ground_shape(triangles).triangles) == 2
