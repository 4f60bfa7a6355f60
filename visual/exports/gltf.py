"""Binary glTF 2.0: one node per layer; metres, y up, origin at the hinge.

glTF's axes: x points along grid east, y up, z along grid south. Triangles carry no normals, so a
viewer shades each face flat, as the standard asks.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pygltflib as gltf
from numpy.typing import NDArray

from visual import __version__
from visual.exports.drawing import Drawing, Item, Layer, Points, Solid, known_runs
from visual.exports.look import FAINT, colour, shares
from visual.exports.replacing import replacing
from visual.scene.solids import box, merge

LIFT = 0.05
"""Covers lie this much above the ground, or the two would flicker. [m]"""

_MARK = 0.12  # a place without any other form is shown as a block of this half width [m]
_SEEN_THROUGH = frozenset({"required_clearance"})
_AXES = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])
"""Rows: what x, y and z of the local frame are in the axes of glTF."""


def write_gltf(drawing: Drawing, path: Path) -> None:
    """Write all layers."""
    writer = _Writer()
    for layer in drawing.layers:
        writer.add(layer)
    with replacing(path) as beside:
        writer.finish(drawing).save_binary(str(beside))


def y_up(points: Points) -> NDArray[np.float32]:
    """Return points of the local frame in the axes of glTF."""
    return np.asarray(points @ _AXES, dtype=np.float32)


class _Writer:
    """Gathers nodes, meshes, materials and the one block of bytes they point into."""

    def __init__(self) -> None:
        self.document = gltf.GLTF2(scene=0, scenes=[gltf.Scene(nodes=[])])
        self.block = bytearray()

    def add(self, layer: Layer) -> None:
        """Add a layer as a node with a mesh: its solids, its covers, its lines."""
        primitives = [
            primitive
            for primitive in (
                self._triangles(layer, _solids(layer), faint=layer.key in _SEEN_THROUGH),
                self._triangles(layer, _covers(layer), faint=True),
                self._lines(layer),
            )
            if primitive is not None
        ]
        if not primitives:
            return
        document = self.document
        document.meshes.append(gltf.Mesh(name=layer.key, primitives=primitives))
        names = [item.name for item in layer.items]
        node = gltf.Node(name=layer.key, mesh=len(document.meshes) - 1)
        node.extras = {"holds": layer.word, "names": names}
        document.scenes[0].nodes.append(len(document.nodes))
        document.nodes.append(node)

    def finish(self, drawing: Drawing) -> gltf.GLTF2:
        """Return the whole document."""
        frame = drawing.frame
        self.document.asset = gltf.Asset(version="2.0", generator=f"hillmast {__version__}")
        self.document.asset.extras = {
            "site": drawing.site,
            "date": drawing.date,
            "note": drawing.standing,
            "axes": "x grid east, y up, z grid south; metres; origin at the hinge",
            "hinge": {
                "crs": drawing.crs,
                "easting": frame.origin_easting,
                "northing": frame.origin_northing,
                "height": frame.origin_height,
            },
        }
        self.document.buffers = [gltf.Buffer(byteLength=len(self.block))]
        self.document.set_binary_blob(bytes(self.block))
        return self.document

    def _triangles(self, layer: Layer, solid: Solid, *, faint: bool) -> gltf.Primitive | None:
        vertices, triangles = solid
        if not len(triangles):
            return None
        return gltf.Primitive(
            attributes=gltf.Attributes(POSITION=self._positions(vertices)),
            indices=self._indices(triangles),
            mode=gltf.TRIANGLES,
            material=self._material(layer, opacity=FAINT if faint else 1.0),
        )

    def _lines(self, layer: Layer) -> gltf.Primitive | None:
        runs = [run for item in layer.items for path in item.lines for run in known_runs(path)]
        if not runs:
            return None
        return gltf.Primitive(
            attributes=gltf.Attributes(POSITION=self._positions(np.concatenate(runs))),
            indices=self._indices(_pairs(runs)),
            mode=gltf.LINES,
            material=self._material(layer, opacity=1.0),
        )

    def _positions(self, points: Points) -> int:
        values = y_up(points)
        return self._accessor(
            values,
            gltf.Accessor(
                componentType=gltf.FLOAT,
                count=len(values),
                type=gltf.VEC3,
                min=[float(v) for v in values.min(axis=0)],
                max=[float(v) for v in values.max(axis=0)],
            ),
            gltf.ARRAY_BUFFER,
        )

    def _indices(self, numbers: NDArray[Any]) -> int:
        values = numbers.ravel().astype(np.uint32)
        accessor = gltf.Accessor(
            componentType=gltf.UNSIGNED_INT, count=len(values), type=gltf.SCALAR
        )
        return self._accessor(values, accessor, gltf.ELEMENT_ARRAY_BUFFER)

    def _accessor(self, values: NDArray[Any], accessor: gltf.Accessor, target: int) -> int:
        """Append the bytes of an array; all parts are four bytes wide, so they stay aligned."""
        raw = values.tobytes()
        view = gltf.BufferView(
            buffer=0, byteOffset=len(self.block), byteLength=len(raw), target=target
        )
        self.block += raw
        self.document.bufferViews.append(view)
        accessor.bufferView = len(self.document.bufferViews) - 1
        self.document.accessors.append(accessor)
        return len(self.document.accessors) - 1

    def _material(self, layer: Layer, *, opacity: float) -> int:
        name = layer.key if opacity == 1.0 else f"{layer.key}, faint"
        found = (k for k, one in enumerate(self.document.materials) if one.name == name)
        if (known := next(found, None)) is not None:
            return known
        material = gltf.Material(
            name=name,
            doubleSided=True,
            alphaMode=gltf.OPAQUE if opacity == 1.0 else gltf.BLEND,
            alphaCutoff=None,
            pbrMetallicRoughness=gltf.PbrMetallicRoughness(
                baseColorFactor=list(_linear(shares(colour(layer), opacity))),
                metallicFactor=0.0,
                roughnessFactor=0.9,
            ),
        )
        self.document.materials.append(material)
        return len(self.document.materials) - 1


def _solids(layer: Layer) -> Solid:
    return merge(solid for item in layer.items for solid in _solid_of(item))


def _solid_of(item: Item) -> Iterator[Solid]:
    """Yield the surface of a thing; a place without any other form is shown as a block."""
    if item.solid is not None:
        yield item.solid
    elif item.at is not None and not item.lines and np.isfinite(item.at).all():
        yield box(item.at, np.eye(3), (_MARK, _MARK, _MARK))


def _covers(layer: Layer) -> Solid:
    vertices, triangles = merge(i.cover for i in layer.items if i.cover is not None)
    return vertices + np.array([0.0, 0.0, LIFT]), triangles


def _pairs(runs: list[Points]) -> NDArray[np.int64]:
    """Return the ends of every piece of lines that stand one after the other, shape (n, 2)."""
    first = np.cumsum([0, *(len(run) for run in runs)])
    starts = [f + np.arange(len(run) - 1) for f, run in zip(first, runs, strict=False)]
    flat = np.concatenate(starts)
    return np.column_stack([flat, flat + 1])


def _linear(share: tuple[float, float, float, float]) -> Iterator[float]:
    """Yield a colour as glTF counts it: light, not what a screen is told (IEC 61966-2-1)."""
    for part in share[:3]:
        yield part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
    yield share[3]
