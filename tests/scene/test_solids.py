"""Solids are closed and have the volume of a textbook, by trimesh."""

import math

import numpy as np
import pytest
import trimesh

from visual.scene import solids


def as_mesh(solid: solids.Solid) -> trimesh.Trimesh:
    return trimesh.Trimesh(*solid, process=True)


def test_tube_is_closed_and_as_large_as_a_cylinder():
    mesh = as_mesh(solids.tube(np.array([[1.0, 2, 3], [4, 6, 3]]), 0.5, sides=64))
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(math.pi * 0.25 * 5, rel=2e-3)


def test_upright_tube_faces_outwards():
    mesh = as_mesh(solids.tube(np.array([[0.0, 0, 0], [0, 0, 2], [0, 0.5, 4]]), [0.3, 0.2, 0.1]))
    assert mesh.is_watertight
    assert mesh.volume > 0


def test_box_is_closed_and_has_twelve_edges():
    solid = solids.box(np.array([1.0, 2, 3]), np.eye(3), (1.0, 2.0, 0.5))
    assert as_mesh(solid).volume == pytest.approx(8.0)
    lengths = sorted(float(np.linalg.norm(e[1] - e[0])) for e in solids.box_edges(solid))
    np.testing.assert_allclose(lengths, [1.0] * 4 + [2.0] * 4 + [4.0] * 4)


def test_a_tree_just_fills_its_height_and_crown():
    foot = np.array([3.0, -2.0, 1.0])
    stem, crown = solids.tree(foot, height=8.0, crown_radius=2.5)
    assert crown[0][:, 2].max() == pytest.approx(9.0)
    out = np.hypot(*(crown[0][:, :2] - foot[:2]).T)
    assert out.max() == pytest.approx(2.5)
    assert stem[0][:, 2].min() == pytest.approx(1.0, abs=1e-9)


def test_disc_and_ring_lie_square_to_their_axis():
    axis = np.array([1.0, 1.0, 0.2])
    ring = solids.ring_about(np.ones(3), axis, 2.0)
    np.testing.assert_allclose((ring - 1) @ axis, 0, atol=1e-12)
    np.testing.assert_allclose(np.linalg.norm(ring - 1, axis=1), 2.0)
    vertices, triangles = solids.disc(np.ones(3), axis, 2.0, sides=90)
    assert trimesh.Trimesh(vertices, triangles).area == pytest.approx(math.pi * 4, rel=2e-3)
