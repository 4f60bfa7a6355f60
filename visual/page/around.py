"""What the page draws that does not move: ground, surroundings, zones; each in a group to show."""

import base64
import hashlib
import io
from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from visual.page.packing import Json, pack_coarse
from visual.scene.layers import AnyLayer, DimensionLayer, MeshLayer, TableLayer
from visual.scene.section import ACROSS, ALONG
from visual.scene.terrain import Terrain

GROUPS = {
    "contours": "Contours",
    "land": "Roads, water, boundary",
    "buildings": "Buildings and trees",
    "lines": "Overhead lines",
    "clearance": "Required clearance",
    "zones": "Fall zone",
    "setbacks": "Setbacks",
    "lane": "Tow lane and laydown",
    "wires": "Wires and anchors",
    "path": "Path of the raise",
    "viewpoints": "Viewpoints",
    "distances": "Distances to what stands near",
    "approach": "Closest while raised",
    "forces": "Forces on mast and gin pole",
}
"""What can be shown and hidden, in the order of the list, with its words."""

_PAGE_GROUP = {
    "contours": "contours",
    "areas": "land",
    "area_names": "land",
    "surroundings": "buildings",
    "line_names": "lines",
    "clearance": "clearance",
    "hoops": "clearance",
    "viewpoints": "viewpoints",
    "zones": "zones",
    "only:lane": "lane",
    ALONG: "along",
    ACROSS: "across",
    "anchors": "wires",
    "anchor_names": "wires",
    "mast": "mast",
    "mast_names": "mast",
    "rig": "mast",
}
_BY_ROLE = {
    "support": "lines",
    "conductor": "lines",
    "sag_range": "lines",
    "setback": "setbacks",
    "setback_comb": "setbacks",
    "setback_name": "setbacks",
    "laydown_edge": "lane",
    "wire": "wires",
    "wire_slack": "wires",
    "side_stay": "wires",
    "lift_wire": "wires",
    "arc": "path",
    "arc_tip": "path",
}
_CUT = ("ground_cut", "ground_line")
_TWICE = {("arc", "ghosts"), ("arc_tip", "ghosts"), ("ground", "ground")}
"""Layers that are in the scene twice, or travel in another way."""

_QUALITY = 84  # of the shading as a JPEG


def page_group(layer: AnyLayer) -> str | None:
    """Return the group of the page that a layer belongs to; None if the page leaves it out."""
    if isinstance(layer, DimensionLayer | TableLayer) or (layer.role, layer.group) in _TWICE:
        return None
    if layer.role == "witness":
        return None  # it leads to a dimension, which is for paper
    if layer.role in _BY_ROLE:
        return _BY_ROLE[layer.role]
    if layer.group == ALONG and layer.role in _CUT:
        return "cut"
    if layer.group == "ground":
        return "ground"
    return _PAGE_GROUP.get(layer.group)


def for_the_page(layers: Iterable[AnyLayer]) -> list[AnyLayer]:
    """Return the layers that the page draws, each in its group there."""
    found = ((layer, page_group(layer)) for layer in layers)
    return [replace(layer, group=group) for layer, group in found if group is not None]


def ground_data(terrain: Terrain, ground: MeshLayer) -> Json:
    """Return the ground: a grid of heights, and its shading as a picture.

    Parameters
    ----------
    terrain : Terrain
        The drawn ground.
    ground : MeshLayer
        Its layer, for the picture.
    """
    rows, columns = terrain.heights.shape
    data = {
        "west": terrain.west,
        "south": terrain.south,
        "step": terrain.step,
        "rows": rows,
        "columns": columns,
        "heights": pack_coarse(terrain.heights.reshape(-1, 1)),
        "picture": _picture(ground.texture),
    }
    return data | {"key": hashlib.sha256(repr(data).encode()).hexdigest()[:16]}


def _picture(texture: NDArray[np.uint8] | None) -> str:
    from PIL import Image

    pixels = np.full((2, 2, 3), 240, np.uint8) if texture is None else texture
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=_QUALITY, optimize=True)
    return "data:image/jpeg;base64," + base64.b64encode(file.getvalue()).decode("ascii")
