"""Searching beside the server: a program of its own, fed by `visual.app.beside`.

It reads one job a line from standard input and writes one line for each thing to tell. So nothing
that it does, the compiling of the first search ever among it, holds up an edit. It ends with the
server, however that ends: then its standard input does.
"""

import json
import math
import os
import queue
import signal
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from visual.app.found_data import found_document, rose_document
from visual.app.shown import problem_document
from visual.errors import HillmastError, InputError
from visual.model import Model, ModelLoader
from visual.site import read_site_text

Json = dict[str, Any]
Tell = Callable[[Json], None]

STEPS = (1.0, 2.0, 4.0, 8.0, 16.0)  # [m] between places
MOST_PLACES = 60_000
"""The finest step is taken that makes no more places than this."""

PREPARING = "preparing"
"""What is being done until the first places are looked at: compiling, the very first time."""

TURN = math.radians(5.0)
LOOKS = 50  # exact ones, at what only a bound turns down: somebody waits for them
TOP = 8
TILE = 48  # places along the side of a tile: small, so that progress is told often
PREPARED = 200  # places of the search that everything is compiled by


class Stop:
    """Whether the job that is being done is to end, with what it has found so far kept."""

    def __init__(self) -> None:
        self._wanted = threading.Event()
        self._obeyed = False

    def ask(self) -> None:
        """Ask for the end."""
        self._wanted.set()

    def clear(self) -> None:
        """Begin another job."""
        self._wanted.clear()
        self._obeyed = False

    def look(self) -> None:
        """Interrupt what is being done, once, as Ctrl-C interrupts a search in the terminal."""
        if self._wanted.is_set() and not self._obeyed:
            self._obeyed = True
            raise KeyboardInterrupt


def main() -> None:
    """Do jobs until standard input ends."""
    output, sys.stdout = sys.stdout, sys.stderr  # what a library prints must not get between
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the server's; it ends this one
    if hasattr(os, "nice"):
        os.nice(5)  # edits come first
    jobs: queue.Queue[Json] = queue.Queue()
    stop = Stop()
    threading.Thread(target=_read, args=(jobs, stop), daemon=True).start()
    loader = ModelLoader()
    while True:
        job = jobs.get()

        def tell(words: Json, job: Json = job) -> None:
            output.write(json.dumps({"job": job["job"], **words}, allow_nan=False) + "\n")
            output.flush()

        tell(_done(job, loader, stop, tell))


def _read(jobs: "queue.Queue[Json]", stop: Stop) -> None:
    for line in sys.stdin:
        asked = json.loads(line)
        if asked.get("do") == "stop":
            stop.ask()
        else:
            stop.clear()
            jobs.put(asked)
    os._exit(0)


def _done(job: Json, loader: ModelLoader, stop: Stop, tell: Tell) -> Json:
    """Do a job and return its last line."""
    try:
        site = read_site_text(job["text"], path=Path(job["path"]))
        tell({"progress": _progress("reading the ground")})
        model = loader.load(site)
        if job["do"] == "rose":
            tell({"progress": _progress(PREPARING)})
            return {"found": _rose(model)}
        if job["do"] == "prepare":
            return _prepare(model)
        return {"found": _search(model, job, stop, tell)}
    except KeyboardInterrupt:
        return {"stopped": True}
    except InputError as error:
        return {"problems": [problem_document(problem) for problem in error.problems]}
    except HillmastError as error:
        return {"problems": [{"key": "", "value": "", "rule": str(error), "way_out": "change it"}]}
    except Exception as error:
        sys.excepthook(type(error), error, error.__traceback__)
        rule, way_out = "this could not be worked out", "the terminal says more; please report it"
        return {"problems": [{"key": "", "value": "", "rule": rule, "way_out": way_out}]}


def _prepare(model: Model) -> Json:
    """Compile everything that a search needs, by a very coarse one."""
    from visual.search.around import around_of
    from visual.search.land import land_of
    from visual.search.run import search

    area = land_of(model, around_of(model), within=None, radius=None).area
    search(model, step=math.sqrt(area / PREPARED), turn=TURN, top=0, looks=0, threads=1)
    return {}


def _rose(model: Model) -> Json:
    from visual.search.rose import rose_at

    return rose_document(rose_at(model, turn=TURN))


def _search(model: Model, job: Json, stop: Stop, tell: Tell) -> Json:
    from visual.search.land import land_around
    from visual.search.pool import Progress
    from visual.search.run import search

    within = None
    if job.get("within"):
        x, y = zip(*(model.frame.to_local(*point) for point in job["within"]), strict=True)
        within = land_around([(float(a), float(b)) for a, b in zip(x, y, strict=True)])
    radius = job.get("radius")

    def progress(now: Progress) -> None:
        doing = PREPARING if now.doing == "searching" and not now.done else now.doing
        tell({"progress": _progress(doing, now.done, now.total, now.left, now.note)})
        stop.look()

    tell({"progress": _progress(PREPARING)})
    found = search(
        model,
        within=within,
        radius=radius,
        step=_step(model, within, radius),
        turn=TURN,
        top=TOP,
        looks=LOOKS,
        tile=TILE,
        threads=max(1, (os.cpu_count() or 2) - 1),
        progress=progress,
    )
    return found_document(found)


def _step(model: Model, within: Any, radius: float | None) -> float:
    from visual.search.around import around_of
    from visual.search.land import land_of

    area = land_of(model, around_of(model), within=within, radius=radius).area
    return next((step for step in STEPS if area / step**2 <= MOST_PLACES), STEPS[-1])


def _progress(
    doing: str, done: int = 0, total: int = 0, left: float | None = None, note: str = ""
) -> Json:
    return {"doing": doing, "done": done, "total": total, "left": left, "note": note}


if __name__ == "__main__":
    main()
