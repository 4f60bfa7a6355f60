"""Working out the newest state in a thread of its own; what is overtaken is left out."""

import logging
import threading
import time

from visual.app.answer import Answer
from visual.app.kept_work import KeptWork
from visual.app.live_scene import SceneBuilder
from visual.app.session import Session
from visual.app.sketch import Sketch, sketch
from visual.app.work_out import work_out
from visual.errors import HillmastError, InputError, Problem
from visual.model import ModelLoader
from visual.site import DataState, SiteFile, data_state, read_site_text

LOG = logging.getLogger("hillmast")


PATIENCE = 1.0
"""Work that is overtaken is dropped, unless no whole answer was given for so long. [s]"""


class OvertakenError(Exception):
    """What was being worked out is not wanted any more."""


class Worker:
    """Works out what a session wants, as long as it is open.

    There is no queue: the newest text is taken, and the texts in between, which nobody looks at
    any more, are never worked out. What is on its way when a newer text comes is dropped, except
    now and then: in a long drag forces and clearances follow too.
    """

    def __init__(self, session: Session, *, draws: bool = True) -> None:
        self._session = session
        self._loader = ModelLoader()
        self._kept = KeptWork()
        self._builder = SceneBuilder() if draws else None
        self._answered = time.monotonic()
        self._thread = threading.Thread(target=self._run, name="hillmast-worker", daemon=True)
        self._thread.start()

    def join(self, timeout: float) -> None:
        """Wait until the thread has ended, after the session was closed. [s]"""
        self._thread.join(timeout)

    def _run(self) -> None:
        session = self._session
        while not session.closed:
            with session.changed:
                wanted = session.wanted()
                if wanted is None:
                    session.changed.wait(timeout=1.0)
                    continue
            self._work(*wanted)
            if session.wanted() is None or wanted[0]:
                self._draw()

    def _work(self, version: int, text: str) -> None:
        session = self._session
        session.say("reading the ground, working out the raise")
        try:
            session.accept(self._answer(version, text))
            self._answered = time.monotonic()
        except OvertakenError:
            pass
        except HillmastError as error:
            session.refuse(version, _problems(error))
        except Exception:
            LOG.exception("a state of %s cannot be worked out", session.path.name)
            session.refuse(version, (_UNFORESEEN,))

    def _answer(self, version: int, text: str) -> Answer:
        site = read_site_text(text, path=self._session.path)
        data = data_state(site)
        for known in (self._session.answer, self._session.saved_answer):
            if known is not None and (known.text, known.data) == (text, data):
                return known.as_version(version)
        sketched = None
        if version and self._session.answer is not None:
            sketched = self._sketch(site, self._session.answer, version, data)
        return work_out(
            site,
            self._loader,
            version=version,
            text=text,
            sketched=sketched,
            kept=self._kept,
            between=lambda: self._drop_if_overtaken(version),
        )

    def _drop_if_overtaken(self, version: int) -> None:
        session = self._session
        overtaken = version not in (0, session.version)
        if session.closed or (overtaken and time.monotonic() - self._answered < PATIENCE):
            raise OvertakenError

    def _sketch(self, site: SiteFile, last: Answer, version: int, data: DataState) -> Sketch:
        """Tell the quick part of an answer before the full one is worked out."""
        model = self._loader.load(site)
        raised = self._kept.raise_of(model)
        sketched = sketch(model, last, version=version, data=data, raised=raised)
        self._session.outline(sketched)
        if self._builder is not None:
            scene = self._builder.outline(sketched)
            if scene is not None:
                self._session.show(scene)
        return sketched

    def _draw(self) -> None:
        """Make the scene of the newest answer; given up as soon as a newer state waits."""
        session = self._session
        answer = session.answer
        if answer is None or self._builder is None:
            return
        session.say("drawing the ground")
        try:
            for scene in self._builder.scenes(answer, self._waits):
                session.show(scene)
        except Exception:
            LOG.exception("the scene of %s cannot be made", session.path.name)
            session.doing = ""

    def _waits(self) -> bool:
        return self._session.closed or self._session.wanted() is not None


_UNFORESEEN = Problem(
    file="",
    key="",
    value=None,
    rule="this state of the site cannot be worked out; the terminal says more",
    way_out="undo it, and please report it",
)


def _problems(error: HillmastError) -> tuple[Problem, ...]:
    if isinstance(error, InputError):
        return error.problems
    rule, _, way_out = str(error).partition("; ")
    return (Problem(file="", key="", value=None, rule=rule, way_out=way_out),)
