"""Judgement: zones, clearances, setbacks, findings and the results document."""

from visual.checks.finding import STATUSES, Finding, Status, worst_first
from visual.checks.moving import Around, Clearance, Obstacle
from visual.checks.raise_csv import raise_csv
from visual.checks.raise_table import raise_table
from visual.checks.report import Report, assess
from visual.checks.results import results_document, write_document, write_results
from visual.checks.setback import Setback, find_setbacks
from visual.checks.summary import summary_lines
from visual.checks.table import TableLine, findings_table
from visual.checks.zones import FallZone, find_fall_zone

__all__ = [
    "STATUSES",
    "Around",
    "Clearance",
    "FallZone",
    "Finding",
    "Obstacle",
    "Report",
    "Setback",
    "Status",
    "TableLine",
    "assess",
    "find_fall_zone",
    "find_setbacks",
    "findings_table",
    "raise_csv",
    "raise_table",
    "results_document",
    "summary_lines",
    "worst_first",
    "write_document",
    "write_results",
]
