"""What one state of a site comes to: report and results."""

from dataclasses import dataclass, field, replace
from typing import Any

from visual.checks import Report
from visual.model import Model
from visual.site import DataState

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
