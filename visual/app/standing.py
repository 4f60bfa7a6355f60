"""What one site stands at: its text, what that comes to, and who waits for news of it."""

import threading
import time
from collections import OrderedDict
from pathlib import Path

from visual.app.answer import Answer, Json
from visual.app.data_on_disk import changed_files
from visual.app.field_rows import field_rows
from visual.app.history import History
from visual.app.live_scene import LiveScene
from visual.app.on_disk import SiteOnDisk
from visual.app.recovery import drop_unsaved, keep_unsaved, work_to_take_up
from visual.app.shown import problem_document
from visual.app.sketch import Sketch
from visual.errors import InputError, Problem
from visual.model import Model
from visual.site import data_state

LOOK_EVERY = 1.0  # [s] how often the file is looked at while somebody watches

KEPT_MODELS = 60
"""Models of past versions that a drag may refer to."""


class Standing:
    """The state of one site and what it comes to; every method may be called from any thread.

    Each change of the text has a number, `version`; each thing worth showing raises `seq`, so
    that whoever waits for news can say what was seen last.

    Parameters
    ----------
    path : Path
        The site file.

    Raises
    ------
    InputError
        If it cannot be used.
    """

    def __init__(self, path: Path) -> None:
        self.changed = threading.Condition(threading.RLock())
        self.disk = SiteOnDisk(path)
        self.version = self.seq = 1
        self.looked = 0  # how often a search or a rose began or ended
        self.answer: Answer | None = None
        self.saved_answer: Answer | None = None
        self.sketched: Sketch | None = None
        self.scene: LiveScene | None = None
        self.notice = self.doing = ""
        self.closed = False
        self._history = History(self.disk.saved.text)
        self._models: OrderedDict[int, Model] = OrderedDict()
        self._data_changed: list[str] = []
        self._problems: tuple[Problem, ...] = ()
        self._refused = 0
        self._unusable = ""
        self._asked_at = time.monotonic()
        self._took = 0.0
        self._take_up()

    @property
    def path(self) -> Path:
        """The site file."""
        return self.disk.path

    @property
    def text(self) -> str:
        """The edited text."""
        return self._history.text

    @property
    def dirty(self) -> bool:
        """True if there is unsaved work."""
        return self.text != self.disk.saved.text

    def wait(self, after: int, *, timeout: float) -> None:
        """Wait for news after `after`, the `seq` seen last, and look at the file meanwhile. [s]"""
        end = time.monotonic() + timeout
        with self.changed:
            while self.seq <= after and not self.closed:
                if self.disk.look() | self._look_at_data():
                    self.tell()
                    return
                rest = end - time.monotonic()
                if rest <= 0:
                    return
                self.changed.wait(min(rest, LOOK_EVERY))

    def wanted(self) -> tuple[int, str] | None:
        """Return version and text that are to be worked out; None if nothing is.

        The saved text has version 0: everything is held against it.
        """
        with self.changed:
            saved = self.disk.saved.text
            if self.saved_answer is None and saved != self._unusable:
                return 0, saved
            done = self.answer.version if self.answer else 0
            newest = max(done, self._refused)
            return (self.version, self.text) if newest < self.version else None

    def accept(self, answer: Answer) -> None:
        """Take what a text comes to; a later answer may be there already.

        What arrives after the close is too late: dropped work must not come back to the disk.
        """
        with self.changed:
            if self.closed:
                return
            if answer.version == 0:
                if answer.text == self.disk.saved.text:
                    self.saved_answer = answer
                return
            if self.answer is not None and answer.version <= self.answer.version:
                return
            if self.answer is not None and self.answer.data != answer.data:
                self.saved_answer, self._unusable = None, ""
            self.answer, self.sketched = answer, None
            self._look_at_data()
            self._remember(answer.version, answer.model)
            self._took = time.monotonic() - self._asked_at
            self._keep_work()
            self.tell()

    def outline(self, sketched: Sketch) -> None:
        """Take the quick part of an answer, with the full one still to come."""
        with self.changed:
            self.sketched = sketched
            self._remember(sketched.version, sketched.model)
            self._took = time.monotonic() - self._asked_at
            self.tell()

    def show(self, scene: LiveScene) -> None:
        """Take the scene of an answer."""
        with self.changed:
            self.scene, self.doing = scene, scene.to_come
            self.tell()

    def say(self, doing: str) -> None:
        """Tell what is being done while there is nothing to see yet."""
        with self.changed:
            if self.scene is None:
                self.doing = doing
                self.tell()

    def refuse(self, version: int, problems: tuple[Problem, ...]) -> None:
        """Go back to the last good text because the newest one cannot be used."""
        with self.changed:
            if version == 0:
                self._unusable = self.disk.saved.text
                return
            if version != self.version:
                return
            self._problems, self._refused, self.sketched = problems, version, None
            self._look_at_data()
            if self.answer is not None and self.answer.text != self.text:
                self._history.take_back(self.answer.text)
                self.version += 1
            self.tell()

    def tell(self) -> None:
        """Let everyone who waits for news know that there is some."""
        with self.changed:
            self.seq += 1
            self.changed.notify_all()

    def state(self) -> Json:
        """Return everything about the text, as plain values; what it comes to is in `answer`."""
        with self.changed:
            return {
                "seq": self.seq,
                "version": self.version,
                "file": self.path.name,
                "folder": self.path.parent.name,
                "dirty": self.dirty,
                "can_undo": self._history.can_undo,
                "can_redo": self._history.can_redo,
                "busy": self.wanted() is not None,
                "doing": self.doing,
                "outside": self.disk.outside,
                "data_changed": self._data_changed,
                "notice": self.notice,
                "problems": [problem_document(problem) for problem in self._problems],
                "fields": field_rows(self.text, self.disk.saved.text),
                "took": self._took,
                "looked": self.looked,
                "scene": [self.scene.version, self.scene.full] if self.scene else None,
            }

    def model_of(self, version: int) -> Model | None:
        """Return the model of a version that was shown not too long ago."""
        with self.changed:
            return self._models.get(version)

    def close(self, *, keep: bool) -> None:
        """Stop working on the site, with its unsaved work kept on disk or dropped."""
        with self.changed:
            self.closed = True
            self.tell()
            if keep:
                self._keep_work()
            else:
                drop_unsaved(self.path)

    def _look_at_data(self) -> bool:
        """Look whether a data file is not as it was for the answer; True if that is news."""
        if self.answer is None:
            return False
        before, now = self.answer.data, data_state(self.answer.model.site)
        found = changed_files(before, now)
        news, self._data_changed = found != self._data_changed, found
        return news

    def _moved(self) -> int:
        self.version += 1
        self.notice, self._problems = "", ()
        self._asked_at = time.monotonic()
        self.tell()
        return self.version

    def _remember(self, version: int, model: Model) -> None:
        self._models[version] = model
        while len(self._models) > KEPT_MODELS:
            self._models.popitem(last=False)

    def _take_up(self) -> None:
        text, self.notice = work_to_take_up(self.path, self.disk.saved)
        if self._history.put(text):
            self.version += 1

    def _keep_work(self) -> None:
        """Keep unsaved work on disk; a folder that cannot be written is told once it is saved."""
        try:
            if self.dirty:
                keep_unsaved(self.path, self.text, base=self.disk.saved.digest)
            else:
                drop_unsaved(self.path)
        except InputError:
            self.notice = "Unsaved work cannot be kept on disk: the folder cannot be written."
