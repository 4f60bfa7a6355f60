"""Findings of a site, each beside what it was in the saved site."""

from collections.abc import Sequence
from typing import Any

from visual.checks import STATUSES, Finding
from visual.checks.results import finding_results
from visual.units import UnitSystem

Json = dict[str, Any]

Findings = Sequence[Finding]


def compared_findings(now: Findings, saved: Findings, units: UnitSystem) -> list[Json]:
    """Return findings as in the results, with their numbers as text, beside the saved site's.

    ``change`` is ``new``, ``worse``, ``better``, ``moved`` (another number), or empty.
    """
    before = {_key(finding): finding for finding in saved}
    return [_compared(finding, before.get(_key(finding)), units) for finding in now]


def gone_findings(now: Findings, saved: Findings) -> list[Json]:
    """Return what the saved site has to look at and this one no longer has, worst first."""
    left = {_key(finding) for finding in now if finding.status != "ok"}
    gone = (one for one in saved if one.status != "ok" and _key(one) not in left)
    return [{"check": one.check, "subject": one.subject, "status": one.status} for one in gone]


def status_counts(findings: Findings) -> dict[str, int]:
    """Return how many findings there are of each status."""
    return {status: sum(one.status == status for one in findings) for status in STATUSES}


def _key(finding: Finding) -> tuple[str, str]:
    return finding.check, finding.subject


def _compared(finding: Finding, was: Finding | None, units: UnitSystem) -> Json:
    return finding_results(finding, units) | {
        "value_text": finding.value_text(units),
        "limit_text": finding.bound_text(units),
        "was_status": was.status if was else None,
        "was_text": was.value_text(units) if was else "",
        "change": _change(finding, was, units),
    }


def _change(finding: Finding, was: Finding | None, units: UnitSystem) -> str:
    if was is None:
        return "new" if finding.status != "ok" else ""
    step = STATUSES.index(was.status) - STATUSES.index(finding.status)
    if step:
        return "worse" if step > 0 else "better"
    return "moved" if finding.value_text(units) != was.value_text(units) else ""
