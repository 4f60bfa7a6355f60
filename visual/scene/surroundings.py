"""What stands around, as layers: buildings, trees, overhead lines, roads, water, boundary."""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.model import Model, PlacedArea, PlacedBuilding, PlacedTree, PlacedViewpoint
from visual.scene.area_names import area_names
from visual.scene.cut import flat_area
from visual.scene.ground import draped_area, draped_line
from visual.scene.layers import AnyLayer, LabelLayer, LineLayer, MarkLayer, MeshLayer, Points
from visual.scene.power_line import line_layers
from visual.scene.solids import Solid, merge, tree, walls
from visual.scene.terrain import Terrain

_SOLID = "surroundings"
_FLAT = "areas"
_LETTER = 0.06  # height of a line of type on a plan, as a share of the total height


def surroundings_layers(model: Model, terrain: Terrain) -> list[AnyLayer]:
    """Return everything around the mast."""
    around = model.surroundings
    layers: list[AnyLayer] = []
    for kind in ("road", "water", "keep_out", "boundary"):
        for area in around.areas_of(kind):
            layers += _area(area, terrain, _LETTER * model.rig.mast.total_height)
    for building in around.buildings:
        layers += _building(building, terrain)
    for one in around.trees:
        layers += _tree(one)
    for line in around.lines:
        required = model.site.limits.overhead_line.required(line.voltage_kv).distance
        layers += line_layers(line, required=required)
    for viewpoint in around.viewpoints:
        layers += _viewpoint(viewpoint)
    return layers


def rings_of(shape: Any) -> list[NDArray[np.float64]]:
    """Return the rings of a plan polygon or of several, holes included, each shape (n, 2)."""
    parts = getattr(shape, "geoms", [shape])
    polygons = [part for part in parts if part.geom_type == "Polygon" and not part.is_empty]
    rings = [ring for p in polygons for ring in (p.exterior, *p.interiors)]
    return [np.asarray(ring.coords, dtype=float)[:, :2] for ring in rings]


def paths_of(shape: Any) -> list[NDArray[np.float64]]:
    """Return the lines of a plan geometry, each shape (n, 2)."""
    parts = getattr(shape, "geoms", [shape])
    lines = [part for part in parts if part.geom_type in ("LineString", "LinearRing")]
    return [np.asarray(line.coords, dtype=float)[:, :2] for line in lines]


def _area(area: PlacedArea, terrain: Terrain, letter: float) -> Iterator[AnyLayer]:
    rings, lines = rings_of(area.shape), paths_of(area.shape)
    if area.kind == "boundary":
        yield draped_line(terrain, [*rings, *lines], role="boundary", group=_FLAT, name=area.name)
        return
    if rings:
        yield from draped_area(terrain, rings, role=area.kind, group=_FLAT, name=area.name)
    if lines:
        role = f"{area.kind}_edge"
        yield draped_line(terrain, lines, role=role, group=_FLAT, name=area.name)
    yield from area_names(rings, lines, area.name, terrain, letter=letter)


def _building(building: PlacedBuilding, terrain: Terrain) -> list[AnyLayer]:
    rings = rings_of(building.footprint)
    middle = rings[0][:-1].mean(axis=0)
    if not math.isfinite(building.base + building.top):
        return [
            draped_line(terrain, rings, role="building_edge", group=_SOLID, name=building.name),
            _name(f"{building.name} (height unknown)", terrain.on(*map(float, middle))),
        ]
    turned = [_outward(ring, is_outer=k == 0) for k, ring in enumerate(rings)]
    wall = merge(walls(ring, building.base, building.top) for ring in turned)
    roof = flat_area(rings, building.top)
    return [
        _mesh("building", building.name, wall),
        _mesh("building_roof", building.name, roof),
        LineLayer(
            role="building_edge",
            group=_SOLID,
            name=building.name,
            paths=tuple(_edges(rings, building.base, building.top)),
        ),
        *_building_names(building, rings[0]),
    ]


def _building_names(building: PlacedBuilding, ring: NDArray[np.float64]) -> Iterator[LabelLayer]:
    """Name a building at the middle of its roof or, where that is hidden, along its eaves."""
    eaves = (ring[:-1] + ring[1:]) / 2
    for rank, at in enumerate([ring[:-1].mean(axis=0), *eaves]):
        yield LabelLayer(
            role="label",
            group=_SOLID,
            name=building.name,
            text=building.name,
            at=np.array([*at, building.top]),
            priority=4 - 0.01 * rank,
            choice=f"building {building.name}",
        )


def _outward(ring: NDArray[np.float64], *, is_outer: bool) -> NDArray[np.float64]:
    """Return a ring in the sense in which its walls look outwards: holes run clockwise."""
    x, y = ring[:-1, 0], ring[:-1, 1]
    area = float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    return ring if (area > 0) == is_outer else ring[::-1]


def _edges(rings: list[NDArray[np.float64]], base: float, top: float) -> Iterator[Points]:
    for ring in rings:
        yield np.column_stack([ring, np.full(len(ring), top)])
        for x, y in ring[:-1]:
            yield np.array([[x, y, base], [x, y, top]])


def _tree(one: PlacedTree) -> list[AnyLayer]:
    if not np.isfinite([*one.foot, one.height, one.crown_radius]).all():
        return []
    stem, crown = tree(one.foot, height=one.height, crown_radius=one.crown_radius)
    top = one.foot + np.array([0.0, 0.0, one.height])
    return [
        _mesh("tree_stem", one.name, stem),
        _mesh("tree", one.name, crown),
        *([] if is_numbered(one.name) else [_name(one.name, top, priority=1.0)]),
    ]


def is_numbered(name: str) -> bool:
    """Return whether a name is only a kind and a number, which nobody needs to read."""
    return name.rpartition(" ")[2].isdigit()


def _viewpoint(viewpoint: PlacedViewpoint) -> list[AnyLayer]:
    if not np.isfinite(viewpoint.eye).all():
        return []
    at = viewpoint.eye.reshape(1, 3)
    name = viewpoint.name
    return [
        MarkLayer(role="viewpoint", group="viewpoints", name=name, at=at, shape="diamond"),
        LabelLayer(role="label", group="viewpoints", name=name, text=name, at=at[0], priority=3),
    ]


def _mesh(role: str, name: str, solid: Solid) -> MeshLayer:
    return MeshLayer(role=role, group=_SOLID, name=name, vertices=solid[0], triangles=solid[1])


def _name(text: str, at: Points, *, priority: float = 3.0) -> LabelLayer:
    return LabelLayer(role="label", group=_SOLID, name=text, text=text, at=at, priority=priority)
