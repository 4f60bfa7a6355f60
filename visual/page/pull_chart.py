"""The track of the slider as a chart: pull against raising angle, and what is the matter where."""

import math

import numpy as np

from visual.checks import Report
from visual.page.packing import Json, Numbers, pack_exact
from visual.raising import RaiseForces, RaiseRun
from visual.scene.chart_records import Band, ChartPanel
from visual.scene.curves import chart_panels
from visual.units import format_mass

_SERIES = {
    "tow_tension": ("pull of the tow line", "N"),
    "gin_compression": ("thrust of the gin pole", "N"),
    "hinge_force": ("force at the hinge", "N"),
    "mast_stress": ("stress of the mast", "Pa"),
    "hold_back": ("hold back at the top back wire", "N"),
}


def chart_data(report: Report, angles: Numbers) -> Json:
    """Return the chart along the slider, and the numbers at every angle [rad] of its tables."""
    panel, forces = chart_panels(report)[0], report.forces
    # the curves of one raise come after those of the other
    each = len(panel.curves) // len(forces.runs)
    return {
        "title": panel.title,
        "curves": [
            _curve(panel, number, angles) | {"bare": number >= each}
            for number in range(len(panel.curves))
        ],
        "limits": [
            {"name": c.name, "values": pack_exact(at_angles(c.angles, c.values, angles))}
            | {"about": _rests_on(report)}
            for c in panel.limits
        ],
        "bands": [*_without_head(forces), *map(_band, panel.bands)],
        "series": _series(forces.loaded, angles),
        "bareSeries": None if forces.bare is forces.loaded else _series(forces.bare, angles),
    }


_TO_DO = {"balance": "keep the back line in hand: its weight pulls it over"}
"""What a person does where a band of the chart has a word for the figures only."""


def _band(band: Band) -> Json:
    start, end = math.degrees(band.start), math.degrees(band.end)
    word = _TO_DO.get(band.kind, band.word)
    return {"kind": band.kind, "word": word, "from": start, "to": end}


def _rests_on(report: Report) -> Json:
    """Return what the limit of the pull rests on, in both systems of units."""
    tow = report.model.rig.tow
    if tow.by != "vehicle" or tow.vehicle_mass is None:
        return {"metric": "", "imperial": ""}
    return {
        "metric": f"{format_mass(tow.vehicle_mass, 'metric', decimals=0)}, grip {tow.grip:g}",
        "imperial": f"{format_mass(tow.vehicle_mass, 'imperial', decimals=0)}, grip {tow.grip:g}",
    }


def _without_head(forces: RaiseForces) -> list[Json]:
    """Return the angles at which only the bare mast can lie, if there are any."""
    bare, loaded = (float(run.angles[0]) for run in (forces.bare, forces.loaded))
    if bare >= loaded:
        return []
    start, end = math.degrees(bare), math.degrees(loaded)
    return [{"kind": "bare", "word": "only without the head", "from": start, "to": end}]


def _curve(panel: ChartPanel, number: int, angles: Numbers) -> Json:
    curve = panel.curves[number]
    worst = None
    if curve.worst is not None:
        place = math.degrees(curve.angles[curve.worst])
        worst = {"angle": place, "value": float(curve.values[curve.worst])}
    values = at_angles(curve.angles, curve.values, angles)
    return {"name": curve.name, "thin": curve.thin, "values": pack_exact(values), "worst": worst}


def _series(run: RaiseRun, angles: Numbers) -> list[Json]:
    found = [
        {"word": word, "unit": unit, "values": at_angles(run.angles, getattr(run, name), angles)}
        for name, (word, unit) in _SERIES.items()
    ]
    travel = {
        "word": "travel so far",
        "unit": "m",
        "values": at_angles(run.angles, run.tow.travel, angles),
    }
    return [one | {"values": pack_exact(one["values"])} for one in [*found, travel]]


def at_angles(known: Numbers, values: Numbers, angles: Numbers) -> Numbers:
    """Return values at angles, straight between steps; NaN outside of what is known."""
    if len(known) == 0:
        return np.full(len(angles), math.nan)
    # the steps are half a degree apart, and NaN next to a number must not spread to that number
    nearest = np.clip(np.searchsorted(known, angles - 1e-9), 0, len(known) - 1)
    exact = np.abs(known[nearest] - angles) < 1e-7
    straight = np.interp(angles, known, values, left=math.nan, right=math.nan)
    return np.asarray(np.where(exact, values[nearest], straight), dtype=float)
