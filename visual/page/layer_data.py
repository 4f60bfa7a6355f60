"""Layers of the scene as plain data."""

from collections.abc import Iterable, Sequence

import numpy as np

from visual.page.packing import Json, pack_coarse, pack_exact, pack_whole
from visual.scene.layers import (
    AnyLayer,
    LabelLayer,
    LineLayer,
    MarkLayer,
    MeshLayer,
)
from visual.scene.style import ROLES, Role

_MANY = 300
"""From this many points on, 16 bits hold a layer on the ground well enough."""


def role_data(roles: Iterable[str]) -> Json:
    """Return the look of roles, by key."""
    return {key: _look(ROLES[key]) for key in dict.fromkeys(roles)}


def _look(role: Role) -> Json:
    return {
        "word": role.word,
        "color": "#{:02x}{:02x}{:02x}".format(*role.color),
        "opacity": role.opacity,
        "width": role.width,
        "dash": list(role.dash),
        "swatch": role.swatch,
        "lit": role.lit,
        "casing": role.casing,
    }


def layer_data(layer: AnyLayer, *, other: AnyLayer | None = None) -> Json | None:
    """Return a layer as plain data; None for one that the page does not draw.

    Parameters
    ----------
    layer : layer
        The layer.
    other : layer or None
        The same layer with its texts in the other system of units.
    """
    shared: Json = {"kind": layer.kind, "role": layer.role, "group": layer.group}
    shared |= {"name": layer.name, "motion": layer.motion}
    if isinstance(layer, MeshLayer):
        return shared | _mesh(layer)
    if isinstance(layer, LineLayer):
        return shared | _lines(layer)
    if isinstance(layer, MarkLayer):
        return shared | {"at": pack_exact(layer.at), "shape": layer.shape}
    if isinstance(layer, LabelLayer):
        return shared | _label(layer, other)
    return None


def layers_data(layers: Sequence[AnyLayer], others: Sequence[AnyLayer] | None = None) -> list[Json]:
    """Return all layers that the page draws; `others` are the same with other units."""
    twins: Sequence[AnyLayer | None] = others if others is not None else [None] * len(layers)
    found = (layer_data(layer, other=o) for layer, o in zip(layers, twins, strict=True))
    return [one for one in found if one is not None]


def _packed_points(points: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Json:
    return pack_coarse(points) if len(points) >= _MANY else pack_exact(points)


def _mesh(layer: MeshLayer) -> Json:
    return {"points": _packed_points(layer.vertices), "triangles": pack_whole(layer.triangles)}


def _lines(layer: LineLayer) -> Json:
    counts = [len(path) for path in layer.paths]
    return {"points": _packed_points(layer.points), "counts": pack_whole(counts)}


def _label(layer: LabelLayer, other: AnyLayer | None) -> Json:
    data: Json = {
        "text": layer.text,
        "at": [round(float(value), 4) for value in layer.at],
        "priority": layer.priority,
        "tells": layer.label_kind,
        "choice": layer.choice,
        "over": layer.over,
    }
    if isinstance(other, LabelLayer) and other.text != layer.text:
        data["other"] = other.text
    if layer.along is not None:
        data["along"] = [round(float(value), 4) for value in layer.along]
    return data
