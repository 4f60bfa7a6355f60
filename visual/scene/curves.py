"""The charts of the raise, made from the record of its forces: no drawing here.

Everything is in SI and radians, straight from the record of the forces; only the drawing turns it
into the units of the site.
"""

import numpy as np

from visual.checks import Report
from visual.checks.capacity_lines import working_load
from visual.checks.capacity_steel import yields_along
from visual.checks.on_the_way import NOTICEABLE, tight_limit
from visual.model import Model
from visual.raising import RaiseForces, RaiseRun
from visual.raising.forces_pole import gin_pole_stress, pole_strut
from visual.raising.forces_vehicle import VehiclePull
from visual.raising.motion import Array
from visual.scene.chart_records import Band, ChartPanel, Curve

Mask = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

_SAME = 0.001  # limits of wires that differ by less than this are one [m]


def chart_panels(report: Report) -> tuple[ChartPanel, ...]:
    """Return the charts of a raise, in the order in which they are best read."""
    model, forces = report.model, report.forces
    shared = bands_of_raise(forces)
    return (
        _tow_pull(model, forces, shared),
        _gin_pole(model, forces, shared),
        _lift_wires(model, forces, shared),
        _mast_stress(model, forces, shared),
        _side_wires(report, shared),
    )


def spans(angles: Array, where: Mask) -> list[tuple[float, float]]:
    """Return the ranges of angles [rad] in which a mask holds, half a step wider at both ends."""
    edges = np.concatenate([angles[:1], (angles[1:] + angles[:-1]) / 2, angles[-1:]])
    turns = np.flatnonzero(np.diff(np.concatenate([[0], where.astype(int), [0]])))
    return [
        (float(edges[a]), float(edges[b])) for a, b in zip(turns[::2], turns[1::2], strict=True)
    ]


def bands_of_raise(forces: RaiseForces) -> tuple[Band, ...]:
    """Return what holds for every chart: where the mast goes over, stops, or is not known."""
    found = []
    for run in forces.runs:
        upright = float(run.angles[-1])
        if run.hold_from is not None and run.hold_from < upright:
            found.append(Band("balance", "goes over by itself", run.hold_from, upright))
        stuck = (run.weight_moment > 0.0) & (run.lever <= 0.0)
        found += [Band("stop", "stop: over-centre", a, b) for a, b in spans(run.angles, stuck)]
        falls = np.isin(np.arange(run.angles.size), run.unstable)
        found += [Band("stop", "stop: does not stand", a, b) for a, b in spans(run.angles, falls)]
        lost = np.isnan(run.mast_stress) & ~stuck & ~falls
        found += [Band("unknown", "not known", a, b) for a, b in spans(run.angles, lost)]
    return tuple(found)


def _run_name(run: RaiseRun, forces: RaiseForces) -> str:
    if len(forces.runs) == 1:
        return ""
    return "with the head" if run is forces.loaded else "without the head"


def _curve(
    run: RaiseRun, forces: RaiseForces, values: Array, *, name: str = "", number: int = 0
) -> Curve:
    """Return one line of a raise; its worst is the largest."""
    known = not np.isnan(values).any()
    words = [part for part in (name, _run_name(run, forces)) if part]
    return Curve(
        name=", ".join(words),
        angles=run.angles,
        values=values,
        worst=int(np.argmax(values)) if known and values.max() > 0 else None,
        thin=run is not forces.loaded,
        number=number,
    )


def _level(name: str, run: RaiseRun, value: float, *, number: int = 0) -> Curve:
    """Return a limit that is the same at all angles."""
    return Curve(name, run.angles, np.full(run.angles.shape, value), number=number)


def _beyond(run: RaiseRun, where: Mask) -> tuple[Band, ...]:
    """Return the ranges in which a limit is passed."""
    return tuple(Band("stop", "stop", a, b) for a, b in spans(run.angles, where))


def _tow_pull(model: Model, forces: RaiseForces, shared: tuple[Band, ...]) -> ChartPanel:
    """Return the pull at the hitch, or on the winch's part of line, against what is there."""
    tow = model.rig.tow
    behind = "winch" if tow.by == "winch" else "hitch"
    curves, limits, bands = [], [], list(shared)
    apart = not np.array_equal(forces.loaded.hauling, forces.loaded.tow_tension, equal_nan=True)
    vehicles: tuple[VehiclePull | None, ...] = (forces.vehicle, forces.vehicle_bare)
    for run, vehicle in zip(forces.runs, vehicles, strict=False):
        curves.append(_curve(run, forces, run.hauling, name=behind if apart else ""))
        if apart:
            tip = _curve(run, forces, run.tow_tension, name="gin-pole tip", number=1)
            curves.append(tip)
        if vehicle is not None:
            # where no pull is needed none is short; the line is slack there
            bands += _beyond(run, (vehicle.needed > vehicle.available) & (vehicle.needed > 0))
            # both raises share the lane: the first one only adds the angles below the other
            below = run.angles < forces.loaded.angles[0]
            keep = np.ones_like(below) if run is forces.loaded else below
            name = "the vehicle can pull"
            limits.append(Curve(name, run.angles[keep], vehicle.available[keep]))
        elif tow.winch_pull is not None:
            bands += _beyond(run, run.hauling > tow.winch_pull)
    if tow.winch_pull is not None and tow.by == "winch":
        limits.append(_level("the winch can pull", _longest(forces), tow.winch_pull))
    title = f"Tow pull, {behind} and gin-pole tip" if apart else f"Tow pull at the {behind}"
    return ChartPanel(
        "tow-pull", title, "force", "tow_line", tuple(curves), tuple(limits), tuple(bands)
    )


