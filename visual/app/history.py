"""What can be undone and done again: whole texts, the edits of one drag as one step."""

from dataclasses import dataclass, field

MOST = 200
"""Steps that can be undone."""


@dataclass
class History:
    """The text now, and the texts before and after it.

    Parameters
    ----------
    text : str
        The text now.
    """

    text: str
    _before: list[str] = field(default_factory=list)
    _after: list[str] = field(default_factory=list)
    _group: str = ""

    @property
    def can_undo(self) -> bool:
        """True if there is a text to go back to."""
        return bool(self._before)

    @property
    def can_redo(self) -> bool:
        """True if something was undone."""
        return bool(self._after)

    def put(self, text: str, *, group: str = "") -> bool:
        """Take another text and return True if it is another; texts of one group are one step."""
        if text == self.text:
            return False
        if not (group and group == self._group and self._before):
            self._before.append(self.text)
            del self._before[:-MOST]
        self._group = group
        self._after.clear()
        self.text = text
        return True

    def undo(self) -> bool:
        """Go back one step; False if there is none."""
        return self._step(self._before, self._after)

    def redo(self) -> bool:
        """Do again what was undone last; False if there is nothing."""
        return self._step(self._after, self._before)

    def take_back(self, good: str) -> None:
        """Leave a text that turned out to be of no use, for the last good one."""
        if self._before and self._before[-1] == good:
            self._before.pop()
        self._group = ""
        self.text = good

    def _step(self, source: list[str], target: list[str]) -> bool:
        if not source:
            return False
        target.append(self.text)
        self.text = source.pop()
        self._group = ""
        return True
