"""The results document: one JSON object that other programs read."""

import json
import math
from pathlib import Path
from typing import Any

import numpy as np

from visual import __version__
from visual.checks.finding import Finding
from visual.checks.moving import Clearance
from visual.checks.report import Report
from visual.checks.results_raising import raising_results, side_wire_results
from visual.checks.setback import Setback
from visual.errors import InputError
from visual.model import InstalledWire, Model, PlacedAnchor, installed_wires
from visual.rig import SIDES
from visual.units import UnitSystem

FORMAT = 1

Json = dict[str, Any]

_AS_THEY_ARE = frozenset({str, int, bool, type(None)})


def results_document(report: Report) -> Json:
    """Return the results as plain JSON values: SI units, degrees, unrounded, never NaN."""
    model = report.model
    document = {
        "format": FORMAT,
        "program_version": __version__,
        "site": {
            "name": model.site.site.name,
            "crs": model.site.site.crs,
            "provisional": model.provisional,
        },
        "frame": _frame(model),
        "anchors": [_anchor(model, side_number) for side_number in range(len(SIDES))],
        "wires": [_wire(report, wire) for wire in installed_wires(model)],
        "side_wires": [side_wire_results(wire, report.forces) for wire in report.raised.side_wires],
        "raising": raising_results(report.raised, report.forces),
        "fall_zone": _fall_zone(report),
        "clearances": [_clearance(clearance) for clearance in report.clearances],
        "setbacks": [_setback(setback) for setback in report.setbacks],
        "findings": [finding_results(one, model.site.site.units) for one in report.findings],
    }
    cleaned: Json = without_nan(document)
    return cleaned


def write_results(report: Report, path: Path, *, more: Json | None = None) -> None:
    """Write the results document, with further keys at its end; see `write_document`."""
    write_document(results_document(report) | (more or {}), path)


def write_document(document: Json, path: Path) -> None:
    """Write a document of plain values as JSON; the file is replaced whole or not at all.

    Raises
    ------
    InputError
        If it cannot be written there.
    """
    beside = path.with_name(path.name + ".part")
    cleaned = without_nan(document)
    text = json.dumps(cleaned, indent=1, ensure_ascii=False, allow_nan=False)
    try:
        beside.write_text(text + "\n", encoding="utf-8")
        beside.replace(path)
    except OSError as error:
        rule = f"cannot be written: {error.strerror}"
        raise InputError.one(
            file=str(path), key="", value=None, rule=rule, way_out="choose another place"
        ) from None


def without_nan(value: Any) -> Any:
    """Return plain JSON values, with None where a number does not exist."""
    kind = type(value)  # what there is most of is asked for first: a document has thousands
    if kind is float:
        return value if math.isfinite(value) else None
    if kind in _AS_THEY_ARE:
        return value
    if isinstance(value, dict):
        return {key: without_nan(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [without_nan(item) for item in value]
    if isinstance(value, np.ndarray) and value.dtype.kind == "f" and np.isfinite(value).all():
        return value.tolist()
    if isinstance(value, np.ndarray | np.generic):
        return without_nan(value.tolist())
    return value


def _degrees(angle: float | None) -> float | None:
    return None if angle is None else math.degrees(angle)


def _frame(model: Model) -> Json:
    frame = model.frame
    declination = frame.declination
    return {
        "origin": {
            "easting": frame.origin_easting,
            "northing": frame.origin_northing,
            "height": frame.origin_height,
        },
        "convergence": _degrees(frame.convergence),
        "declination": _degrees(declination.value) if declination else None,
        "scale": frame.scale,
    }


def _anchor(model: Model, side_number: int) -> Json:
    side = SIDES[side_number]
    anchor = model.anchors[side]
    x, y, z = (float(value) for value in anchor.eye)
    easting, northing = model.frame.to_grid(x, y)
    following = model.anchors[SIDES[(side_number + 1) % len(SIDES)]]
    return {
        "name": side,
        "x": x,
        "y": y,
        "z": z,
        "easting": float(easting),
        "northing": float(northing),
        "height": float(model.frame.height(z)),
        **_bearings(model, anchor),
        "horizontal_distance": anchor.radius,
        "slope_distance": float(np.linalg.norm(anchor.eye)),
        "height_difference": z,
        "diagonal_to_next": float(np.linalg.norm(following.eye - anchor.eye)),
    }


def _bearings(model: Model, anchor: PlacedAnchor) -> Json:
    return {
        "bearing_grid": _degrees(anchor.bearing),
        "bearing_true": _degrees(model.frame.true_bearing(anchor.bearing)),
        "bearing_magnetic": _degrees(model.frame.magnetic_bearing(anchor.bearing)),
    }


def _wire(report: Report, wire: InstalledWire) -> Json:
    overs = {over.name: over.difference for over in report.raised.change_overs}
    return {
        "name": wire.name,
        "collar": report.model.rig.mast.collars[wire.level].height,
        "anchor": wire.side,
        "straight_length": wire.straight_length,
        "straight_length_pm": wire.straight_length_pm,
        "unstressed_length": wire.shape.unstressed_length,
        "cut_length": wire.cut_length,
        "sag": wire.shape.sag,
        "angle_at_anchor": _degrees(wire.angle),
        "initial_tension": wire.initial_tension,
        "change_over": overs.get(wire.name),
    }


def _fall_zone(report: Report) -> Json:
    zone = report.fall_zone
    reach = zip(zone.bearings, zone.reach, strict=True)
    return {
        "total_height": zone.total_height,
        "circle_radius": zone.circle_radius,
        "circle_area": zone.circle_area,
        "contact_area": zone.contact_area,
        "reach_by_bearing": [{"bearing": _degrees(b), "reach": r} for b, r in reach],
    }


def _clearance(clearance: Clearance) -> Json:
    closest = clearance.closest
    return {
        "part": clearance.part,
        "obstacle": clearance.obstacle.name,
        "distance": closest.distance,
        "angle": _degrees(closest.angle),
        "at_part": closest.at_part,
        "at_obstacle": closest.at_obstacle,
        "required": clearance.obstacle.requirement.distance,
        "basis": clearance.obstacle.requirement.basis,
        "first_raise": clearance.first_raise,
    }


def _setback(setback: Setback) -> Json:
    return {
        "to": setback.to,
        "name": setback.name,
        "from": setback.measured_from,
        "distance": setback.distance,
        "required": setback.required,
        "basis": setback.basis,
    }


def finding_results(finding: Finding, units: UnitSystem) -> Json:
    """Return a finding as plain values; only its message is in the units asked for."""
    return {
        "check": finding.check,
        "subject": finding.subject,
        "status": finding.status,
        "value": finding.value,
        "limit": finding.limit,
        "bound": finding.bound,
        "unit": finding.unit,
        "margin": finding.margin,
        "angle": finding.angle,
        "where": finding.where,
        "message": finding.message.in_units(units),
        "basis": finding.basis,
        "missing": finding.missing,
        "quantities": [
            {"value": one.value, "unit": one.unit} for one in finding.message.quantities
        ],
    }
