"""One site being worked on: every edit, undo, save, and what to do about changes outside."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from visual.app.field_rows import fields_of, no_field
from visual.app.placing import Drag, drag_changes
from visual.app.recovery import drop_unsaved
from visual.app.standing import Standing
from visual.errors import HillmastError
from visual.site import edit_text, read_site_text, typed_value


class StaleError(HillmastError):
    """An edit was made to a state that is no longer the newest, as by another tab."""


class Session(Standing):
    """What can be done to a site; every method may be called from any thread.

    Each names the version of the text that it was done to, and is refused if that is no longer
    the newest.
    """

    def edit(self, typed: Mapping[str, str], *, version: int, group: str = "") -> int:
        """Set fields to what a person typed and return the new version.

        Parameters
        ----------
        typed : mapping of str to str
            By key; empty text leaves the key out.
        version : int
            The version this was done to.
        group : str
            Edits of one group are undone together.

        Raises
        ------
        InputError
            If the values cannot be used; nothing changes then.
        StaleError
            If `version` is not the newest.
        """
        with self.changed:
            self._must_be_newest(version)
            fields = {field.key: field for field in fields_of(self.text)}
            unknown = [key for key in typed if key not in fields]
            if unknown:
                raise no_field(unknown[0], file=self.path.name)
            values = {
                key: typed_value(fields[key], text, file=self.path.name)
                for key, text in typed.items()
            }
            return self._change(values, group=group)

    def set_tables(self, changes: Mapping[str, Any], *, version: int) -> int:
        """Set keys to plain values, such as a further collar; as `edit` otherwise."""
        with self.changed:
            self._must_be_newest(version)
            return self._change(changes, group="")

    def drag(self, drag: Drag, *, version: int, seen: int, group: str = "") -> int:
        """Put base, front or an anchor where it was dragged to; as `edit` otherwise.

        `seen` is the version of the answer whose local frame the place is in.
        """
        with self.changed:
            self._must_be_newest(version)
            model = self._models.get(seen)
            if model is None:
                message = "the place was seen too long ago"
                raise StaleError(message)
            return self._change(drag_changes(model, drag), group=group)

    def undo(self, *, version: int) -> int:
        """Go back one step and return the new version."""
        with self.changed:
            self._must_be_newest(version)
            return self._moved() if self._history.undo() else self.version

    def redo(self, *, version: int) -> int:
        """Do again what was undone and return the new version."""
        with self.changed:
            self._must_be_newest(version)
            return self._moved() if self._history.redo() else self.version

    def reset(self, *, version: int) -> int:
        """Go back to the saved site, which can be undone, and return the new version."""
        with self.changed:
            self._must_be_newest(version)
            return self._moved() if self._history.put(self.disk.saved.text) else self.version

    def save(self, *, version: int, force: bool = False) -> None:
        """Write the site file; the first time what it held is kept beside it.

        Raises
        ------
        OutsideError
            If something else changed the file, unless `force`.
        StaleError
            If `version` is not the newest.
        """
        with self.changed:
            self._must_be_newest(version)
            self.disk.write(self.text, force=force)
            self._saved()

    def save_as(self, name: str, *, version: int) -> None:
        """Write the site file under another name in its folder and go on with that one.

        Raises
        ------
        InputError
            If the name is no file name, or taken.
        """
        with self.changed:
            self._must_be_newest(version)
            before = self.path
            self.disk.write_as(name, self.text)
            self._saved(before)

    def take_outside(self, *, version: int) -> int:
        """Load what something else wrote into the file, which can be undone."""
        with self.changed:
            self._must_be_newest(version)
            text = self.disk.read_again().text
            self.saved_answer = None
            self._history.put(text)
            return self._moved()

    def read_data(self, *, version: int) -> int:
        """Work everything out again from the data files as they are now."""
        with self.changed:
            self._must_be_newest(version)
            self.saved_answer, self._unusable = None, ""
            return self._moved()

    def keep_mine(self, *, version: int) -> int:
        """Go on with the edited text and hold it against what the file now says."""
        with self.changed:
            self._must_be_newest(version)
            if self.disk.outside == "changed":
                self.disk.read_again()
                self.saved_answer = None
            else:
                self.disk.disregard()
            return self._moved()

    def _change(self, changes: Mapping[str, Any], *, group: str) -> int:
        text = edit_text(self.text, changes, file=self.path.name)
        read_site_text(text, path=self.path)
        return self._moved() if self._history.put(text, group=group) else self.version

    def _must_be_newest(self, version: int) -> None:
        if version != self.version:
            message = "another tab, or another window, changed this site; the newest state is shown"
            raise StaleError(message)

    def _saved(self, before: Path | None = None) -> None:
        """Hold everything against what is saved now; work kept of it, and of `before`, goes."""
        self.notice = ""
        same = self.answer is not None and self.answer.text == self.text
        self.saved_answer = self.answer if same else None
        try:
            for path in {self.path, before or self.path}:
                drop_unsaved(path)
        finally:
            self.tell()
