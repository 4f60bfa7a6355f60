"""The rows of the sheet on inputs and methods: what went in, the limits, and how it was worked."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from visual.checks import Report
from visual.model import Model
from visual.rig.tube import STEEL_DENSITY, STEEL_MODULUS, STEEL_YIELD
from visual.site.inputs import InputValue, input_values
from visual.site.limits import LIMIT_MEANINGS
from visual.units import (
    DENSITY_UNITS,
    LENGTH_UNITS,
    MASS_PER_LENGTH_UNITS,
    STRESS_UNITS,
    UnitSystem,
    format_angle,
    format_force,
    format_length,
    format_mass,
    format_quantity,
)

STATED, DEFAULT = "site file", "default"

_SMALL = 0.2  # lengths below this are shown in millimetres [m]
_INCH, _KSI = LENGTH_UNITS["in"], STRESS_UNITS["ksi"]
_STIFF = 10e9  # stresses above this are moduli [Pa]
_ANGLES = ("angle", "bearing", "turn")
_LIMITS_IN_METRES = (
    "trestle", "head_clearance", "side_wire_tight", "side_wire_slack", "lane_width",
    "building_clearance", "tree_clearance", "ground_clearance", "rotor_above", "rotor_within",
)  # fmt: skip

Standing = Literal["read", "from memory", "common practice, no source", "computed", "ours"]


@dataclass(frozen=True)
class InputRow:
    """One input, or one limit.

    Parameters
    ----------
    key, value : str
        Its place in the site file, and its value with unit.
    meaning : str
        What it means.
    origin : str
        Who says so: the site file, or the default with its source.
    is_stated : bool
        True if the site file states it.
    """

    key: str
    value: str
    meaning: str
    origin: str
    is_stated: bool


def input_rows(report: Report, *, units: UnitSystem) -> tuple[InputRow, ...]:
    """Return every input in the order of the site file, defaults filled in."""
    rows = [_input(one, units) for one in input_values(report.model.site)]
    return (*rows, *_steel(report.model, rows, units))


def _input(one: InputValue, units: UnitSystem) -> InputRow:
    origin = STATED if one.is_stated else f"{DEFAULT}: {one.source}" if one.source else DEFAULT
    return InputRow(one.key, shown(one.value, one.kind, units), one.meaning, origin, one.is_stated)


def shown(value: Any, kind: str, units: UnitSystem) -> str:
    """Return an input as a person reads it.

    Parameters
    ----------
    value : float, bool, str or tuple
        In SI and radians.
    kind : str
        What it is: ``"length"``, ``"angle"``, ``"force"`` …; empty for what has no unit.
    units : {"metric", "imperial"}
        Units to show.
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(f"{part:.12g}" for part in value)
    if isinstance(value, str | int):
        return str(value)
    if kind in _ANGLES:
        return format_angle(value)
    return _quantity(value, kind, units)


def _quantity(value: float, kind: str, units: UnitSystem) -> str:
    metric = units == "metric"
    match kind:
        case "length":
            return _length(value, units)
        case "mass":
            return format_mass(value, units)
        case "force":
            return format_force(value, units)
        case "stress":
            if value < _STIFF:
                return format_quantity(value, "Pa", units)
            return f"{value / 1e9:.4g} GPa" if metric else f"{value / _KSI:.0f} ksi"
        case "mass per length":
            unit = "kg/m" if metric else "lb/1000 ft"
            return f"{value / MASS_PER_LENGTH_UNITS[unit]:.4g} {unit}"
        case "density":
            unit = "kg/m³" if metric else "lb/ft³"
            return f"{value / DENSITY_UNITS[unit]:.4g} {unit}"
        case _:
            return f"{value:g}"


def _length(metres: float, units: UnitSystem) -> str:
    if 0.0 < abs(metres) < _SMALL:  # a wall thickness is no sixteenth of an inch
        return f"{metres * 1000:.4g} mm" if units == "metric" else f"{metres / _INCH:.4g} in"
    return format_length(metres, units)


def _steel(model: Model, rows: list[InputRow], units: UnitSystem) -> Iterator[InputRow]:
    """Yield the properties of steel where no tube states its own."""
    tubes = (*model.site.mast.section, model.site.gin_pole)
    own = {row.key.rpartition(".")[2] for row in rows}
    known = (
        ("modulus", STEEL_MODULUS, "stress", "Young's modulus of steel", "EN 1993-1-1, 3.2.6"),
        (
            "yield",
            STEEL_YIELD,
            "stress",
            "Yield strength of steel",
            "S235, the lowest common grade",
        ),
        ("density", STEEL_DENSITY, "density", "Density of steel", "EN 1991-1-1, Table A.4"),
    )
    for name, value, kind, meaning, source in known:
        if name not in own or any(getattr(t, _attribute(name)) is None for t in tubes):
            origin = f"{DEFAULT}: {source} (from memory)"
            yield InputRow(f"tubes: {name}", shown(value, kind, units), meaning, origin, False)


