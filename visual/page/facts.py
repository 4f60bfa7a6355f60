"""What is known of each thing that can be pointed at: its numbers, and those of every angle."""

import math
from collections.abc import Callable, Iterable, Iterator

from visual.checks import Clearance, Report
from visual.model import Model, PlacedArea, installed_wires
from visual.page.crew_tables import level_word
from visual.page.finding_data import both_units
from visual.page.nearby import Nearby, building_height
from visual.page.packing import Json, Numbers, pack_exact
from visual.page.pull_chart import at_angles
from visual.raising import RaiseRun

Facts = dict[str, Json]

_NEAREST_OF = {
    "building": "nearest wall of",
    "overhead_line": "ground under",
    "boundary": "nearest edge of",
    "road": "nearest edge of",
}
"""What the end of the distance to a thing near by is called, by its kind."""

_CHANGE = "too short (+) or slack (−)"


def facts_data(report: Report, angles: Numbers) -> Facts:
    """Return facts by group and name of the layer, such as ``"wires/wire left 1"``."""
    found: Facts = {}
    found |= _wires(report, angles)
    found |= _lifting(report, angles)
    found |= dict(_mast(report, angles))
    found |= dict(_buildings(report))
    found |= dict(_trees(report))
    found |= dict(_lines(report))
    found |= dict(_areas(report))
    return found


def points_data(model: Model, near: Iterable[Nearby]) -> Json:
    """Return named places that do not move, for the tape: base, anchors, and what stands near."""
    found = {"base plate": [0.0, 0.0, model.base_ground]}
    for side, anchor in model.anchors.items():
        found[f"{side} anchor"] = anchor.eye.tolist()
    for one in near:
        if one.kind in _NEAREST_OF:
            found[f"{_NEAREST_OF[one.kind]} {one.name}"] = one.ends[1].tolist()
    for viewpoint in model.surroundings.viewpoints:
        found[viewpoint.name] = viewpoint.eye.tolist()
    for tree in model.surroundings.trees:
        found[f"foot of {tree.name}"] = tree.foot.tolist()
    return {name: at for name, at in found.items() if all(map(math.isfinite, at))}


def _fact(title: str, rows: list[tuple[str, float | None, str]], series: list[Json]) -> Json:
    shown = [
        {"word": word, "text": both_units(value, unit)}
        for word, value, unit in rows
        if value is not None and math.isfinite(value)
    ]
    return {"title": title, "rows": shown, "series": series}


def _row(series_word: str, unit: str, values: Numbers) -> Json:
    return {"word": series_word, "unit": unit, "values": pack_exact(values)}


def _wires(report: Report, angles: Numbers) -> Facts:
    found: Facts = {}
    overs = {over.name: over.difference for over in report.raised.change_overs}
    on_the_way = {wire.change.name: wire for wire in report.forces.wires}
    for wire in installed_wires(report.model):
        rows: list[tuple[str, float | None, str]] = [
            ("collar to anchor", wire.straight_length, "m"),
            ("cut length", wire.cut_length, "m"),
            ("angle at the anchor", math.degrees(wire.angle), "deg"),
            ("initial tension", wire.initial_tension, "N"),
            ("to add when moved from gin pole to anchor", overs.get(wire.name), "m"),
        ]
        series = []
        way = on_the_way.get(wire.name)
        if way is not None:
            known = way.change.angles
            series = [
                _row(
                    "too short (+) or slack (−)", "m", at_angles(known, way.change.change, angles)
                ),
                _row("tension if nothing gives", "N", at_angles(known, way.tension, angles)),
            ]
        found[f"wires/wire {wire.name}"] = _fact(
            f"Wire {level_word(report.model, wire)}", rows, series
        )
    for stay in report.raised.side_stays:
        rows = [("length as tied", stay.fitted_length, "m")]
        change = _row(
            "too short (+) or slack (−)", "m", at_angles(stay.angles, stay.change, angles)
        )
        found[f"wires/{stay.name}"] = _fact(stay.name.capitalize(), rows, [change])
    return found


def _of_each_raise(
    report: Report, angles: Numbers, word: str, unit: str, values: Callable[[RaiseRun], Numbers]
) -> list[Json]:
    """Return a number of both raises, each told by its name where there are two."""
    runs = report.forces.runs
    found = []
    for run in runs:
        row = _row(word, unit, at_angles(run.angles, values(run), angles))
        if len(runs) > 1:
            name = "with the head" if run.with_head else "bare mast"
            row |= {"run": name, "from": math.degrees(float(run.angles[0]))}
        found.append(row)
    return found


def _lifting(report: Report, angles: Numbers) -> Facts:
    found: Facts = {}
    for number, over in enumerate(report.raised.change_overs):
        tension = _of_each_raise(report, angles, "tension", "N", _lift_wire(number))
        rows: list[tuple[str, float | None, str]] = [
            ("collar to tip", over.at_tip, "m"),
            ("to add when moved to its anchor", over.difference, "m"),
        ]
        name = f"lift wire {number + 1}"
        found[f"wires/{name}"] = _fact(name.capitalize(), rows, tension)
    return found


