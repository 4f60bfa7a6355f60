"""What stands around, as layers: boundary, roads, water, buildings, trees, viewpoints."""

import math
from collections.abc import Iterator

import numpy as np
from shapely.geometry import Point as PlanPoint

from visual.exports.draping import edges, polygons
from visual.exports.drawing import Item, Layer, Points, Solid
from visual.model import Model, PlacedArea, PlacedBuilding, PlacedTree
from visual.scene.cut import flat_area
from visual.scene.solids import merge, tree, walls

_CROWN_QUARTER = 8  # segments per quarter of a crown

_FLAT = (
    ("boundary", "boundary", "boundary of the land"),
    ("road", "road_edge", "roads and tracks"),
    ("water", "water_edge", "water"),
    ("keep_out", "keep_out_edge", "ground to keep out of"),
)
"""Kind and layer, role, words."""


def site_layers(model: Model) -> Iterator[Layer]:
    """Yield the layers of everything around but overhead lines."""
    around = model.surroundings
    for kind, role, word in _FLAT:
        items = tuple(_flat(model, area) for area in around.areas_of(kind))
        yield Layer(
            key=kind, word=word, role=role, plan="areas", items=items, on_ground=True, named=True
        )
    yield Layer(
        key="buildings",
        word="buildings as upright prisms",
        role="building_edge",
        faces_role="building",
        plan="areas",
        items=tuple(_building(model, one) for one in around.buildings),
        named=True,
    )
    yield Layer(
        key="trees",
        word="trees; the area is the crown",
        role="tree",
        plan="areas",
        items=tuple(_tree(model, one) for one in around.trees),
    )
    yield Layer(
        key="viewpoints",
        word="places somebody looks from",
        role="viewpoint",
        plan="places",
        items=tuple(Item(name=one.name, at=one.eye) for one in around.viewpoints),
        named=True,
    )


def _flat(model: Model, area: PlacedArea) -> Item:
    return Item(
        name=area.name,
        attributes={"kind": area.kind, "area_m2": area.shape.area or None},
        paths=edges(model, area.shape),
        areas=polygons(model, area.shape),
    )


def _building(model: Model, one: PlacedBuilding) -> Item:
    known = math.isfinite(one.base + one.top)
    height = model.frame.height
    return Item(
        name=one.name,
        attributes={
            "base_height_m": number(height(one.base)),
            "top_height_m": number(height(one.top)),
            "area_m2": one.footprint.area,
        },
        areas=polygons(model, one.footprint),
        paths=_roof_edges(one) if known else (),
        top=one.top if known else None,
        solid=_prism(model, one) if known else None,
    )


def _roof_edges(one: PlacedBuilding) -> tuple[Points, ...]:
    rings = (one.footprint.exterior, *one.footprint.interiors)
    plans = [np.asarray(ring.coords)[:, :2] for ring in rings]
    levels = (one.base, one.top)
    return tuple(np.column_stack([p, np.full(len(p), z)]) for p in plans for z in levels)


def _prism(model: Model, one: PlacedBuilding) -> Solid:
    """Return walls and roof; there is no floor, which nobody sees."""
    # outer rings anticlockwise and holes clockwise: so all walls look outwards
    rings = [ring[:, :2] for polygon in polygons(model, one.footprint) for ring in polygon]
    return merge([*(walls(ring, one.base, one.top) for ring in rings), flat_area(rings, one.top)])


def _tree(model: Model, one: PlacedTree) -> Item:
    crown = PlanPoint(one.foot[:2]).buffer(one.crown_radius, quad_segs=_CROWN_QUARTER)
    known = bool(np.isfinite([*one.foot, one.height, one.crown_radius]).all())
    solid = None
    if known:
        solid = merge(tree(one.foot, height=one.height, crown_radius=one.crown_radius))
    return Item(
        name=one.name,
        attributes={
            "height_above_ground_m": number(one.height),
            "crown_radius_m": number(one.crown_radius),
            "foot_height_m": number(model.frame.height(float(one.foot[2]))),
        },
        at=one.foot,
        areas=polygons(model, crown),
        top=one.top if known else None,
        solid=solid,
    )


def number(value: float | None) -> float | None:
    """Return a number, or None where it does not exist."""
    return float(value) if value is not None and math.isfinite(value) else None
