"""The standing rig as layers: base plate, anchors, wires, mast and rotor."""

import math
from collections.abc import Iterator

import numpy as np

from visual.exports.drawing import Item, Layer, Points, Solid
from visual.exports.site_layers import number
from visual.model import InstalledWire, Model, PlacedAnchor, installed_wires
from visual.raising import pose_at
from visual.rig import Mast
from visual.scene.solids import box, ring_about, tube

UPRIGHT = math.pi / 2
WIRE_POINTS = 41  # of a hanging wire

_HINGE = np.zeros(3)
_PEG = 0.08  # an anchor and the base plate are shown as blocks of this half width [m]


def rig_layers(model: Model) -> Iterator[Layer]:
    """Yield the rig as it is left standing: front wires on their anchor, gin pole gone."""
    yield Layer(
        key="base", word="base plate", role="base", plan="places", items=(_base(model),), named=True
    )
    yield Layer(
        key="anchors",
        word="anchors, at their eyes",
        role="anchor",
        plan="places",
        items=tuple(_anchor(model, one) for one in model.anchors.values()),
        named=True,
    )
    yield Layer(
        key="wires",
        word="wires of the standing mast at their initial tension",
        role="wire",
        items=tuple(_wire(model, wire) for wire in installed_wires(model)),
    )
    yield Layer(key="mast", word="mast, upright", role="mast", plan="places", items=(_mast(model),))
    yield Layer(
        key="rotor", word="circle the rotor turns in", role="rotor", items=tuple(_rotor(model))
    )


def _base(model: Model) -> Item:
    foot = np.array([0.0, 0.0, model.base_ground])
    frame = model.frame
    return Item(
        name="base plate",
        attributes={
            "ground_height_m": number(frame.height(model.base_ground)),
            "hinge_height_m": number(frame.origin_height),
            "front_grid_deg": math.degrees(model.rig.front) % 360,
            "front_true_deg": _degrees(frame.true_bearing(model.rig.front)),
            "front_magnetic_deg": _degrees(frame.magnetic_bearing(model.rig.front)),
        },
        at=foot,
        solid=_block(foot),
    )


def _anchor(model: Model, one: PlacedAnchor) -> Item:
    frame = model.frame
    ground = np.array([*one.eye[:2], one.ground_height])
    known = one.placed and math.isfinite(one.ground_height)
    return Item(
        name=f"{one.side} anchor",
        attributes={
            "side": one.side,
            "as_built": one.as_built,
            "eye_height_m": number(frame.height(float(one.eye[2]))),
            "ground_height_m": number(frame.height(one.ground_height)),
            "horizontal_distance_m": one.radius,
            "above_hinge_m": number(float(one.eye[2])),
            "bearing_grid_deg": math.degrees(one.bearing),
            "bearing_true_deg": _degrees(frame.true_bearing(one.bearing)),
            "bearing_magnetic_deg": _degrees(frame.magnetic_bearing(one.bearing)),
            "capacity_n": number(one.capacity),
        },
        at=one.eye,
        solid=_block((one.eye + ground) / 2 if known else one.eye) if one.placed else None,
    )


def _degrees(bearing: float | None) -> float | None:
    return None if bearing is None else math.degrees(bearing) % 360


def _block(centre: Points) -> Solid:
    return box(centre, np.eye(3), (_PEG, _PEG, _PEG))


def _wire(model: Model, wire: InstalledWire) -> Item:
    collar = model.rig.mast.collars[wire.level]
    kind = model.rig.wire_types[collar.wire]
    placed = model.anchors[wire.side].placed
    return Item(
        name=f"wire {wire.name}",
        attributes={
            "anchor": wire.side,
            "collar_m": collar.height,
            "wire_type": kind.name,
            "diameter_m": kind.diameter,
            "straight_length_m": number(wire.straight_length),
            "straight_length_pm_m": number(wire.straight_length_pm),
            "unstressed_length_m": number(wire.shape.unstressed_length),
            "cut_length_m": number(wire.cut_length),
            "sag_m": number(wire.shape.sag) if placed else None,
            "angle_at_anchor_deg": number(math.degrees(wire.angle)),
            "initial_tension_n": number(wire.initial_tension),
        },
        paths=(_hanging(model, wire),) if placed else _plan_of_wire(model, wire),
    )


def _hanging(model: Model, wire: InstalledWire) -> Points:
    """Return the wire from its anchor's eye to its collar. [m]"""
    eye = model.anchors[wire.side].eye
    collar = np.array([0.0, 0.0, model.rig.mast.collars[wire.level].height])
    along, up = wire.shape.points(WIRE_POINTS).T
    away = (collar - eye)[:2]
    away = away / max(float(np.hypot(*away)), 1e-9)
    path = eye + np.column_stack([along[:, None] * away, up])
    path[0], path[-1] = eye, collar
    return np.asarray(path, dtype=float)


def _plan_of_wire(model: Model, wire: InstalledWire) -> tuple[Points, ...]:
    """Return where a wire runs whose anchor has no known height: in plan only."""
    eye = model.anchors[wire.side].eye
    return (np.array([eye, [0.0, 0.0, math.nan]]),)


def mast_tube(mast: Mast, direction: Points) -> Solid:
    """Return the tube of a mast from the hinge along a unit vector."""
    along = np.cumsum([0.0, *(section.length for section in mast.sections)])
    radii = [section.outer_diameter / 2 for section in mast.sections]
    # two points per section; the second point of a step in width lies a hair above the first
    ends = np.column_stack([along[:-1] + np.r_[0.0, np.full(len(radii) - 1, 1e-3)], along[1:]])
    return tube(ends.ravel()[:, None] * direction, [radius for radius in radii for _ in range(2)])


def _mast(model: Model) -> Item:
    mast = model.rig.mast
    return Item(
        name="mast",
        attributes={
            "length_m": mast.length,
            "mast_height_m": mast.mast_height,
            "hub_height_m": mast.hub_height,
            "total_height_m": mast.total_height,
            "head_mass_kg": mast.head.mass if mast.head else None,
        },
        at=np.array([0.0, 0.0, model.base_ground]),
        paths=(np.array([_HINGE, mast.length * model.upward]),),
        solid=mast_tube(mast, model.upward),
    )


def _rotor(model: Model) -> Iterator[Item]:
    head = model.rig.mast.head
    pose = pose_at(model, UPRIGHT)
    if head is None or pose.rotor_centre is None or head.rotor_radius <= 0:
        return
    centre = pose.rotor_centre
    yield Item(
        name="rotor",
        attributes={
            "diameter_m": head.rotor_diameter,
            "centre_height_m": number(model.frame.height(float(centre[2]))),
        },
        paths=(ring_about(centre, pose.normal, head.rotor_radius),),
    )
