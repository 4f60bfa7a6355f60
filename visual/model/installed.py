"""The wires as installed, mast upright: names, lengths, angles."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from visual.errors import InputError
from visual.ground import Surface
from visual.mechanics.catenary import Catenary, solve_by_tension
from visual.model.placed import PlacedAnchor
from visual.rig import SIDES, AnchorPlan, Rig, Side, Turnbuckle, WireType
from visual.site import SiteFile
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


def name_of_wire(rig: Rig, side: Side, level: int) -> str:
    """Return the name of a wire: its side, and its level from the lowest if there are several."""
    return side if len(rig.mast.collars) == 1 else f"{side} {level + 1}"


def is_measured(plan: AnchorPlan) -> bool:
    """Return whether place and height of an anchor's eye were measured."""
    return plan.built_at is not None and plan.built_height is not None


def span_and_rise(rig: Rig, anchor: PlacedAnchor, level: int) -> tuple[float, float]:
    """Return horizontal and vertical distance from anchor eye to collar, mast upright. [m]"""
    eye = anchor.eye
    return float(np.hypot(eye[0], eye[1])), float(rig.mast.collars[level].height - eye[2])


def install_wires(
    site: SiteFile, rig: Rig, anchors: Mapping[Side, PlacedAnchor], ground: Surface
) -> tuple[InstalledWire, ...]:
    """Hang every wire of the upright mast at its initial tension.

    Parameters
    ----------
    site : SiteFile
        Where the rig comes from, for errors.
    rig, anchors, ground : Rig, mapping of side to PlacedAnchor, Surface
        The rig, and where it stands.

    Raises
    ------
    InputError
        If a wire cannot hang like that.
    """
    levels = range(len(rig.mast.collars))
    return tuple(
        _install(site, rig, anchors[side], level, ground) for side in SIDES for level in levels
    )


def _install(
    site: SiteFile, rig: Rig, anchor: PlacedAnchor, level: int, ground: Surface
) -> InstalledWire:
    name = name_of_wire(rig, anchor.side, level)
    kind = rig.wire_of_level(level)
    span, rise = span_and_rise(rig, anchor, level)
    tension = rig.tension_share * kind.breaking_load
    try:
        shape = _hanging(kind, span=span, rise=rise, tension=tension)
    except ValueError as error:
        raise _cannot_hang(site, rig, name, error) from None
    plan = rig.anchors[anchor.side]
    return InstalledWire(
        side=anchor.side,
        level=level,
        name=name,
        straight_length=math.hypot(span, rise),
        straight_length_pm=_straight_length_pm(plan, anchor, ground, span=span, rise=rise),
        angle=math.atan2(rise, span),
        initial_tension=tension,
        shape=shape,
        cut_length=_cut_length(rig.turnbuckle, shape.unstressed_length),
        final=is_measured(plan),
    )


def _cannot_hang(site: SiteFile, rig: Rig, name: str, error: ValueError) -> InputError:
    """Return the error of a wire too heavy, too long or too loose to hang as planned."""
    rule, _, way_out = str(error).partition("; ")
    return InputError.one(
        file=str(site.path),
        key="tension.share_of_breaking",
        value=rig.tension_share,
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


def _cut_length(turnbuckle: Turnbuckle, unstressed: float) -> float:
    return unstressed + turnbuckle.end_allowance - turnbuckle.travel / 2


def _straight_length_pm(
    plan: AnchorPlan, anchor: PlacedAnchor, ground: Surface, *, span: float, rise: float
) -> float:
    """Return one standard deviation of a straight length. [m]

    Of a measured anchor with a stated accuracy: that accuracy, which is against the hinge. Else the
    effect of two independent height errors, at base and anchor.
    """
    if plan.built_accuracy is not None and is_measured(plan):
        return plan.built_accuracy
    at_anchor = ground.accuracy_at(*anchor.eye[:2])
    at_base = ground.accuracy_at(0.0, 0.0)
    if is_measured(plan):
        at_anchor = np.asarray(ground.survey_accuracy)
    return math.hypot(at_anchor, at_base) * abs(rise) / math.hypot(span, rise)