def _attribute(key: str) -> str:
    return {"yield": "yield_strength"}.get(key, key)


# --- limits -------------------------------------------------------------------------------------


def limit_rows(report: Report, *, units: UnitSystem) -> tuple[InputRow, ...]:
    """Return every number that the layout is held against, with its source."""
    return (*_plain_limits(report, units), *_lines(report, units), *_setbacks(report, units))


def _plain_limits(report: Report, units: UnitSystem) -> Iterator[InputRow]:
    limits = report.model.site.limits
    for name, meaning in LIMIT_MEANINGS.items():
        limit = getattr(limits, name)
        value = _limit_value(name, limit.value, units)
        yield InputRow(f"limits.{name}", value, meaning, limit.basis, limit.overridden)


def _limit_value(name: str, value: Any, units: UnitSystem) -> str:
    if value is None:
        return "follows from the rig"
    if isinstance(value, tuple):
        return " to ".join(format_angle(part, decimals=0) for part in value)
    if name == "lane_slope":
        return format_angle(value)
    return format_length(value, units) if name in _LIMITS_IN_METRES else f"{value:g}"


def _lines(report: Report, units: UnitSystem) -> Iterator[InputRow]:
    rule = report.model.site.limits.overhead_line
    for line in report.model.surroundings.lines:
        required = rule.required(line.voltage_kv)
        value = (
            "ask the owner"
            if required.distance is None
            else format_length(required.distance, units)
        )
        known = "unknown voltage" if line.voltage_kv is None else f"{line.voltage_kv:g} kV"
        meaning = f"Distance to keep from {line.name}, {known}."
        yield InputRow("limits.overhead_line", value, meaning, required.basis, required.overridden)


def _setbacks(report: Report, units: UnitSystem) -> Iterator[InputRow]:
    mast = report.model.rig.mast
    for rule in report.model.site.limits.setbacks:
        required = rule.required(
            total_height=mast.total_height,
            mast_height=mast.mast_height,
            hub_height=mast.hub_height,
        )
        how = "" if rule.times is None else f", {rule.times:g} × {rule.of.replace('_', ' ')}"
        kind, start = rule.to.replace("_", " "), rule.measured_from.replace("_", " ")
        meaning = f"Setback to every {kind} from {start}{how}."
        yield InputRow("limits.setback", format_length(required, units), meaning, rule.basis, True)


# --- place --------------------------------------------------------------------------------------


def place_rows(report: Report, *, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    """Return what the local frame and north rest on, in names and values."""
    return tuple(_place(report.model, units))


def _place(model: Model, units: UnitSystem) -> Iterator[tuple[str, str]]:
    frame = model.frame
    decimals = 6 if frame.scale is None else 3
    east, north = frame.origin_easting, frame.origin_northing
    yield "Base in the site's grid", f"{east:.{decimals}f}, {north:.{decimals}f} ({frame.crs})"
    ground = format_length(float(frame.height(model.base_ground)), units)
    yield "Ground at the base", f"{ground}, height system of the ground data"
    if frame.scale is not None and not frame.is_local:
        yield "Grid to ground", f"{frame.scale:.6f} grid metres to one on the ground; taken out"
    if frame.convergence is not None:
        yield "Grid north", f"{_turn(frame.convergence)} of true north"
    if frame.declination is not None:
        off = math.degrees(frame.declination.uncertainty)
        yield (
            "Magnetic north",
            f"{_turn(frame.declination.value)} of true north ± {off:.1f}°, WMM2025",
        )
    elif frame.declination_note:
        yield "Magnetic north", frame.declination_note
    sigma = format_length(float(model.ground.accuracy_at(0.0, 0.0)), units)
    yield "Ground heights", f"± {sigma} at the base, one standard deviation"
    around = model.surroundings
    counted = [
        (len(around.buildings), "building"),
        (len(around.trees), "tree"),
        (len(around.lines), "overhead line"),
        (len(around.areas), "outline on the ground"),
        (len(around.viewpoints), "viewpoint"),
    ]
    known = [f"{n} {what if n == 1 else _plural(what)}" for n, what in counted if n]
    yield "Surroundings", ", ".join(known) or "none are known"


def _plural(words: str) -> str:
    first, _, rest = words.partition(" on ")
    return f"{first}s on {rest}" if rest else f"{first}s"


def _turn(angle: float) -> str:
    side = "east" if angle >= 0 else "west"
    return f"{abs(math.degrees(angle)):.2f}° {side}"
