"""Everything that was judged, in one complete record."""

from collections.abc import Callable
from dataclasses import dataclass, field

from visual.checks.capacity_lines import judge_lines
from visual.checks.capacity_pull import judge_pull
from visual.checks.capacity_rigging import judge_rigging
from visual.checks.capacity_steel import judge_steel
from visual.checks.clearance import certified_minima_of_all
from visual.checks.fall import judge_fall_zone
from visual.checks.finding import Finding, worst_first
from visual.checks.ground import judge_ground
from visual.checks.in_front import judge_gin_pole, judge_tow
from visual.checks.kept_minima import MinimaOf
from visual.checks.lane import judge_strips
from visual.checks.moving import (
    Around,
    Clearance,
    find_clearances,
    find_obstacles,
    judge_clearances,
)
from visual.checks.off_ground import judge_off_ground
from visual.checks.on_the_way import judge_side_wires, judge_start
from visual.checks.over_ground import find_over_ground
from visual.checks.place import judge_anchors, judge_rotor_height, judge_wire_angles
from visual.checks.setback import Setback, find_setbacks, judge_setbacks
from visual.checks.zones import FallZone, find_fall_zone
from visual.model import Model
from visual.raising import Raise, RaiseForces, analyse_forces, analyse_raise


@dataclass(frozen=True)
class Report:
    """One model, judged.

    Parameters
    ----------
    model : Model
        The mast on its site.
    raised : Raise
        The geometry of the raise.
    forces : RaiseForces
        The forces of the raise.
    fall_zone : FallZone
        Both fall zones.
    around : Around
        What clearances were measured to, and what could not be placed.
    clearances : tuple of Clearance
        Every part to every obstacle.
    setbacks : tuple of Setback
        Every rule to everything it applies to.
    findings : tuple of Finding
        Worst first.
    """

    model: Model = field(repr=False)
    raised: Raise = field(repr=False)
    forces: RaiseForces = field(repr=False)
    fall_zone: FallZone
    around: Around = field(repr=False)
    clearances: tuple[Clearance, ...] = field(repr=False)
    setbacks: tuple[Setback, ...]
    findings: tuple[Finding, ...]

    @property
    def stops(self) -> bool:
        """True if any finding stops the job."""
        return any(finding.status == "stop" for finding in self.findings)


def nothing() -> None:
    """Do nothing between two parts of the work."""


def assess(
    model: Model,
    *,
    raised: Raise | None = None,
    minima_of: MinimaOf = certified_minima_of_all,
    forces_of: Callable[[Model, Raise], RaiseForces] = analyse_forces,
    zone_of: Callable[[Model], FallZone] = find_fall_zone,
    between: Callable[[], None] = nothing,
) -> Report:
    """Judge a model: geometry and forces of the raise, zones, clearances, setbacks, findings.

    Parameters
    ----------
    model : Model
        The mast on its site.
    raised : Raise or None
        The geometry of its raise, where that is worked out already.
    minima_of : callable
        What finds the certified minima; one that keeps them is quicker from model to model.
    forces_of : callable
        What works out the forces.
    zone_of : callable
        What finds the fall zones.
    between : callable
        Called between the parts of the work; what it raises ends the work.
    """
    raised = analyse_raise(model) if raised is None else raised
    zone, around = zone_of(model), find_obstacles(model)
    between()
    clearances = find_clearances(model, raised, around.obstacles, minima_of=minima_of)
    between()
    over_ground = find_over_ground(model, raised, minima_of=minima_of)
    between()
    forces = forces_of(model, raised)
    between()
    setbacks = find_setbacks(model)
    findings = [
        *judge_start(model, raised),
        *judge_clearances(model, raised, around, clearances),
        *judge_off_ground(model, raised, over_ground),
        *judge_fall_zone(model, zone, around.obstacles),
        *judge_setbacks(model, setbacks),
        *judge_wire_angles(model),
        *judge_side_wires(model, raised),
        *judge_gin_pole(model, raised, over_ground),
        *judge_tow(model, raised, over_ground),
        *_of_place(model, raised),
        *_of_forces(model, forces),
    ]
    return Report(
        model=model,
        raised=raised,
        forces=forces,
        fall_zone=zone,
        around=around,
        clearances=clearances,
        setbacks=setbacks,
        findings=worst_first(findings),
    )


def _of_place(model: Model, raised: Raise) -> list[Finding]:
    return [
        *judge_strips(model, raised),
        *judge_anchors(model),
        *judge_rotor_height(model),
        *judge_ground(model),
    ]


def _of_forces(model: Model, forces: RaiseForces) -> list[Finding]:
    return [
        *judge_pull(model, forces),
        *judge_lines(model, forces),
        *judge_rigging(model, forces),
        *judge_steel(model, forces),
    ]
