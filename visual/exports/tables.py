"""CSV tables from the results document: anchors, wires, findings, clearances, setbacks, the raise.

Comma-separated UTF-8 with a byte order mark, so that spreadsheets read every script. Numbers have
a point, names of columns end in their unit, and what does not exist is empty. A text that a
spreadsheet would take for a formula begins with an apostrophe.
"""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from visual.checks import Report, raise_csv, results_document
from visual.exports.texts import no_formula, one_line

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
SETBACKS: Columns = (
    ("to", "to"),
    ("thing", "name"),
    ("measured_from", "from"),
    ("distance_m", "distance"),
    ("required_m", "required"),
    ("basis", "basis"),
)


@dataclass(frozen=True)
class Table:
    """A table: what it is in a few words, and its columns."""

    word: str
    columns: Columns


RAISE = "raise"
"""The table of the raise; it has columns of its own, see `visual.checks.raise_csv`."""

TABLES: Mapping[str, Table] = {
    "anchors": Table("anchors, at their eyes", ANCHORS),
    "wires": Table("wires and their lengths", WIRES),
    "findings": Table("all findings, worst first", FINDINGS),
    "clearances": Table("clearances of every part to everything around", CLEARANCES),
    "setbacks": Table("setbacks", SETBACKS),
    RAISE: Table("the raise: travel and forces at every step", ()),
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
        rows = _raise(report) if name == RAISE else _rows(document[name], TABLES[name].columns)
        text = io.StringIO()
        csv.writer(text, lineterminator="\r\n").writerows(rows)
        path.write_text(text.getvalue(), encoding="utf-8-sig", newline="")


def _raise(report: Report) -> list[list[str]]:
    return list(csv.reader(io.StringIO(raise_csv(report))))


def _rows(rows: list[dict[str, Any]], columns: Columns) -> list[list[Any]]:
    headings = [heading for heading, _ in columns]
    return [headings, *([_cell(row, key) for _, key in columns] for row in rows)]


def _cell(row: Mapping[str, Any], key: str) -> Any:
    """Return a value, or one number of a list (``"where.2"``); empty where it does not exist."""
    name, _, place = key.partition(".")
    value = row[name]
    if place and value is not None:
        value = value[int(place)]
    if isinstance(value, str):
        return no_formula(one_line(value))
    return "" if value is None else value
