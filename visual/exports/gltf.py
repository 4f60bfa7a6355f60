"""Binary glTF 2.0: one node per layer; metres, y up, origin at the hinge.

glTF's axes: x points along grid east, y up, z along grid south. Solids carry no normals, so a
viewer shades each face flat, as the standard asks. The ground carries its hill shade as colours.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pygltflib as gltf
from numpy.typing import NDArray

from visual import __version__
from visual.exports.drawing import Drawing, Item, Layer, Points, Solid, known_runs
from visual.exports.gltf_block import Block
from visual.exports.look import FAINT, Share, colour, face_colour, hill_colours, shares
from visual.scene.solids import box, merge

LIFT = 0.05
"""What lies on the ground is drawn this much above it, or the two would flicker. [m]"""

_MARK = 0.12  # a place without any other form is shown as a block of this half width [m]
_SEEN_THROUGH = frozenset({"required_clearance"})
_AXES = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])
"""Rows: what x, y and z of the local frame are in the axes of glTF."""

_UNLIT = "KHR_materials_unlit"  # lines have no side that a lamp could light


def write_gltf(drawing: Drawing, path: Path) -> None:
    """Write all layers."""
    writer = _Writer()
    for layer in drawing.layers:
        writer.add(layer)
    writer.finish(drawing).save_binary(str(path))


def y_up(points: Points) -> NDArray[np.float32]:
    """Return points of the local frame in the axes of glTF."""
    return np.asarray(points @ _AXES, dtype=np.float32)


class _Writer:
    """Gathers nodes, meshes and materials, and the block of bytes they point into."""

    def __init__(self) -> None:
        self.document = gltf.GLTF2(scene=0, scenes=[gltf.Scene(nodes=[])])
        self.block = Block(self.document)

    def add(self, layer: Layer) -> None:
        """Add a layer as a node with a mesh: its solids, its covers, its lines."""
        primitives = [one for one in self._primitives(layer) if one is not None]
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
        self.document.extensionsUsed = [_UNLIT]
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
        self.block.close()
        return self.document

    def _primitives(self, layer: Layer) -> Iterator[gltf.Primitive | None]:
        ground = layer.key == "ground"
        opacity = FAINT if layer.key in _SEEN_THROUGH else 1.0
        lift = np.array([0.0, 0.0, LIFT if layer.on_ground else 0.0])
        solids, (cover, triangles) = _solids(layer), _covers(layer)
        paint = shares((255, 255, 255) if ground else face_colour(layer), opacity)
        yield self._triangles(layer.key, solids, paint, tinted=ground)
        yield self._triangles(
            f"{layer.key} cover", (cover + lift, triangles), shares(colour(layer), FAINT)
        )
        yield self._lines(layer, lift)

    def _triangles(
        self, name: str, solid: Solid, paint: Share, *, tinted: bool = False
    ) -> gltf.Primitive | None:
        vertices, triangles = solid
        if not len(triangles):
            return None
        attributes = gltf.Attributes(POSITION=self.block.positions(y_up(vertices)))
        if tinted:
            tints = np.array([list(_linear(one)) for one in hill_colours(vertices, triangles)])
            attributes.COLOR_0 = self.block.vectors(tints.astype(np.float32))
        return gltf.Primitive(
            attributes=attributes,
            indices=self.block.indices(triangles),
            mode=gltf.TRIANGLES,
            material=self._material(name, paint),
        )

    def _lines(self, layer: Layer, lift: Points) -> gltf.Primitive | None:
        runs = [run for item in layer.items for path in item.lines for run in known_runs(path)]
        if not runs:
            return None
        points = y_up(np.concatenate(runs) + lift)
        return gltf.Primitive(
            attributes=gltf.Attributes(POSITION=self.block.positions(points)),
            indices=self.block.indices(_pairs(runs)),
            mode=gltf.LINES,
            material=self._material(f"{layer.key} lines", shares(colour(layer)), unlit=True),
        )

    def _material(self, name: str, paint: Share, *, unlit: bool = False) -> int:
        material = gltf.Material(
            name=name,
            doubleSided=True,
            alphaMode=gltf.OPAQUE if paint[3] == 1.0 else gltf.BLEND,
            alphaCutoff=None,
            pbrMetallicRoughness=gltf.PbrMetallicRoughness(
                baseColorFactor=[*_linear(paint[:3]), paint[3]],
                metallicFactor=0.0,
                roughnessFactor=0.9,
            ),
            extensions={_UNLIT: {}} if unlit else {},
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
    return merge(item.cover for item in layer.items if item.cover is not None)


def _pairs(runs: list[Points]) -> NDArray[np.int64]:
    """Return the ends of every piece of lines that stand one after the other, shape (n, 2)."""
    first = np.cumsum([0, *(len(run) for run in runs)])
    starts = [f + np.arange(len(run) - 1) for f, run in zip(first, runs, strict=False)]
    flat = np.concatenate(starts)
    return np.column_stack([flat, flat + 1])


def _linear(rgb: Any) -> Iterator[float]:
    """Yield a colour as glTF counts it: light, not what a screen is told (IEC 61966-2-1)."""
    for part in rgb:
        yield part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
