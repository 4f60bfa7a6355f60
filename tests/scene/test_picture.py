"""Small pictures drawn by VTK: what must be there, and the same bytes twice."""

import os
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from visual.errors import DrawingError
from visual.scene import machine
from visual.scene.camera import project
from visual.scene.egl import egl_draws
from visual.scene.layers import LineLayer, MeshLayer, Scene
from visual.scene.picture import make_picture, png_bytes
from visual.scene.pixels import average, blend, washed
from visual.scene.render import draw
from visual.scene.solids import box
from visual.scene.style import ROLES

picture = pytest.mark.picture


@picture
@pytest.mark.parametrize("name", ["plan_view", "slant_view"])
def test_same_scene_same_bytes(scene, name, request):
    view = request.getfixturevalue(name)
    one, other = (png_bytes(make_picture(scene, view, width=400, height=250)) for _ in range(2))
    assert one == other


@picture
@pytest.mark.parametrize("name", ["plan_view", "slant_view"])
def test_a_solid_lands_where_the_projection_says(scene, name, request):
    view = replace(request.getfixturevalue(name), on_top=())
    at = np.array([5.0, 3.0, 6.0])
    vertices, triangles = box(at, np.eye(3), (0.4, 0.4, 0.4))
    cube = MeshLayer(role="rotor_disc", group="rig", vertices=vertices, triangles=triangles)
    alone = Scene((cube,), scene.caption)
    drawing = draw(alone, view, width=400, height=300, page=(400, 300))
    empty = draw(Scene((), scene.caption), view, width=400, height=300, page=(400, 300))
    rows, columns = np.nonzero((drawing.image != empty.image).any(axis=2))
    expected, _ = project(view, at, width=400, height=300)
    middle = [(columns.min() + columns.max() + 1) / 2, (rows.min() + rows.max() + 1) / 2]
    np.testing.assert_allclose(middle, expected[0], atol=1.0)


@picture
def test_lines_have_the_width_the_style_says(scene, plan_view):
    path = np.array([[-20.0, 0.0, 5.0], [20.0, 0.0, 5.0]])
    line = LineLayer(role="fall_zone_edge", group="zones", paths=(path,))
    page = (1600, 1000)
    drawing = draw(Scene((line,), scene.caption), plan_view, width=200, height=200, page=page)
    ink = (255 - drawing.image[:, 100].astype(float)) / (255 - np.array(ROLES[line.role].color))
    wide = ROLES[line.role].width * 1600 / 277.0
    assert ink[:, 2].sum() == pytest.approx(wide, abs=0.6)


@picture
def test_a_fine_wire_is_seen_in_a_small_picture(scene, plan_view):
    without = Scene(tuple(x for x in scene.layers if x.role != "wire"), scene.caption)
    full, bare = (
        draw(s, plan_view, width=240, height=200, page=(400, 250)) for s in (scene, without)
    )
    changed = (full.image != bare.image).any(axis=2)
    columns = np.flatnonzero(changed.any(axis=0))
    left, right = project(plan_view, np.array([[-8.0, 0, 0], [8.0, 0, 0]]), width=240, height=200)[
        0
    ]
    # the mast's foot covers the middle; the wires run from there to both anchors
    assert columns.min() == pytest.approx(left[0], abs=3)
    assert columns.max() == pytest.approx(right[0], abs=3)


@picture
def test_what_a_clip_cuts_off_is_gone(scene, plan_view):
    view = replace(plan_view, clip=(np.zeros(3), np.array([1.0, 0, 0])), on_top=())
    kept = draw(
        scene.without(["rig", "mast", "zones"]), view, width=200, height=200, page=(200, 200)
    )
    assert (kept.image[:, :95] == 255).all()
    assert (kept.image[:, 110:] < 255).any()


@picture
def test_depth_tells_front_from_back(scene, slant_view):
    drawing = draw(scene, slant_view, width=200, height=150, page=(200, 150))
    target = slant_view.target
    pixels, _ = project(slant_view, target, width=200, height=150)
    x, y = (int(v) for v in pixels[0])
    assert drawing.depth is not None
    assert drawing.depth[y, x] == pytest.approx(slant_view.distance, rel=0.02)


@picture
def test_a_picture_has_the_size_asked_for_and_prints_a4_wide(scene, plan_view, tmp_path):
    image = make_picture(scene, plan_view, width=360, height=240)
    path = tmp_path / "plan.png"
    path.write_bytes(png_bytes(image))
    with Image.open(path) as read:
        assert read.size == (360, 240)
        assert 360 / read.info["dpi"][0] * 25.4 == pytest.approx(277, rel=1e-3)


def test_a_machine_that_cannot_draw_is_told_what_to_install(monkeypatch):
    monkeypatch.setattr(machine, "egl_draws", lambda: False)
    monkeypatch.setattr(machine, "_PROBE", "import os; os.abort()")
    machine._can_draw.cache_clear()
    try:
        with pytest.raises(DrawingError, match="libegl1 libgl1-mesa-dri"):
            machine.prepare_off_screen()
    finally:
        machine._can_draw.cache_clear()


def test_a_yes_of_the_system_needs_no_child_process(monkeypatch):
    monkeypatch.setenv("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
    monkeypatch.setattr(machine, "egl_draws", lambda: True)
    monkeypatch.setattr(machine, "_PROBE", "import os; os.abort()")
    machine._can_draw.cache_clear()
    try:
        assert machine._can_draw()
    finally:
        machine._can_draw.cache_clear()


def test_a_system_without_the_library_says_no(monkeypatch):
    def missing(name):
        raise OSError(name)

    monkeypatch.setattr("visual.scene.egl.ctypes.CDLL", missing)
    assert not egl_draws()


def test_what_is_seen_does_not_depend_on_how_a_picture_is_laid_over():
    rng = np.random.default_rng(3)
    under = rng.integers(0, 256, (6, 8, 3), dtype=np.uint8)
    over = rng.integers(0, 256, (6, 8, 4), dtype=np.uint8)
    over[:3] = (255, 255, 255, 0)
    laid = blend(under, over)
    through = 1 - over[:, :, 3:] / 255
    whole = np.rint(over[:, :, :3] + through * (under - 255.0)).clip(0, 255)
    np.testing.assert_array_equal(laid, whole)
    np.testing.assert_array_equal(laid[:3], under[:3])


def test_averaging_rounds_the_mean_of_each_block():
    image = np.random.default_rng(4).integers(0, 256, (6, 8, 3), dtype=np.uint8)
    mean = image.reshape(3, 2, 4, 2, 3).mean(axis=(1, 3))
    np.testing.assert_allclose(average(image, 2), mean, atol=0.5)
    assert (washed(image, 1.0) == image).all()
    np.testing.assert_allclose(washed(image, 0.4), 255 - 0.4 * (255.0 - image), atol=0.5)


def test_the_picture_maker_loads_what_draws_when_it_draws():
    code = (
        "import visual.scene.picture, visual.scene.thin_terrain, sys; "
        "late = {'pyvista', 'vtkmodules', 'vtk', 'matplotlib', 'visual.checks'}; "
        "raise SystemExit(bool(late & set(sys.modules)))"
    )
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    assert (
        subprocess.run([sys.executable, "-c", code], check=False, env=environment).returncode == 0
    )
