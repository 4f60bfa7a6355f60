import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.scene.camera import View, fit_orthographic, fit_perspective, project

WIDTH, HEIGHT = 640, 400
UP = np.array([0.0, 0.0, 1.0])

coordinate = st.floats(-50, 50)
points = st.lists(st.tuples(coordinate, coordinate, coordinate), min_size=2, max_size=12)


def view_from(bearing: float, height: float, projection: str) -> View:
    back = np.array(
        [
            math.cos(height) * math.sin(bearing),
            math.cos(height) * math.cos(bearing),
            math.sin(height),
        ]
    )
    return View(
        name="v",
        title="",
        projection=projection,
        eye=120 * back + [3, -2, 1],
        target=np.array([3.0, -2.0, 1.0]),
        up=UP,
        span=(60.0, 50.0),
        field_of_view=0.6,
    )


def vtk_pixels(view: View, where: np.ndarray) -> np.ndarray:
    """Pixels by VTK's own matrix, independent of ours."""
    from vtkmodules.vtkRenderingCore import vtkCamera

    camera = vtkCamera()
    camera.SetPosition(*view.eye)
    camera.SetFocalPoint(*view.target)
    camera.SetViewUp(*view.up)
    camera.SetParallelProjection(view.projection == "orthographic")
    camera.SetParallelScale(view.metres_per_pixel(WIDTH, HEIGHT) * HEIGHT / 2)
    camera.SetViewAngle(math.degrees(view.field_of_view))
    camera.SetClippingRange(1.0, 500.0)
    matrix = camera.GetCompositeProjectionTransformMatrix(WIDTH / HEIGHT, -1, 1)
    rows = np.array([[matrix.GetElement(r, c) for c in range(4)] for r in range(4)])
    clip = np.column_stack([where, np.ones(len(where))]) @ rows.T
    ndc = clip[:, :2] / clip[:, 3:]
    return (ndc * [1, -1] + 1) / 2 * [WIDTH, HEIGHT]


@pytest.mark.parametrize("projection", ["orthographic", "perspective"])
@given(points=points, bearing=st.floats(0, 6.28), height=st.floats(-1.2, 1.4))
def test_projection_is_that_of_vtk(projection, points, bearing, height):
    view = view_from(bearing, height, projection)
    where = np.array(points)
    ours, _ = project(view, where, width=WIDTH, height=HEIGHT)
    np.testing.assert_allclose(ours, vtk_pixels(view, where), rtol=1e-9, atol=1e-6)


def test_target_lands_in_the_middle():
    view = view_from(0.7, 0.3, "perspective")
    pixels, depth = project(view, view.target, width=WIDTH, height=HEIGHT)
    np.testing.assert_allclose(pixels[0], [WIDTH / 2, HEIGHT / 2])
    assert depth[0] == pytest.approx(120.0)


def test_points_behind_the_eye_have_no_place():
    view = view_from(0.7, 0.3, "perspective")
    behind = view.eye + 10 * view.axes[2]
    pixels, depth = project(view, behind, width=WIDTH, height=HEIGHT)
    assert np.isnan(pixels).all()
    assert depth[0] < 0


@given(points=points, bearing=st.floats(0, 6.28), height=st.floats(-1.2, 1.4))
def test_fitted_orthographic_view_shows_every_point(points, bearing, height):
    where = np.array(points)
    if np.ptp(where @ view_from(bearing, height, "orthographic").axes[:2].T, axis=0).max() < 0.1:
        where = np.vstack([where, where[:1] + 5.0])
    view = fit_orthographic(view_from(bearing, height, "orthographic"), where)
    pixels, depth = project(view, where, width=WIDTH, height=HEIGHT)
    assert (pixels >= -1e-6).all()
    assert (pixels <= np.array([WIDTH, HEIGHT]) + 1e-6).all()
    assert (depth > 0).all()


@given(points=points, bearing=st.floats(0, 6.28), height=st.floats(-1.2, 1.4))
def test_fitted_perspective_shows_every_point_and_wastes_no_room(points, bearing, height):
    where = np.vstack([points, np.array(points[0]) + 5.0])
    view = fit_perspective(
        view_from(bearing, height, "perspective"), where, aspect=WIDTH / HEIGHT, margin=0.0
    )
    pixels, _ = project(view, where, width=WIDTH, height=HEIGHT)
    low, high = pixels.min(axis=0), pixels.max(axis=0)
    assert (low >= -1e-6).all()
    assert (high <= np.array([WIDTH, HEIGHT]) + 1e-6).all()
    assert max((high - low) / [WIDTH, HEIGHT]) == pytest.approx(1.0, abs=1e-6)
