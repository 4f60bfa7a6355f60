"""Layers as things VTK draws, the same for pictures and for the window.

Depth is decided by the geometry alone: what lies on the ground is moved a little towards the eye
along the line of sight, which changes no pixel position.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from visual.scene.camera import View
from visual.scene.dashes import dashed
from visual.scene.layers import AnyLayer, LineLayer, MeshLayer, Points
from visual.scene.shade import face_colors
from visual.scene.style import PAPER, Role, role
from visual.scene.vtk_actors import colored, plain, polylines, textured

_AREA, _CASING, _LINE = 1.0, 2.0, 3.0  # steps towards the eye
_RIG = ("rig", "mast")
_STEP = 4e-4  # one step, as a share of the distance to the eye


def unit_color(color: Sequence[int]) -> list[float]:
    """Return a colour as numbers from 0 to 1."""
    return [c / 255 for c in color]


def add_layers(
    renderer: Any, layers: Sequence[AnyLayer], view: View, *, size: tuple[int, int], scale: float
) -> list[Any]:
    """Add meshes and lines to a renderer and return their actors; lettering is not its business.

    Parameters
    ----------
    renderer : vtkRenderer
        Where to.
    layers : sequence of layers
        What to draw.
    view : View
        View that dashes are cut for.
    size : tuple of int
        Size of the drawing. [px]
    scale : float
        Pixels per page millimetre.
    """
    actors: list[Any] = []
    for layer in layers:
        look = role(layer.role)
        if view.line_share < 1 and (layer.group in _RIG or layer.role == "conductor"):
            look = replace(look, width=view.line_share * look.width, casing=0.0)
        if isinstance(layer, MeshLayer) and len(layer.triangles):
            added = [_mesh(layer, look, view)]
        elif isinstance(layer, LineLayer) and layer.paths:
            added = _lines(layer, look, view, size=size, scale=scale)
        else:
            continue
        for actor in added:
            _clip(actor, layer, view)
            renderer.AddActor(actor)
        actors += added
    return actors


def _toward(points: Points, view: View, steps: float) -> Points:
    """Move points towards the eye without moving them on the picture."""
    if view.projection == "orthographic":
        shift = view.axes[2] * (steps * _STEP * view.distance)
    else:
        shift = (np.asarray(view.eye, float) - points) * (steps * _STEP)
    return np.asarray(points + shift, dtype=float)


def _mesh(layer: MeshLayer, look: Role, view: View) -> Any:
    flat = not look.lit and layer.texture is None
    points = _toward(layer.vertices, view, _AREA) if flat else layer.vertices
    if layer.texture is not None:
        assert layer.uv is not None
        return textured(points, layer.triangles, layer.uv, layer.texture)
    if look.lit:
        colors = face_colors(layer.vertices, layer.triangles, look.color)
        return colored(points, layer.triangles, colors, opacity=look.opacity)
    return plain(points, layer.triangles, unit_color(look.color), opacity=look.opacity)


def _lines(
    layer: LineLayer, look: Role, view: View, *, size: tuple[int, int], scale: float
) -> list[Any]:
    paths: Sequence[Points] = layer.paths
    if look.dash:
        paths = dashed(paths, [d * scale for d in look.dash], view, width=size[0], height=size[1])
    if not paths:
        return []
    actors = []
    if look.casing:
        wide = replace(look, color=PAPER, width=look.width + 2 * look.casing, opacity=1.0)
        actors.append(_polylines(paths, wide, view, scale, _CASING))
    actors.append(_polylines(paths, look, view, scale, _LINE))
    return actors


def _polylines(paths: Sequence[Points], look: Role, view: View, scale: float, steps: float) -> Any:
    points = _toward(np.concatenate(paths), view, steps)
    return polylines(
        points,
        [len(path) for path in paths],
        unit_color(look.color),
        opacity=look.opacity,
        width=max(look.width * scale, 1.0),
    )


def _clip(actor: Any, layer: AnyLayer, view: View) -> None:
    if view.clip is None or layer.group not in view.clipped:
        return
    from vtkmodules.vtkCommonDataModel import vtkPlane

    point, normal = view.clip
    cut = vtkPlane()
    cut.SetOrigin(*map(float, point))
    cut.SetNormal(*map(float, normal))
    actor.GetMapper().AddClippingPlane(cut)
