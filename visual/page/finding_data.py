"""Findings as plain data: every number in both systems of units, and the place to look at."""

from collections.abc import Callable

from visual.checks import STATUSES, Clearance, Finding, Report
from visual.checks.judge import as_place
from visual.page.approach_data import subject_of
from visual.page.finding_place import place_of, sides_of
from visual.page.nearby import apart_data
from visual.page.packing import Json
from visual.scene.attention import shortest_line
from visual.units import UNIT_SYSTEMS, Sentence, UnitSystem, format_quantity

_Place = tuple[float, float, float]


def findings_data(report: Report) -> list[Json]:
    """Return all findings, worst first."""
    # obstacles may share a name, and a part may come near on either raise: the numbers tell
    gaps: dict[tuple[str, _Place | None, float | None], Clearance] = {
        (subject_of(c), as_place(c.closest.at_part), c.closest.distance): c
        for c in report.clearances
    }
    sides = sides_of(report.model)
    return [
        _finding(f, gaps.get((f.subject, f.where, f.value)))
        | {"apart": apart_data(report, f), "where": place_of(f, report.model, sides)}
        for f in report.findings
    ]


_FOR_THE_PERMIT = frozenset({"setback", "fall zone", "overhead line", "anchor place"})
_FOR_THE_REST = frozenset({"mast stress", "mast buckling", "rotor height", "ground"})


def reader_of(finding: Finding) -> str:
    """Return who asks for a finding: the permit office, the crew, or whoever designs it."""
    if finding.check in _FOR_THE_PERMIT:
        return "permit"
    return "rest" if finding.check in _FOR_THE_REST else "crew"


def verdict_data(report: Report) -> Json:
    """Return how many findings have each status."""
    found = [finding.status for finding in report.findings]
    return {status: found.count(status) for status in STATUSES}


def _finding(finding: Finding, gap: Clearance | None) -> Json:
    return {
        "check": finding.check,
        "subject": finding.subject,
        "status": finding.status,
        "value": _said(finding.value_text),
        "limit": _said(finding.bound_text),
        "margin": _said(finding.margin_text),
        "angle": finding.angle,
        "gap": None if gap is None or finding.where is None else shortest_line(gap).tolist(),
        "message": said_in_both(finding.message),
        "basis": finding.basis,
        "reader": reader_of(finding),
        "missing": finding.missing,
    }


def _said(text: Callable[[UnitSystem], str]) -> Json | None:
    """Return what is said in both systems of units; None if nothing is."""
    said: Json = {units: text(units) for units in UNIT_SYSTEMS}
    return said if any(said.values()) else None


def said_in_both(sentence: Sentence) -> Json:
    """Return a sentence as text in both systems of units."""
    return {units: sentence.in_units(units) for units in UNIT_SYSTEMS}


def both_units(value: float | None, unit: str) -> Json | None:
    """Return a number as text in both systems of units; None if there is none."""
    if value is None:
        return None
    return {units: format_quantity(value, unit, units) for units in UNIT_SYSTEMS}
