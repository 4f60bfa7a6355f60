"""Putting ground, site and rig together."""

import math
from collections.abc import Iterable, Sequence

import numpy as np
from shapely.geometry import LineString, Polygon

from visual.errors import HeightUnknownError
from visual.frame import Frame
from visual.ground import Surface
from visual.model.placed import (
    PlacedAnchor,
    PlacedArea,
    PlacedBuilding,
    PlacedLine,
    PlacedTree,
    PlacedViewpoint,
    Surroundings,
    Vector,
)
from visual.model.record import Model
from visual.rig import SIDES, AnchorPlan, Rig, Side
from visual.site import Feature, SiteFile

OUTLINE_STEP = 1.0  # [m] spacing of the places along a building's outline where ground is read


def build_model(
    ground: Surface,
    site: SiteFile,
    rig: Rig,
    *,
    frame: Frame,
    features: Iterable[Feature] = (),
    surroundings: Surroundings | None = None,
) -> Model:
    """Drape base, anchors and surroundings on the ground and freeze the result.

    Parameters
    ----------
    ground : Surface
        The ground in the local frame.
    site : SiteFile
        What the user wrote.
    rig : Rig
        The rig at rest.
    frame : Frame
        The local frame; its origin is the hinge.
    features : iterable of Feature
        Surroundings in plan, in the local frame.
    surroundings : Surroundings or None
        The same on the ground, where that is done already; instead of `features`.

    Raises
    ------
    HeightUnknownError
        If the ground at the base is unknown: then nothing has a height.
    """
    if math.isnan(ground.height(0.0, 0.0)):
        message = (
            f"{site.path.name}: mast.position: the ground has no height there; "
            "move the mast onto known ground or add survey points"
        )
        raise HeightUnknownError(message)
    anchors = {side: _place_anchor(ground, frame, rig, side) for side in SIDES}
    return Model(
        site=site,
        frame=frame,
        ground=ground,
        rig=rig,
        anchors=anchors,
        surroundings=surroundings or place_surroundings(ground, tuple(features)),
        provisional=not all(anchor.as_built for anchor in anchors.values()),
    )


def _place_anchor(ground: Surface, frame: Frame, rig: Rig, side: Side) -> PlacedAnchor:
    plan = rig.anchors[side]
    x, y = _anchor_plan(frame, rig, plan)
    below = ground.height(x, y)
    eye_height = below + plan.eye_height
    if plan.built_height is not None:
        eye_height = float(frame.local_height(plan.built_height))
    return PlacedAnchor(
        side=side,
        eye=np.array([x, y, eye_height]),
        ground_height=below,
        capacity=plan.capacity,
        as_built=plan.built_at is not None,
    )


def _anchor_plan(frame: Frame, rig: Rig, plan: AnchorPlan) -> tuple[float, float]:
    """Return where an anchor is in plan: where it was measured, else where it is planned. [m]"""
    if plan.built_at is not None:
        x, y = frame.to_local(*plan.built_at)
        return float(x), float(y)
    bearing = rig.front + plan.nominal_bearing
    return plan.radius * math.sin(bearing), plan.radius * math.cos(bearing)


def place_surroundings(ground: Surface, features: Sequence[Feature]) -> Surroundings:
    """Drape every feature on the ground; a missing height stays NaN."""

    def of(*kinds: str) -> list[Feature]:
        return [feature for feature in features if feature.kind in kinds]

    solid = ("building", "tree", "overhead_line", "viewpoint")
    return Surroundings(
        buildings=tuple(_place_building(ground, feature) for feature in of("building")),
        trees=tuple(_place_tree(ground, feature) for feature in of("tree")),
        lines=tuple(_place_line(ground, feature) for feature in of("overhead_line")),
        areas=tuple(
            PlacedArea(kind=f.kind, name=f.name, shape=f.shape)
            for f in features
            if f.kind not in solid
        ),
        viewpoints=tuple(_place_viewpoint(ground, feature) for feature in of("viewpoint")),
    )


def _place_building(ground: Surface, feature: Feature) -> PlacedBuilding:
    heights = _heights_along(ground, feature.shape)
    return PlacedBuilding(
        name=feature.name,
        footprint=feature.shape,
        base=float(heights.min()),
        top=float(heights.max()) + _known(feature.height),
    )


def _heights_along(ground: Surface, footprint: Polygon) -> Vector:
    """Return ground heights along an outline, corners included; NaN if any is unknown. [m]"""
    outline = LineString(footprint.exterior.coords).segmentize(OUTLINE_STEP)
    points = np.asarray(outline.coords)[:, :2]
    return np.asarray(ground.height(points[:, 0], points[:, 1]))


def _place_tree(ground: Surface, feature: Feature) -> PlacedTree:
    return PlacedTree(
        name=feature.name,
        foot=_on_ground(ground, feature.shape.x, feature.shape.y),
        height=_known(feature.height),
        crown_radius=_known(feature.crown_radius),
    )


def _place_line(ground: Surface, feature: Feature) -> PlacedLine:
    plan = np.asarray(feature.shape.coords)[:, :2]
    feet = np.asarray(ground.height(plan[:, 0], plan[:, 1]))
    heights = np.asarray(feature.conductor_heights, dtype=float)
    return PlacedLine(
        name=feature.name,
        supports=np.column_stack([plan, feet + heights]),
        support_feet=feet,
        voltage_kv=feature.voltage_kv,
        sag=feature.sag,
        spread=feature.spread,
    )


def _place_viewpoint(ground: Surface, feature: Feature) -> PlacedViewpoint:
    eye = _on_ground(ground, feature.shape.x, feature.shape.y)
    eye[2] += feature.eye_height
    return PlacedViewpoint(name=feature.name, eye=eye)


def _on_ground(ground: Surface, x: float, y: float) -> Vector:
    return np.array([x, y, ground.height(x, y)])


def _known(value: float | None) -> float:
    """Return a number, NaN for one that is not stated: it must not be invented."""
    return math.nan if value is None else value
