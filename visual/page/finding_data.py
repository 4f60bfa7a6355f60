"""Findings as plain data: every number in both systems of units, and the place to look at."""

from visual.checks import STATUSES, Clearance, Finding, Report
from visual.checks.judge import as_place
from visual.checks.said import said_in
from visual.page.approach_data import subject_of
from visual.page.nearby import apart_data
from visual.page.packing import Json
from visual.scene.attention import shortest_line
from visual.units import format_quantity

_Place = tuple[float, float, float]


def findings_data(report: Report) -> list[Json]:
    """Return all findings, worst first."""
    # obstacles may share a name, and a part may come near on either raise: the numbers tell
    gaps: dict[tuple[str, _Place | None, float | None], Clearance] = {
        (subject_of(c), as_place(c.closest.at_part), c.closest.distance): c
        for c in report.clearances
    }
    return [
        _finding(f, gaps.get((f.subject, f.where, f.value))) | {"apart": apart_data(report, f)}
        for f in report.findings
    ]


def verdict_data(report: Report) -> Json:
    """Return how many findings have each status."""
    found = [finding.status for finding in report.findings]
    return {status: found.count(status) for status in STATUSES}


def _finding(finding: Finding, gap: Clearance | None) -> Json:
    return {
        "check": finding.check,
        "subject": finding.subject,
        "status": finding.status,
        "value": both_units(finding.value, finding.unit),
        "limit": _limit(finding),
        "margin": both_units(finding.margin, finding.unit),
        "angle": finding.angle,
        "where": None if finding.where is None else [float(value) for value in finding.where],
        "gap": None if gap is None or finding.where is None else shortest_line(gap).tolist(),
        "message": {
            "metric": said_in(finding, "metric"),
            "imperial": said_in(finding, "imperial"),
        },
        "basis": finding.basis,
        "missing": finding.missing,
    }


def _limit(finding: Finding) -> Json | None:
    """Return the limit as text, with the way it counts before it."""
    texts = both_units(finding.limit, finding.unit)
    return texts and {units: f"{finding.limit_word} {text}" for units, text in texts.items()}


def both_units(value: float | None, unit: str) -> Json | None:
    """Return a number as text in both systems of units; None if there is none."""
    if value is None:
        return None
    return {
        "metric": format_quantity(value, unit, "metric"),
        "imperial": format_quantity(value, unit, "imperial"),
    }
