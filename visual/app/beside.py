"""A program that searches beside the server, and talks with it line by line."""

import json
import logging
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from typing import Any

LOG = logging.getLogger("hillmast")

PROGRAM = "visual.app.beside_program"

GRACE = 4.0
"""How long a job that is asked to stop may take to hand over what it has found. [s]"""

Json = dict[str, Any]
Told = Callable[[Json], None]


class Beside:
    """One such program; it is started when there is something to do.

    Parameters
    ----------
    told : callable
        Given each line that it says; ``{"job": …, "stopped": True}`` if it ended in the middle of
        a job.
    """

    def __init__(self, told: Told) -> None:
        self._told = told
        self._lock = threading.RLock()
        self._running: subprocess.Popen[str] | None = None
        self._job = 0

    def ask(self, job: Json) -> None:
        """Give it a job, ``{"job": number, "do": …}``, to be done after those before."""
        with self._lock:
            self._job = int(job["job"])
            if self._running is None or self._running.poll() is not None:
                self._start()
            self._say(job)

    def stop(self) -> None:
        """Ask it to end the job and hand over what it has; end it if it does not."""
        with self._lock:
            running, job = self._running, self._job
            if not job or running is None or running.poll() is not None:
                return
            self._say({"do": "stop"})
        threading.Thread(
            target=self._insist, args=(running, job), name="hillmast-stop", daemon=True
        ).start()

    def done(self, job: int) -> None:
        """Note that a job is done: a stop that comes too late must end nothing."""
        with self._lock:
            if job == self._job:
                self._job = 0

    def close(self) -> None:
        """End it at once."""
        with self._lock:
            running, self._running = self._running, None
        if running is not None:
            running.kill()
            running.wait(timeout=5.0)

    def _insist(self, running: "subprocess.Popen[str]", job: int) -> None:
        end = time.monotonic() + GRACE
        while time.monotonic() < end:
            if self._job != job:
                return
            time.sleep(0.05)
        running.kill()

    def _start(self) -> None:
        self._running = subprocess.Popen(
            [sys.executable, "-m", PROGRAM],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            encoding="utf-8",
        )
        threading.Thread(
            target=self._listen, args=(self._running,), name="hillmast-beside", daemon=True
        ).start()

    def _say(self, words: Json) -> None:
        assert self._running is not None
        assert self._running.stdin is not None
        try:
            self._running.stdin.write(json.dumps(words) + "\n")
            self._running.stdin.flush()
        except (BrokenPipeError, OSError):
            LOG.debug("the program beside has ended")

    def _listen(self, running: "subprocess.Popen[str]") -> None:
        assert running.stdout is not None
        with running.stdout:
            for line in running.stdout:
                self._told(json.loads(line))
        running.wait()
        if running.stdin is not None:
            try:
                running.stdin.close()
            except OSError:
                LOG.debug("the program beside had not read all")
        with self._lock:
            job, closed = self._job, self._running is not running
            self._job = 0
        if job and not closed:
            self._told({"job": job, "stopped": True})
