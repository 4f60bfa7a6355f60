"""What is exported, before it is a file."""

import itertools

import numpy as np
import pytest
import trimesh
from shapely.geometry import LineString

from visual.exports.draping import without_idle
from visual.exports.drawing import known_runs
from visual.exports.ground_layers import ground_box, ground_layers
from visual.exports.line_layers import ball, line_layers
from visual.scene.power_line import known_spans
from visual.site import Feature


def test_large_ground_is_a_net_on_the_same_ground(full, monkeypatch):
    monkeypatch.setattr("visual.exports.ground_layers.MOST_FACES", 200)
    (ground,), _ = (layer.items for layer in ground_layers(full.model))
    vertices, triangles = ground.solid
    assert ground.attributes["made_of"] == "a regular net"
    assert 100 < len(triangles) <= 200
    x, y, z = vertices.T
    assert z == pytest.approx(0.08 * x - 0.05 * y - 0.25, abs=1e-9)
    box = ground_box(full.model)
    assert (x.min(), y.min(), x.max(), y.max()) == pytest.approx(box, abs=1e-6)


def test_small_ground_is_the_very_triangles(full):
    (ground,) = full.drawing.items_of("ground")
    assert ground.attributes["made_of"] == "every triangle of survey and DEM"
    assert ground.attributes["net_step_m"] is None
    assert ground.attributes["faces"] == len(full.model.ground.triangles(*full.model.ground.bounds))


def test_contours_lie_at_their_heights(full):
    contours = full.drawing.items_of("contours")
    assert len(contours) > 5
    for one in contours:
        for path in one.paths:
            height = 80.0 + 0.08 * path[:, 0] - 0.05 * path[:, 1]
            assert height == pytest.approx(one.attributes["height_m"], abs=1e-6)
            assert path[:, 2] + full.model.frame.origin_height == pytest.approx(height, abs=1e-6)


def test_closest_approaches_are_those_of_the_report(full):
    reach = full.report.fall_zone.total_height
    near = {c.obstacle.name for c in full.report.clearances if c.closest.distance <= reach}
    items = full.drawing.items_of("closest_approaches")
    assert len(items) == len(near) > 0
    for one in items:
        (path,) = one.paths
        assert np.linalg.norm(path[1] - path[0]) >= one.attributes["distance_m"] - 1e-3


def test_required_clearance_is_nowhere_too_narrow(full):
    """Between the supports the faces about a conductor are at least the clearance away from it."""
    (item,) = full.drawing.items_of("required_clearance")
    radius = item.attributes["required_clearance_m"] + 0.6
    assert item.attributes["radius_m"] == pytest.approx(radius)
    (span, *_) = known_spans(full.model.surroundings.lines[0])
    vertices, triangles = item.solid
    middles = vertices[triangles[: 2 * 24 * (len(span) - 1)]].mean(axis=1)
    dense = np.concatenate([np.linspace(a, b, 20) for a, b in itertools.pairwise(span)])
    nearest = np.linalg.norm(middles[:, None] - dense[None], axis=2).min(axis=1)
    assert radius < nearest.min() < nearest.max() < 1.02 * radius
    assert (triangles < len(vertices)).all()


def test_ball_holds_the_round_one():
    vertices, triangles = ball(np.array([1.0, 2.0, 3.0]), 5.0)
    mesh = trimesh.Trimesh(vertices - [1.0, 2.0, 3.0], triangles)
    heights = np.einsum("ij,ij->i", mesh.triangles[:, 0], mesh.face_normals)
    wide = mesh.area_faces > 1e-9  # at the poles some have none
    assert heights[wide].min() > 5.0 - 1e-9
    assert heights[wide].max() < 5.25
    assert mesh.volume > 4 / 3 * np.pi * 5.0**3


def test_unknown_sag_has_the_clearance_of_both_lines(make_model):
    line = LineString([(-30, 20), (30, 20)])
    feature = Feature("overhead_line", "L", line, 1, conductor_heights=(9.0, 9.0))
    layers = {layer.key: layer for layer in line_layers(make_model(features=(feature,)))}
    (item,) = layers["required_clearance"].items
    z = item.solid[0][:, 2]
    chord, deepest = 8.75, 8.75 - 0.03 * 60.0
    radius = item.attributes["radius_m"]
    assert z.max() >= chord + radius
    assert z.min() <= deepest - radius


def test_lines_are_broken_where_heights_are_unknown():
    z = [0.0, 1.0, np.nan, 2.0, np.nan, 3.0, 4.0]
    path = np.column_stack([np.arange(7.0), np.zeros(7), z])
    assert [run[:, 0].tolist() for run in known_runs(path)] == [[0.0, 1.0], [5.0, 6.0]]


def test_only_points_on_a_straight_line_are_idle():
    path = np.array([[0, 0, 0], [1, 0, 0], [2, 0, 0], [3, 0, 1e-3], [4, 0, np.nan], [5, 0, 0.0]])
    kept = without_idle(path)
    assert kept[:, 0].tolist() == [0.0, 2.0, 3.0, 4.0, 5.0]


def test_no_layer_is_empty_and_no_key_comes_twice(full, plain):
    for drawing in (full.drawing, plain.drawing):
        keys = [layer.key for layer in drawing.layers]
        assert len(set(keys)) == len(keys)
        assert all(layer.items for layer in drawing.layers)


def test_standing_says_what_is_sure(full):
    assert full.drawing.standing.startswith("Provisional: anchors planned, ground heights ± 0.05 m")


def test_rings_are_closed_to_the_last_bit(full):
    """Else a grid cell farther on they would cross themselves."""
    rings = [ring for layer in full.drawing.layers for item in layer.items for ring in item.rings]
    assert len(rings) > 8
    assert all(np.array_equal(ring[0], ring[-1]) for ring in rings)
