"""What is shown of one state of a site, as plain values."""

from visual.app.answer import Answer, Json
from visual.app.findings import compared_findings, gone_findings, status_counts
from visual.app.numbers import compared_numbers
from visual.app.sketch import Sketch
from visual.app.what_to_try import NOTHING_KNOWN, Known, what_to_try
from visual.checks import summary_lines
from visual.errors import Problem
from visual.units import UnitSystem


def answer_document(
    answer: Answer,
    saved: Answer,
    sketched: Sketch | None = None,
    *,
    units: UnitSystem,
    known: Known = NOTHING_KNOWN,
) -> Json:
    """Return what is shown of an answer, beside that of the saved site.

    Where only a sketch of a newer state is there, ``fresh`` tells which numbers and findings are
    of that state already. `known` is what was looked at for it.
    """
    results = answer.results if sketched is None else sketched.results
    now = answer.report.findings if sketched is None else sketched.findings
    before = saved.report.findings
    numbers = compared_numbers(results, saved.results, units)
    findings = compared_findings(now, before, units)
    if sketched is not None:
        for row in numbers:
            row["fresh"] = row["name"] in sketched.numbers
        for row in findings:
            row["fresh"] = row["check"] in sketched.checks
    return {
        "version": answer.version if sketched is None else sketched.version,
        "whole": sketched is None,
        "units": units,
        "summary": list(summary_lines(answer.report, units=units)),
        "counts": status_counts(now),
        "counts_saved": status_counts(before),
        "findings": findings,
        "hint": what_to_try(now, known),
        "gone": gone_findings(now, before),
        "numbers": numbers,
    }


def problem_document(problem: Problem) -> Json:
    """Return a problem as plain values."""
    return {
        "key": problem.key,
        "value": "" if problem.value is None else str(problem.value),
        "rule": problem.rule,
        "way_out": problem.way_out,
    }
