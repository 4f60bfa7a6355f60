"""The rig that a site file describes."""

import math

from visual.rig import (
    SIDES,
    AnchorPlan,
    Collar,
    GinPole,
    Head,
    Mast,
    Rig,
    Side,
    Tow,
    Tube,
    Turnbuckle,
    WireType,
)
from visual.rig.tube import STEEL_DENSITY, STEEL_MODULUS, STEEL_YIELD
from visual.site import SiteFile, TubeSection


def rig_of_site(site: SiteFile) -> Rig:
    """Return the rig of a site file, defaults filled in."""
    return Rig(
        mast=_mast(site),
        front=site.mast.front,
        anchors={side: _anchor(site, side) for side in SIDES},
        gin_pole=GinPole(tube=_tube(site.gin_pole), angle=site.gin_pole.angle),
        tow=_tow(site),
        wire_types={name: _wire(site, name) for name in site.wire},
        tension_share=site.tension.share_of_breaking,
        turnbuckle=Turnbuckle(
            travel=site.turnbuckle.travel,
            end_allowance=site.turnbuckle.end_allowance,
            per_turn=site.turnbuckle.per_turn,
        ),
    )


def _mast(site: SiteFile) -> Mast:
    stated = site.mast
    collars = sorted(stated.collar, key=lambda collar: collar.height)
    return Mast(
        sections=tuple(_tube(part) for part in stated.section for _ in range(part.count)),
        collars=tuple(Collar(height=c.height, wire=c.wire) for c in collars),
        head=_head(site),
        hinge_height=stated.hinge_height,
    )


def _head(site: SiteFile) -> Head | None:
    head = site.mast.head
    if head is None:
        return None
    return Head(
        mass=head.mass,
        centre_above_top=head.centre_above_top,
        centre_to_front=head.centre_to_front,
        rotor_diameter=head.rotor_diameter,
        rotor_above_top=head.rotor_above_top,
    )


def _tube(section: TubeSection) -> Tube:
    return Tube(
        length=section.length,
        outer_diameter=section.outer_diameter,
        wall=section.wall,
        density=_or(section.density, STEEL_DENSITY),
        modulus=_or(section.modulus, STEEL_MODULUS),
        yield_strength=_or(section.yield_strength, STEEL_YIELD),
    )


def _anchor(site: SiteFile, side: Side) -> AnchorPlan:
    table = site.anchors
    own = getattr(table, side)
    return AnchorPlan(
        side=side,
        # an anchor with a measured position needs no planned radius
        radius=_or(own.radius, _or(table.radius, math.nan)),
        turn=_or(own.turn, 0.0),
        eye_height=_or(own.eye_height, table.eye_height),
        capacity=table.capacity if own.capacity is None else own.capacity,
        built_at=own.position,
        built_height=own.height,
        built_accuracy=own.accuracy,
    )


def _wire(site: SiteFile, name: str) -> WireType:
    wire = site.wire[name]
    return WireType(
        name=name,
        diameter=wire.diameter,
        mass_per_metre=wire.mass_per_metre,
        stiffness=wire.stiffness,
        breaking_load=wire.breaking_load,
        source=wire.source,
    )


def _tow(site: SiteFile) -> Tow:
    tow = site.tow
    return Tow(
        by=tow.by,
        line=tow.line,
        line_length=tow.line_length,
        hitch_height=tow.hitch_height,
        through_front_anchor=tow.through_front_anchor,
        vehicle_mass=tow.vehicle_mass,
        grip=tow.grip,
        rolling=tow.rolling,
        driven_share=tow.driven_share,
        block_friction=tow.block_friction,
        parts=tow.parts,
        winch_pull=tow.winch_pull,
        shackle_load=tow.shackle_load,
        block_load=tow.block_load,
    )


def _or(value: float | None, default: float) -> float:
    return default if value is None else value