def _longest(forces: RaiseForces) -> RaiseRun:
    """Return the raise that starts lowest."""
    return min(forces.runs, key=lambda run: float(run.angles[0]))


def _gin_pole(model: Model, forces: RaiseForces, shared: tuple[Band, ...]) -> ChartPanel:
    """Return the thrust of the gin pole; it stops by Euler's load, or by stress."""
    euler, steel = model.site.limits.euler_factor, model.site.limits.yield_factor.value
    limit = pole_strut(model).euler_load / euler.value
    bands = list(shared)
    for run in forces.runs:
        thrust = run.gin_compression
        stress = gin_pole_stress(model, thrust, run.angles, factor=steel)
        strong = model.rig.gin_pole.tube.yield_strength
        bands += _beyond(run, (thrust > limit) | (stress > strong))
    return ChartPanel(
        "gin-pole",
        "Gin-pole thrust, below zero it is pulled",
        "force",
        "gin_pole",
        tuple(_curve(run, forces, run.gin_compression) for run in forces.runs),
        (_level("limit of buckling", _longest(forces), limit),),
        tuple(bands),
    )


def _lift_wires(model: Model, forces: RaiseForces, shared: tuple[Band, ...]) -> ChartPanel:
    """Return the tension of each lift wire."""
    collars = model.rig.mast.collars
    kinds = [model.rig.wire_types[collar.wire] for collar in collars]
    limits = [working_load(model, kind)[0] for kind in kinds]
    curves, bands = [], list(shared)
    for run in forces.runs:
        for level in range(len(collars)):
            values = run.lift_wires[:, level]
            name = f"lift {level + 1}" if len(collars) > 1 else ""
            curves.append(_curve(run, forces, values, name=name, number=level))
            bands += _beyond(run, values > limits[level])
    alike = len({round(limit, 6) for limit in limits}) == 1
    names = (
        ["working load"] if alike else [f"working load, lift {k + 1}" for k in range(len(kinds))]
    )
    longest = _longest(forces)
    lines = tuple(_level(name, longest, x) for name, x in zip(names, limits, strict=False))
    title = "Lift wires, lift 1 the lowest" if len(collars) > 1 else "Lift wire"
    return ChartPanel("lift-wires", title, "force", "lift_wire", tuple(curves), lines, tuple(bands))


def _mast_stress(model: Model, forces: RaiseForces, shared: tuple[Band, ...]) -> ChartPanel:
    """Return the largest stress along the mast; it stops where any section passes its own limit."""
    factor = model.site.limits.yield_factor.value
    strengths = [tube.yield_strength for tube in model.rig.mast.sections]
    bands = list(shared)
    for run in forces.runs:
        over = [
            state is not None
            and bool((state.stress * factor > yields_along(run, state.places)).any())
            for state in run.mast
        ]
        bands += _beyond(run, np.array(over))
    name = "limit" if len(set(strengths)) == 1 else "limit of the weakest section"
    return ChartPanel(
        "mast-stress",
        "Mast, largest stress along it",
        "stress",
        "mast",
        tuple(_curve(run, forces, run.mast_stress) for run in forces.runs),
        (_level(name, _longest(forces), min(strengths) / factor),),
        tuple(bands),
    )


def _side_wires(report: Report, shared: tuple[Band, ...]) -> ChartPanel:
    """Return how much too short or too long each side wire is."""
    model, wires = report.model, report.raised.side_wires
    levels = len(model.rig.mast.collars)
    curves, bands = [], [band for band in shared if band.kind == "balance"]
    limits = []
    for number, wire in enumerate(wires):
        if not model.anchors[wire.side].placed:
            continue
        limit = tight_limit(model, wire)[0]
        limits.append(limit)
        tight, slack = int(np.argmax(wire.change)), int(np.argmin(wire.change))
        worst = tight if wire.change[tight] > NOTICEABLE else slack
        marked = abs(float(wire.change[worst])) > NOTICEABLE
        curves.append(
            Curve(
                wire.name,
                wire.angles,
                wire.change,
                worst=worst if marked else None,
                number=number % levels + (0 if wire.side == "left" else levels),
            )
        )
        over = wire.change > limit
        bands += [Band("stop", "stop", a, b) for a, b in spans(wire.angles, over)]
    alike = not limits or max(limits) - min(limits) < _SAME
    name = "limit" if alike else "lowest limit"
    lines = [Curve(name, wires[0].angles, np.full(wires[0].angles.shape, min(limits, default=0.0)))]
    return ChartPanel(
        "side-wires",
        "Side wires, tight above zero, slack below",
        "change",
        "wire",
        tuple(curves),
        tuple(lines) if limits else (),
        tuple(bands),
    )
