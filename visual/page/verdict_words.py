"""The verdict as a sentence: first on screen, on a phone and on paper."""

from collections.abc import Collection, Iterator

from visual.checks import Finding, Report
from visual.page.finding_data import reader_of
from visual.page.not_checked import missing_kinds
from visual.page.packing import Json
from visual.page.plain_words import what_is_wrong
from visual.page.reader_sizes import listed

NO_PERMIT = "This is no permit."

_OTHERS, _THEIRS = ("permit",), ("crew", "rest")
_NAMED = (
    ("not checked", _OTHERS, "Could not be checked"),
    ("not checked", _THEIRS, "Could not be checked, and is for those who raise it to settle"),
    ("caution", _OTHERS, "Close to a limit, and of concern to those around"),
    ("caution", _THEIRS, "For those who raise it to mind"),
)
"""What is named, and how it is called: people around are told what touches them apart."""

_MOST = 5  # more names would bury the verdict; the list of findings has them all


def verdict_words(report: Report) -> Json:
    """Return the verdict in words.

    `short` fits the head of the page; `wrong` says what stops it, a clause each; `more` are further
    sentences; `stops` tells which verdict it is.
    """
    return {
        "stops": report.stops,
        "short": " ".join(_short(report)),
        "wrong": what_is_wrong(report.findings),
        "more": list(_more(report)),
    }


def _short(report: Report) -> Iterator[str]:
    stops, unchecked = _count(report, "stop"), _count(report, "not checked")
    if stops:
        against = "1 check stops" if stops == 1 else f"{stops} checks stop"
        yield f"As planned here it must NOT be raised: {against} it."
        return
    yield "Nothing in the checks made forbids raising it here."
    if unchecked:
        were = "1 thing was" if unchecked == 1 else f"{unchecked} things were"
        yield f"{were} not checked."
    missing = missing_kinds(report)
    if missing:
        yield f"This file knows {listed([f'no {kind}' for kind in missing])}."
    yield NO_PERMIT


def _more(report: Report) -> Iterator[str]:
    if report.stops:
        yield NO_PERMIT
    for status, readers, words in _NAMED:
        named = _listed(report, status, readers)
        if named:
            yield f"{words}: {named}."
    yield "Findings says more of each. Some things are never checked here: they are listed below."


def _listed(report: Report, status: str, readers: Collection[str]) -> str:
    """Return what findings of a status are about, each with its check."""
    those = [one for one in report.findings if one.status == status and reader_of(one) in readers]
    names = [_name(one) for one in those[:_MOST]]
    rest = len(those) - len(names)
    return listed([*names, f"{rest} more"] if rest > 0 else names)


def _name(finding: Finding) -> str:
    """Return what a finding is about, with its check where the subject does not say it."""
    check, subject = finding.check, finding.subject
    is_said = check in subject or check == "loads"
    return subject if is_said else f"{subject} ({check})"


def _count(report: Report, status: str) -> int:
    return sum(finding.status == status for finding in report.findings)