def _lift_wire(number: int) -> Callable[[RaiseRun], Numbers]:
    return lambda run: run.lift_wires[:, number]


def _mast(report: Report, angles: Numbers) -> Iterator[tuple[str, Json]]:
    mast, pole, tow = report.model.rig.mast, report.model.rig.gin_pole, report.model.rig.tow

    def at(word: str, unit: str, values: Callable[[RaiseRun], Numbers]) -> list[Json]:
        return _of_each_raise(report, angles, word, unit, values)

    with_head = "" if mast.head is None else ", with the head"
    rows: list[tuple[str, float | None, str]] = [
        ("length of its tube", mast.length, "m"),
        ("its top above the ground", mast.mast_height, "m"),
        (f"highest point{with_head}", mast.total_height, "m"),
        (f"mass{with_head}", report.forces.loaded.weights.mass, "kg"),
    ]
    yield "mast/mast", _fact("Mast", rows, at("largest stress", "Pa", lambda run: run.mast_stress))
    if mast.head is not None:
        rows = [("hub height", mast.hub_height, "m"), ("mass", mast.head.mass, "kg")]
        rows += [("reach of the rotor", mast.head.rotor_radius or None, "m")]
        for name in ("head", "rotor"):
            yield f"mast/{name}", _fact("Head and rotor", rows, [])
    rows = [("length", pole.length, "m")]
    yield (
        "mast/gin pole",
        _fact("Gin pole", rows, at("thrust", "N", lambda run: run.gin_compression)),
    )
    series = [
        *at("pull at the tip", "N", lambda run: run.tow_tension),
        *at("pull at the hitch", "N", lambda run: run.hauling),
    ]
    rows = [("length", tow.line_length, "m")]
    yield "mast/tow line", _fact("Tow line", rows, series)
    series = at("pull", "N", lambda run: run.hauling)
    series += at("travel so far", "m", lambda run: run.tow.travel)
    for name in ("vehicle", "winch"):
        yield f"mast/{name}", _fact(name.capitalize(), [], series)


def _nearest(report: Report, name: str) -> Clearance | None:
    """Return what comes nearest to an obstacle."""
    those = [c for c in report.clearances if c.obstacle.name == name]
    return min(those, key=lambda c: c.closest.distance, default=None)


def _near_rows(report: Report, name: str) -> list[tuple[str, float | None, str]]:
    near = _nearest(report, name)
    if near is None:
        return []
    return [
        (f"nearest while it is raised: {near.part}", near.closest.distance, "m"),
        ("with the mast at", math.degrees(near.closest.angle), "deg"),
        ("for moving parts to keep", near.obstacle.requirement.distance, "m"),
    ]


def _buildings(report: Report) -> Iterator[tuple[str, Json]]:
    base = report.fall_zone.circle.centroid
    for building in report.model.surroundings.buildings:
        away = float(building.footprint.distance(base))
        rows: list[tuple[str, float | None, str]] = [
            ("from the base, level", away, "m"),
            ("height", building_height(report.model, building), "m"),
            *_near_rows(report, building.name),
        ]
        yield f"buildings/{building.name}", _fact(building.name, rows, [])


def _trees(report: Report) -> Iterator[tuple[str, Json]]:
    for tree in report.model.surroundings.trees:
        away = math.hypot(tree.foot[0], tree.foot[1])
        rows: list[tuple[str, float | None, str]] = [
            ("height", tree.height, "m"),
            ("stem from the base, level", away, "m"),
            *_near_rows(report, tree.name),
        ]
        yield f"buildings/{tree.name}", _fact(tree.name, rows, [])


def _lines(report: Report) -> Iterator[tuple[str, Json]]:
    for line in report.model.surroundings.lines:
        rows = _near_rows(report, line.name)
        if line.sag is not None:
            rows.append(("sag of a span", line.sag, "m"))
        volts = "voltage unknown" if line.voltage_kv is None else f"{line.voltage_kv:g} kV"
        title = line.name if volts.split()[0] in line.name else f"{line.name}, {volts}"
        fact = _fact(title, rows, [])
        yield f"lines/{line.name}", fact
        yield f"clearance/{line.name}", fact


def _areas(report: Report) -> Iterator[tuple[str, Json]]:
    base = report.fall_zone.circle.centroid
    for area in report.model.surroundings.areas:
        edge = area.shape.boundary if _is_land(area) else area.shape
        away = float(edge.distance(base))
        kind = area.kind.replace("_", " ")
        title = area.name if kind in area.name else f"{area.name} ({kind})"
        yield f"land/{area.name}", _fact(title, [("from the base, level", away, "m")], [])


def _is_land(area: PlacedArea) -> bool:
    """Return whether an area is land, of which only the edge is to be kept from."""
    return area.kind == "boundary" and area.shape.area > 0
