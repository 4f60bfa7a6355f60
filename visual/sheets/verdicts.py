"""What the findings say about setbacks and closest approaches, with the keys of the drawings."""

from collections.abc import Iterator
from dataclasses import dataclass

from visual.checks import Clearance, Finding, Report, Setback
from visual.checks.finding import Status
from visual.scene.style import BLUE, INK, RGB, VERMILION

WORDS: dict[Status, str] = {
    "stop": "STOP",
    "not checked": "NOT CHECKED",
    "caution": "caution",
    "ok": "ok",
}
"""How a status stands on paper: never by colour alone."""


def status_color(status: Status) -> RGB:
    """Return the ink of a status."""
    return {"stop": VERMILION, "not checked": VERMILION, "caution": BLUE, "ok": INK}[status]


@dataclass(frozen=True, eq=False)
class JudgedSetback:
    """A setback with its finding.

    Parameters
    ----------
    key : str
        Its key on the plan, ``"S1"``; empty for a rule that met nothing.
    finding : Finding
        What was found.
    setback : Setback or None
        Where it was measured; None for a rule that met nothing.
    """

    key: str
    finding: Finding
    setback: Setback | None


@dataclass(frozen=True, eq=False)
class JudgedApproach:
    """The closest approach to one obstacle, with its finding.

    Parameters
    ----------
    key : str
        Its key on the elevations, ``"C1"``.
    finding : Finding
        What was found.
    clearance : Clearance
        Where it was measured.
    """

    key: str
    finding: Finding
    clearance: Clearance


def judged_setbacks(report: Report) -> tuple[JudgedSetback, ...]:
    """Return all setbacks, worst first, keyed S1, S2 …; last the rules that met nothing."""
    findings = [finding for finding in report.findings if finding.check == "setback"]
    found: list[JudgedSetback] = []
    for finding in findings:
        setback = next((s for s in report.setbacks if _is_of(finding, s)), None)
        key = f"S{1 + sum(one.setback is not None for one in found)}" if setback else ""
        found.append(JudgedSetback(key, finding, setback))
    return tuple(sorted(found, key=lambda one: one.setback is None))


def _is_of(finding: Finding, setback: Setback) -> bool:
    return (
        finding.value == setback.distance
        and finding.limit == setback.required
        and finding.subject.endswith(f"to {setback.name}")
    )


def judged_approaches(report: Report) -> tuple[JudgedApproach, ...]:
    """Return the closest approach to every obstacle, the least margin first, keyed C1, C2 …"""
    found = sorted(_approaches(report), key=lambda pair: pair[1].margin)
    return tuple(
        JudgedApproach(f"C{number}", finding, clearance)
        for number, (finding, clearance) in enumerate(found, start=1)
    )


def _approaches(report: Report) -> Iterator[tuple[Finding, Clearance]]:
    for finding in report.findings:
        if finding.check not in ("clearance", "overhead line") or finding.value is None:
            continue
        for clearance in report.clearances:
            subject = f"{clearance.part} to {clearance.obstacle.name}"
            if finding.subject == subject and finding.value == clearance.closest.distance:
                yield finding, clearance
                break
