"""A site in a few lines: where it is, which way it faces, and how well its ground is known."""

import math
from collections.abc import Iterator

from visual.checks.report import Report
from visual.model import Model
from visual.units import UnitSystem, format_length


def summary_lines(report: Report, *, units: UnitSystem) -> tuple[str, ...]:
    """Return the lines above a table of findings, each at most 100 columns wide."""
    model = report.model
    return (*_place(model), *_ground(model, units), *_bearings(model), *_heights(model, units))


def _place(model: Model) -> Iterator[str]:
    frame = model.frame
    east, north = frame.origin_easting, frame.origin_northing
    shown = f"{east:.6f}, {north:.6f}" if frame.scale is None else f"{east:.2f} E {north:.2f} N"
    yield f"base {shown} ({model.site.site.crs})"


def _ground(model: Model, units: UnitSystem) -> Iterator[str]:
    height = format_length(float(model.frame.height(model.base_ground)), units)
    accuracy = format_length(float(model.ground.accuracy_at(0.0, 0.0)), units)
    state = "provisional: anchors planned, not measured" if model.provisional else "as built"
    yield f"ground at the base {height} ± {accuracy}; {state}"


def _bearings(model: Model) -> Iterator[str]:
    front, frame = model.rig.front, model.frame
    true, magnetic = frame.true_bearing(front), frame.magnetic_bearing(front)
    text = f"front {_degrees(front)} grid"
    if true is not None:
        text += f", {_degrees(float(true))} true"
    if magnetic is not None:
        text += f", {_degrees(float(magnetic))} magnetic"
    yield text
    if frame.declination_note:
        yield f"north: {frame.declination_note}"


def _heights(model: Model, units: UnitSystem) -> Iterator[str]:
    mast = model.rig.mast
    yield (
        f"mast {format_length(mast.length, units)}, "
        f"total height {format_length(mast.total_height, units)}"
    )


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle) % 360:.1f}°"
