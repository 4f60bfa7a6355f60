"""What one state of a site comes to: report, results and what is shown of them."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from visual.app.kept_work import KeptWork
from visual.app.numbers import (
    compared_findings,
    compared_numbers,
    gone_findings,
    status_counts,
)
from visual.app.what_to_try import what_to_try
from visual.checks import Report, assess, results_document, summary_lines
from visual.checks.report import nothing
from visual.errors import Problem
from visual.model import Model, ModelLoader
from visual.site import DataState, SiteFile, data_state
from visual.units import UnitSystem

if TYPE_CHECKING:
    from visual.app.sketch import Sketch

Json = dict[str, Any]


@dataclass(frozen=True)
class Answer:
    """One state of a site, judged.

    Parameters
    ----------
    version : int
        The version of the text it was worked out from.
    text : str
        This text.
    report : Report
        The judged model.
    results : dict
        The results document.
    data : tuple
        How the data files stood when it was worked out.
    """

    version: int
    text: str = field(repr=False)
    report: Report = field(repr=False)
    results: Json = field(repr=False)
    data: DataState

    @property
    def model(self) -> Model:
        """The model."""
        return self.report.model

    def as_version(self, version: int) -> "Answer":
        """Return the same answer for another version with the same text."""
        return replace(self, version=version)


def work_out(
    site: SiteFile,
    loader: ModelLoader,
    *,
    version: int,
    text: str,
    sketched: "Sketch | None" = None,
    kept: KeptWork | None = None,
    between: Callable[[], None] = nothing,
) -> Answer:
    """Load and judge a site.

    Parameters
    ----------
    site, loader : SiteFile, ModelLoader
        The site and what builds its model.
    version, text : int, str
        The text it was read from.
    sketched : Sketch or None
        The quick part, where it is worked out already.
    kept : KeptWork or None
        What was worked out before.
    between : callable
        As `assess` takes it.

    Raises
    ------
    HillmastError
        If the site cannot be used; it carries every problem.
    """
    kept = kept or KeptWork()
    data = data_state(site)  # before they are read: a change while reading is then noticed
    if sketched is None:
        model = loader.load(site)
        raised = kept.raise_of(model)
    else:
        model, raised, data = sketched.model, sketched.raised, sketched.data
    report = assess(
        model,
        raised=raised,
        minima_of=kept.minima_of,
        forces_of=kept.forces_of,
        zone_of=kept.zone_of,
        between=between,
    )
    results = results_document(report)
    return Answer(version=version, text=text, report=report, results=results, data=data)


def answer_document(
    answer: Answer, saved: Answer, sketched: "Sketch | None" = None, *, units: UnitSystem
) -> Json:
    """Return what is shown of an answer, beside that of the saved site.

    Where only a sketch of a newer state is there, ``fresh`` tells which numbers and findings are
    of that state already.
    """
    results = answer.results if sketched is None else sketched.results
    now, before = results["findings"], saved.results["findings"]
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
        "summary": list(summary_lines(answer.report)),
        "counts": status_counts(now),
        "counts_saved": status_counts(before),
        "findings": findings,
        "hint": what_to_try(now),
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
