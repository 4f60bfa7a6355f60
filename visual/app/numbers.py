"""Key numbers of a site, each beside what it was in the saved site."""

import math
from collections.abc import Iterator
from typing import Any

from visual.units import UnitSystem, format_quantity

Json = dict[str, Any]

Number = tuple[str, str, float | None, str]
"""Name, what it says, value and unit."""


def compared_numbers(now: Json, saved: Json, units: UnitSystem) -> list[Json]:
    """Return the key numbers of a results document beside those of the saved site.

    Parameters
    ----------
    now, saved : dict
        Results documents.
    units : {"metric", "imperial"}
        Units to show.

    Returns
    -------
    list of dict
        ``name``, ``label``, ``is`` and ``was`` as text, the plain ``value`` with its ``unit``,
        and ``changed``: True where the two texts differ.
    """
    before = {name: (value, unit) for name, _, value, unit in _numbers(saved)}
    rows = []
    for name, label, value, unit in _numbers(now):
        was, was_unit = before.get(name, (None, unit))
        shown, shown_before = _text(value, unit, units), _text(was, was_unit, units)
        rows.append(
            {
                "name": name,
                "label": label,
                "is": shown,
                "was": shown_before,
                "value": value,
                "unit": unit,
                "changed": shown != shown_before,
            }
        )
    return rows


def _text(value: float | None, unit: str, units: UnitSystem) -> str:
    if value is None or not math.isfinite(value):
        return ""
    return format_quantity(value, unit, units)


def _numbers(document: Json) -> Iterator[Number]:
    yield from _raise_numbers(document)
    yield from _wire_numbers(document)
    yield from _place_numbers(document)


def _raise_numbers(document: Json) -> Iterator[Number]:
    raising = document["raising"]
    yield "start_angle", "Start angle", raising["start_angle"], "deg"
    yield "travel", "Vehicle drives", raising["vehicle_travel"], "m"
    peaks = {
        "tow_tension": "Tow line, most",
        "lift_wire": "Lift wire, most",
        "gin_compression": "Gin pole, most",
        "hinge": "Hinge, most",
    }
    for name, label in peaks.items():
        peak = raising["peak"][name]
        yield name, label, peak["value"] if peak else None, "N"


def _wire_numbers(document: Json) -> Iterator[Number]:
    changes = document["side_wires"]
    tightest = max((one["tightest"]["change"] for one in changes), default=None, key=_known)
    slackest = min((one["slackest"]["change"] for one in changes), default=None, key=_known)
    yield "side_tight", "Side wires, too short by", tightest, "m"
    yield "side_slack", "Side wires, slack by", None if slackest is None else -slackest, "m"
    angles = [wire["angle_at_anchor"] for wire in document["wires"]]
    known = [angle for angle in angles if angle is not None]
    yield "wire_flat", "Flattest wire", min(known, default=None), "deg"
    yield "wire_steep", "Steepest wire", max(known, default=None), "deg"
    cuts = [wire["cut_length"] for wire in document["wires"]]
    total = None if None in cuts else math.fsum(cuts)
    yield "wire_total", "Wire to cut, all", total, "m"


def _known(value: float | None) -> float:
    return 0.0 if value is None else value


def _place_numbers(document: Json) -> Iterator[Number]:
    for anchor in document["anchors"]:
        side = anchor["name"]
        yield (
            f"{side}_distance",
            f"{side.title()} anchor, level",
            anchor["horizontal_distance"],
            "m",
        )
        yield (
            f"{side}_height",
            f"{side.title()} anchor, above hinge",
            anchor["height_difference"],
            "m",
        )
    distances = [one["distance"] for one in document["clearances"] if one["distance"] is not None]
    yield "clearance", "Smallest clearance", min(distances, default=None), "m"
    yield "total_height", "Total height", document["fall_zone"]["total_height"], "m"
    yield "contact_area", "Contact zone", document["fall_zone"]["contact_area"], "m2"
