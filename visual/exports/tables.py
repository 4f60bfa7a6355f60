"""CSV tables: anchors, wires, findings, clearances, from the results document.

Comma-separated UTF-8 with a byte order mark, so that spreadsheets read every script. Numbers have
a point, names of columns end in their unit, and what does not exist is empty.
"""

import csv
import io
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from visual.checks import Report, results_document
from visual.exports.replacing import replacing

Columns = tuple[tuple[str, str], ...]
"""Heading and key in the results document."""

ANCHORS: Columns = (
    ("name", "name"),
    ("easting", "easting"),
    ("northing", "northing"),
    ("height_m", "height"),
    ("x_m", "x"),
    ("y_m", "y"),
    ("z_m", "z"),
    ("bearing_grid_deg", "bearing_grid"),
    ("bearing_true_deg", "bearing_true"),
    ("bearing_magnetic_deg", "bearing_magnetic"),
    ("horizontal_distance_m", "horizontal_distance"),
    ("slope_distance_m", "slope_distance"),
    ("height_difference_m", "height_difference"),
    ("diagonal_to_next_m", "diagonal_to_next"),
)
WIRES: Columns = (
    ("name", "name"),
    ("anchor", "anchor"),
    ("collar_m", "collar"),
    ("straight_length_m", "straight_length"),
    ("straight_length_pm_m", "straight_length_pm"),
    ("unstressed_length_m", "unstressed_length"),
    ("cut_length_m", "cut_length"),
    ("sag_m", "sag"),
    ("angle_at_anchor_deg", "angle_at_anchor"),
    ("initial_tension_n", "initial_tension"),
    ("change_over_m", "change_over"),
)
FINDINGS: Columns = (
    ("status", "status"),
    ("check", "check"),
    ("subject", "subject"),
    ("value", "value"),
    ("limit", "limit"),
    ("margin", "margin"),
    ("unit", "unit"),
    ("angle_deg", "angle"),
    ("message", "message"),
    ("basis", "basis"),
    ("x_m", "where.0"),
    ("y_m", "where.1"),
    ("z_m", "where.2"),
)
CLEARANCES: Columns = (
    ("part", "part"),
    ("thing", "obstacle"),
    ("distance_m", "distance"),
    ("required_m", "required"),
    ("angle_deg", "angle"),
    ("basis", "basis"),
    *(
        (f"{end}_{axis}_m", f"at_{end}.{k}")
        for end in ("part", "obstacle")
        for k, axis in enumerate("xyz")
    ),
)
TABLES: Mapping[str, Columns] = {
    "anchors": ANCHORS,
    "wires": WIRES,
    "findings": FINDINGS,
    "clearances": CLEARANCES,
}
"""Tables by their key in the results document."""


def write_tables(report: Report, paths: Mapping[str, Path]) -> None:
    """Write tables.

    Parameters
    ----------
    report : Report
        The judged model.
    paths : mapping of str to Path
        A file for each table of `TABLES` that is wanted.
    """
    document = results_document(report)
    for name, path in paths.items():
        with replacing(path) as beside:
            beside.write_text(_table(document[name], TABLES[name]), encoding="utf-8-sig")


def _table(rows: list[dict[str, Any]], columns: Columns) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([heading for heading, _ in columns])
    writer.writerows([_cell(row, key) for _, key in columns] for row in rows)
    return text.getvalue()


def _cell(row: Mapping[str, Any], key: str) -> Any:
    """Return a value, or one number of a list (``"where.2"``); empty where it does not exist."""
    name, _, place = key.partition(".")
    value = row[name]
    if place and value is not None:
        value = value[int(place)]
    return "" if value is None else value
