"""What moves on the page: rigid layers, and a table of shapes and places, one row per angle."""

import itertools
import math
from collections.abc import Sequence

import numpy as np

from visual.model import Model
from visual.page.around import for_the_page
from visual.page.layer_data import layers_data
from visual.page.packing import Json, Numbers, pack_coarse, pack_exact, pack_whole
from visual.raising import Pose, Raise, pose_at
from visual.scene.layers import AnyLayer, LineLayer, MeshLayer
from visual.scene.rig import rig_layers
from visual.scene.tow import tow_layers_of_all
from visual.scene.turning import lifting_layers, mast_layers
from visual.scene.wires import raising_wires_of_all

_EVERY = 2
"""Every second point of a hanging wire is sent: twenty straight pieces look round."""

_WIRE_POINTS = 41


def rig_data(model: Model, raised: Raise, *, other: Model, angles: Numbers) -> Json:
    """Return the rig: what turns rigidly, what stands, and tables over raising angles.

    Parameters
    ----------
    model, other : Model
        The mast on its site, with results in its units and in the other ones.
    raised : Raise
        The geometry of the raise.
    angles : ndarray, shape (n,)
        Raising angles of the tables. [rad]
    """
    poses = [pose_at(model, float(angle)) for angle in angles]
    standing = [layer for layer in rig_layers(model, raised, angle=None) if layer.motion != "mast"]
    return {
        "forward": model.forward.tolist(),
        "right": model.rightward.tolist(),
        "angles": np.degrees(angles).tolist(),
        "headFrom": math.degrees(raised.first_angle),
        "mast": _twins(mast_layers(model), mast_layers(other)),
        "lifting": _twins(lifting_layers(model), lifting_layers(other)),
        "standing": layers_data(
            for_the_page(layer for layer in standing if layer.motion == "pose")
        ),
        "tracks": _tracks(model, raised, poses, angles),
        "places": _places(model, poses),
    }


def anchor_layers(model: Model, raised: Raise) -> list[AnyLayer]:
    """Return what of the rig stays in its place: anchors and base plate."""
    return [layer for layer in rig_layers(model, raised, angle=None) if layer.motion == "fixed"]


def _twins(layers: Sequence[AnyLayer], others: Sequence[AnyLayer]) -> list[Json]:
    return layers_data(for_the_page(layers), for_the_page(others))


def _tracks(model: Model, raised: Raise, poses: Sequence[Pose], angles: Numbers) -> list[Json]:
    """Return every layer that takes another shape at every angle."""
    rows: dict[tuple[str, str], list[tuple[int, AnyLayer]]] = {}
    wires = raising_wires_of_all(model, raised, poses)
    tow = tow_layers_of_all(model, raised, angles)
    for number, layers in enumerate(zip(wires, tow, strict=True)):
        for layer in for_the_page(itertools.chain(*layers)):
            if isinstance(layer, LineLayer | MeshLayer):
                rows.setdefault((layer.kind, layer.name), []).append((number, layer))
    return [_track(found, len(angles)) for found in rows.values()]


def _track(found: Sequence[tuple[int, AnyLayer]], steps: int) -> Json:
    first = found[0][1]
    roles = sorted({layer.role for _, layer in found})
    shapes = [_shape(layer) for _, layer in found]
    table = np.full((steps, *shapes[0].shape), np.nan)
    role_at = np.zeros(steps, dtype=int)
    for (number, layer), shape in zip(found, shapes, strict=True):
        table[number] = shape
        role_at[number] = roles.index(layer.role)
    data: Json = {"kind": first.kind, "group": first.group, "name": first.name, "roles": roles}
    data |= {"roleAt": pack_whole(role_at), "table": pack_coarse(table)}
    if isinstance(first, MeshLayer):
        return data | {"triangles": pack_whole(first.triangles)}
    assert isinstance(first, LineLayer)
    counts = [shapes[0].shape[0]] if len(first.paths) == 1 else [len(p) for p in first.paths]
    return data | {"counts": pack_whole(counts)}


def _shape(layer: AnyLayer) -> Numbers:
    points = layer.points
    is_wire = isinstance(layer, LineLayer) and len(points) == _WIRE_POINTS
    return points[::_EVERY] if is_wire else points


def _places(model: Model, poses: Sequence[Pose]) -> Json:
    """Return named points at every angle: what a person may ask for, and what tests hold on to."""
    places = {"mast top": [p.top for p in poses], "gin-pole tip": [p.tip for p in poses]}
    for number in range(len(model.rig.mast.collars)):
        places[f"collar {number + 1}"] = [p.collars[number] for p in poses]
    if poses[0].rotor_centre is not None:
        places["rotor"] = [
            np.full(3, math.nan) if p.rotor_centre is None else p.rotor_centre for p in poses
        ]
    return {name: pack_exact(np.array(rows)) for name, rows in places.items()}
