"""How long the arrows of forces are: a round force for each centimetre or inch on paper."""

import math
from collections.abc import Sequence

import numpy as np

from visual.checks import Report
from visual.raising import RaiseRun
from visual.scene.force_key import beside, paper_units
from visual.scene.force_view import LONGEST, forces
from visual.scene.furniture import round_scale
from visual.scene.sheet import Sheet, lay_page
from visual.units import FORCE_UNITS, STANDARD_GRAVITY, UnitSystem

_ROUND = (1.0, 2.0, 2.5, 4.0, 5.0, 10.0)
_ROUND_BESIDE = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_USUAL = (1600, 1000)


def newtons_per_metre(report: Report) -> float:
    """Return the force that an arrow of 1 m on the drawing stands for. [N/m]

    It is the same at all angles, and round on an A4 print of the usual shape; NaN if no force is
    known.
    """
    largest = _largest(report.forces.loaded)
    if math.isnan(largest):
        return math.nan
    longest = LONGEST * report.model.rig.mast.total_height
    paper, newton = paper_units(report.model.site.site.units)
    reduction = _usual_reduction(report)
    least = largest / longest * reduction * paper / newton
    return _round_up(least) * newton / paper / reduction


def round_newtons_per_metre(report: Report, system: UnitSystem) -> float:
    """Return the force of an arrow of 1 m beside the mast, round for 1 m, or for 1 ft. [N/m]

    It is the same at all angles of both raises; NaN if no force is known.
    """
    known = [_largest(run) for run in report.forces.runs]
    known = [largest for largest in known if math.isfinite(largest)]
    if not known:
        return math.nan
    longest = LONGEST * report.model.rig.mast.total_height
    length, _ = beside(system)
    newton = FORCE_UNITS["kN" if system == "metric" else "lbf"]
    least = max(known) / longest * length / newton
    return _round_up(least, steps=_ROUND_BESIDE) * newton / length


def _largest(run: RaiseRun) -> float:
    """Return the largest force of a raise; NaN if no more than the weight is known. [N]"""
    if not np.isfinite(run.tow_tension).any() or not np.isfinite(run.lift_wires).any():
        return math.nan
    weight = np.full(run.angles.shape, STANDARD_GRAVITY * run.weights.mass)
    parts = [run.tow_tension, run.hold_back, run.hinge_force, np.abs(run.gin_compression), weight]
    every = np.concatenate([*parts, run.lift_wires.ravel()])
    return float(every[np.isfinite(every)].max())


def _round_up(value: float, *, steps: Sequence[float] = _ROUND) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    return power * next(step for step in steps if step * power >= value * (1 - 1e-9))


def _usual_reduction(report: Report) -> float:
    """Return metres of the drawing per metre on paper for a picture of the usual size."""
    sheet = Sheet(*_USUAL)
    page = lay_page(sheet, panel="bottom", panel_size=sheet.height // 7, foot_lines=2)
    view = round_scale(forces(report), sheet, page.frame)
    return view.metres_per_pixel(page.frame.width, page.frame.height) / sheet.printed_scale
