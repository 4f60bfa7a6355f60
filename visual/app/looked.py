"""The last search, or the last rose, of a site: how far it is, and what it found."""

from dataclasses import dataclass, field
from typing import Any

Json = dict[str, Any]


@dataclass
class Looked:
    """The last search, or the last rose, of a site.

    Parameters
    ----------
    number : int
        Number of what was found last; 0 if nothing was.
    found : dict or None
        What was found.
    basis : object
        What it was found for; see `Finder`.
    whole : bool
        True if that was all of the land.
    job : int
        Number of the job that is running; 0 if none is.
    progress : dict or None
        How far that is.
    problems : list
        Why the last job found nothing.
    stopped : bool
        True if the last job was stopped before it found anything.
    asked_for : object
        What the job that is running is for.
    """

    number: int = 0
    found: Json | None = field(default=None, repr=False)
    basis: Any = field(default=None, repr=False)
    whole: bool = False
    job: int = 0
    progress: Json | None = None
    problems: list[Json] = field(default_factory=list)
    stopped: bool = False
    asked_for: Any = field(default=None, repr=False)
    _asked_whole: bool = False

    def begin(self, job: int, basis: Any, *, whole: bool) -> None:
        """Note that a job is running."""
        self.job, self.asked_for, self.progress = job, basis, None
        self._asked_whole = whole
        self.problems, self.stopped = [], False

    def end(self, words: Json) -> None:
        """Take the last line of the job; what was found before stays if nothing is found."""
        if "found" in words:
            self.number, self.found, self.basis = self.job, words["found"], self.asked_for
            self.whole = self._asked_whole
        self.problems, self.stopped = words.get("problems", []), "stopped" in words
        self.job, self.progress = 0, None

    def state(self, *, holds: bool) -> Json:
        """Return how it stands, as plain values; `holds` tells whether what was found does."""
        return {
            "number": self.number,
            "running": bool(self.job),
            "progress": self.progress,
            "problems": self.problems,
            "stopped": self.stopped,
            "old": self.found is not None and not holds,
        }
