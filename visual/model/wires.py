"""The wires as installed, mast upright: names, lengths, angles."""

import math
from dataclasses import dataclass

import numpy as np

from visual.errors import InputError
from visual.mechanics.catenary import Catenary, solve_by_tension
from visual.model.record import Model
from visual.rig import SIDES, Side, WireType
from visual.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class InstalledWire:
    """One wire, mast upright, at its initial tension; NaN where its anchor has no known height.

    Parameters
    ----------
    side : {"front", "right", "back", "left"}
        Anchor it goes to.
    level : int
        Number of its collar from the lowest, 0 first.
    name : str
        Name on every list and picture.
    straight_length : float
        Eye to collar. [m]
    straight_length_pm : float
        One standard deviation of it from the accuracy of the ground heights, or of the measured
        anchor. [m]
    angle : float
        Angle of the straight line above horizontal, at the anchor. [rad]
    initial_tension : float
        Tension at the anchor end. [N]
    shape : Catenary
        The hanging wire.
    cut_length : float
        Unstressed length and end allowances, less the turnbuckle at its middle. [m]
    final : bool
        True if place and height of its anchor were measured; else its lengths are provisional.
    """

    side: Side
    level: int
    name: str
    straight_length: float
    straight_length_pm: float
    angle: float
    initial_tension: float
    shape: Catenary
    cut_length: float
    final: bool


def wire_name(model: Model, side: Side, level: int) -> str:
    """Return the name of a wire: its side, and its level from the lowest if there are several."""
    return side if len(model.rig.mast.collars) == 1 else f"{side} {level + 1}"


def installed_wires(model: Model) -> tuple[InstalledWire, ...]:
    """Return every wire of the upright mast, side by side from the lowest level up."""
    return model.installed


def installed_wire(model: Model, side: Side, level: int) -> InstalledWire:
    """Return one wire of the upright mast."""
    return model.installed[SIDES.index(side) * len(model.rig.mast.collars) + level]


def install_wires(model: Model) -> tuple[InstalledWire, ...]:
    """Hang every wire of the upright mast at its initial tension; `installed_wires` keeps them."""
    levels = range(len(model.rig.mast.collars))
    return tuple(_install(model, side, level) for side in SIDES for level in levels)


def _install(model: Model, side: Side, level: int) -> InstalledWire:
    collar = model.rig.mast.collars[level]
    kind = model.rig.wire_types[collar.wire]
    span, rise = wire_span_and_rise(model, side, level)
    tension = model.rig.tension_share * kind.breaking_load
    try:
        shape = _hanging(kind, span=span, rise=rise, tension=tension)
    except ValueError as error:
        raise _cannot_hang(model, wire_name(model, side, level), error) from None
    return InstalledWire(
        side=side,
        level=level,
        name=wire_name(model, side, level),
        straight_length=math.hypot(span, rise),
        straight_length_pm=_straight_length_pm(model, side, span=span, rise=rise),
        angle=math.atan2(rise, span),
        initial_tension=tension,
        shape=shape,
        cut_length=_cut_length(model, shape.unstressed_length),
        final=is_measured(model, side),
    )


def _cannot_hang(model: Model, name: str, error: ValueError) -> InputError:
    """Return the error of a wire too heavy, too long or too loose to hang as planned."""
    rule, _, way_out = str(error).partition("; ")
    return InputError.one(
        file=str(model.site.path),
        key="tension.share_of_breaking",
        value=model.rig.tension_share,
        rule=f"wire {name} cannot hang like that: {rule}",
        way_out=way_out or "check mass, stiffness and breaking load of the wire, and its anchor",
    )


def _hanging(kind: WireType, *, span: float, rise: float, tension: float) -> Catenary:
    """Return the hanging wire; one to an anchor of unknown height is unknown, all NaN."""
    weight = kind.mass_per_metre * STANDARD_GRAVITY
    if math.isnan(rise):
        return Catenary(span, rise, math.nan, weight, kind.stiffness, math.nan, math.nan)
    return solve_by_tension(
        span=span, rise=rise, tension_lower=tension, weight=weight, stiffness=kind.stiffness
    )


def wire_span_and_rise(model: Model, side: Side, level: int) -> tuple[float, float]:
    """Return horizontal and vertical distance from anchor eye to collar, mast upright. [m]"""
    eye = model.anchors[side].eye
    return float(np.hypot(eye[0], eye[1])), float(model.rig.mast.collars[level].height - eye[2])


def straight_length(model: Model, side: Side, level: int) -> float:
    """Return the distance from anchor eye to collar, mast upright. [m]"""
    return math.hypot(*wire_span_and_rise(model, side, level))


def _cut_length(model: Model, unstressed: float) -> float:
    turnbuckle = model.rig.turnbuckle
    return unstressed + turnbuckle.end_allowance - turnbuckle.travel / 2


def is_measured(model: Model, side: Side) -> bool:
    """Return whether place and height of an anchor's eye were measured."""
    plan = model.rig.anchors[side]
    return plan.built_at is not None and plan.built_height is not None


def _straight_length_pm(model: Model, side: Side, *, span: float, rise: float) -> float:
    """Return one standard deviation of a straight length. [m]

    Of a measured anchor with a stated accuracy: that accuracy, which is against the hinge. Else the
    effect of two independent height errors, at base and anchor.
    """
    stated = model.rig.anchors[side].built_accuracy
    if stated is not None and is_measured(model, side):
        return stated
    at_anchor = model.ground.accuracy_at(*model.anchors[side].eye[:2])
    at_base = model.ground.accuracy_at(0.0, 0.0)
    if is_measured(model, side):
        at_anchor = np.asarray(model.ground.survey_accuracy)
    return math.hypot(at_anchor, at_base) * abs(rise) / math.hypot(span, rise)
