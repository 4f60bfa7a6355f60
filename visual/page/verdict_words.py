"""The verdict as a sentence: first on screen, on a phone and on paper."""

from collections.abc import Iterator

from visual.checks import Report
from visual.page.not_checked import missing_kinds
from visual.page.packing import Json
from visual.page.plain_words import what_is_wrong
from visual.page.reader_sizes import listed

NO_PERMIT = "This is no permit."


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
        wrong = "1 thing is wrong" if stops == 1 else f"{stops} things are wrong"
        yield f"As planned here it must NOT be raised: {wrong}."
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
    unchecked, care = _count(report, "not checked"), _count(report, "caution")
    if report.stops:
        if unchecked:
            yield f"Besides, {_things(unchecked)} not checked. {NO_PERMIT}"
        else:
            yield NO_PERMIT
    if care:
        yield f"{_things(care).capitalize()} to be handled with care."
    yield "Some things are never checked here: they are listed below."


def _things(count: int) -> str:
    return "1 thing is" if count == 1 else f"{count} things are"


def _count(report: Report, status: str) -> int:
    return sum(finding.status == status for finding in report.findings)
