"""Drawing layers with VTK, off screen: the picture itself, without any lettering.

Drawn at twice the size and averaged 2 × 2: fine wires stay smooth and the bytes repeat.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.scene.actors import add_layers, unit_color
from visual.scene.camera import View, project
from visual.scene.layers import AnyLayer, LineLayer, MeshLayer, Scene
from visual.scene.machine import prepare_off_screen
from visual.scene.pixels import Image, average, blend, read_colors, read_depth, washed
from visual.scene.style import PAPER, SKY_LOW, SKY_TOP, page_scale

_OVERSAMPLE = 2
_SAMPLES = 8  # of each pixel of the large picture, where the system has them


@dataclass(frozen=True, eq=False)
class Drawing:
    """A drawing without lettering.

    Parameters
    ----------
    image : ndarray of uint8, shape (height, width, 3)
        The picture.
    depth : ndarray, shape (height, width)
        How far from the eye the nearest thing is, along the line of sight; NaN where there is
        none. [m]
    """

    image: Image = field(repr=False)
    depth: NDArray[np.float64] = field(repr=False)


def draw(scene: Scene, view: View, *, width: int, height: int, page: tuple[int, int]) -> Drawing:
    """Draw what a view sees of a scene.

    Parameters
    ----------
    scene : Scene
        What is there.
    view : View
        Where from.
    width, height : int
        Size of the drawing. [px]
    page : tuple of int
        Size of the whole picture that it is part of; decides line widths. [px]

    Raises
    ------
    DrawingError
        If the machine lacks the system libraries.
    """
    prepare_off_screen()
    size = (width * _OVERSAMPLE, height * _OVERSAMPLE)
    scale = page_scale(*page) * _OVERSAMPLE
    layers = visible(scene, view)
    image, depth = _pass(layers, view, size=size, scale=scale, transparent=False)
    assert depth is not None
    image = washed(image, view.wash)
    for group in view.on_top:
        top = [layer for layer in layers if layer.group == group]
        if any(isinstance(layer, MeshLayer | LineLayer) for layer in top):
            over, _ = _pass(top, view, size=size, scale=scale, transparent=True)
            image = blend(image, over)
    return Drawing(average(image, _OVERSAMPLE), depth)


def visible(scene: Scene, view: View) -> list[AnyLayer]:
    """Return the layers that a view shows."""
    return [
        layer
        for layer in scene.layers
        if layer.group not in view.hidden
        and (not layer.group.startswith("only:") or layer.group in view.only)
        and not _cut_away(layer, view)
    ]


def _cut_away(layer: AnyLayer, view: View) -> bool:
    """Return whether all of a layer lies on the side that the view cuts off."""
    if view.clip is None or layer.group not in view.clipped:
        return False
    point, normal = view.clip
    return not bool(((layer.points - point) @ np.asarray(normal, float) > 0).any())


def _pass(
    layers: Sequence[AnyLayer],
    view: View,
    *,
    size: tuple[int, int],
    scale: float,
    transparent: bool,
) -> tuple[Image, NDArray[np.float64] | None]:
    window, renderer = _stage(size)
    _set_background(renderer, plain=transparent or view.projection == "orthographic")
    set_camera(renderer.GetActiveCamera(), view, layers, size)
    add_layers(renderer, layers, view, size=size, scale=scale)
    window.Render()
    depth = None if transparent else read_depth(window, every=_OVERSAMPLE)
    image = read_colors(window, transparent=transparent)
    window.Finalize()
    return image, depth


def _stage(size: tuple[int, int]) -> tuple[Any, Any]:
    """Return a window off screen and its renderer, without lamps."""
    import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  it gives the classes below their bodies
    from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow

    window, renderer = vtkRenderWindow(), vtkRenderer()
    window.SetOffScreenRendering(1)
    window.SetMultiSamples(_SAMPLES)
    window.SetSize(*size)
    window.AddRenderer(renderer)
    renderer.AutomaticLightCreationOff()
    renderer.SetUseOIT(False)  # see-through layers then blend in the order given
    return window, renderer


def _set_background(renderer: Any, *, plain: bool) -> None:
    if plain:
        renderer.SetBackground(*unit_color(PAPER))
    else:
        renderer.GradientBackgroundOn()
        renderer.SetBackground(*unit_color(SKY_LOW))
        renderer.SetBackground2(*unit_color(SKY_TOP))


def set_camera(camera: Any, view: View, layers: Sequence[AnyLayer], size: tuple[int, int]) -> None:
    """Point a camera of VTK as a view says."""
    camera.SetPosition(*map(float, view.eye))
    camera.SetFocalPoint(*map(float, view.target))
    camera.SetViewUp(*map(float, view.up))
    camera.SetParallelProjection(view.projection == "orthographic")
    if view.projection == "orthographic":
        camera.SetParallelScale(view.metres_per_pixel(*size) * size[1] / 2)
    else:
        camera.SetViewAngle(float(np.degrees(view.field_of_view)))
        camera.SetWindowCenter(0.0, view.rise)
    camera.SetClippingRange(*depth_range(view, layers))


def depth_range(view: View, layers: Sequence[AnyLayer]) -> tuple[float, float]:
    """Return the nearest and farthest distance from the eye that hold anything. [m]"""
    points = [layer.points for layer in layers if len(layer.points)]
    if not points:
        return 0.1, 10.0
    _, depth = project(view, np.concatenate(points), width=10, height=10)
    depth = depth[np.isfinite(depth)]
    far = float(depth.max()) * 1.05 + 1.0
    least = far * 5e-4 if view.projection == "perspective" else far * 1e-6
    return max(float(depth.min()) * 0.95 - 1.0, least), far
