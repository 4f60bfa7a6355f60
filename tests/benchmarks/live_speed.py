"""The live view: from an edit to its answer and its scene, and the first opening.

``python tests/benchmarks/live_speed.py [site …]``. Each kind of edit is made a few times in a warm
session; the median counts. Times are of the whole process, the server's part of a request (the edit
and what is sent back as JSON) included, the browser's not.
"""

import json
import math
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
SITES = ("hill_paddock", "hill_paddock/site_moved.toml", "terrace", "flat_yard")
STAGES = ("quick part", "whole answer", "scene", "full scene")
REPEATS, LONGEST = 5, 300.0  # [s]

Edit = Callable[[Any, int], None]
Moment = tuple[float, float]
"""Processor time and clock. [s]"""


def now() -> Moment:
    """Return the moment."""
    return time.process_time(), time.perf_counter()


def as_the_command_does() -> None:
    """Set up the process as `hillmast open` does."""
    sys.path.insert(0, str(ROOT))
    from visual.process import suit_small_arrays

    suit_small_arrays()


def timed_session(path: Path) -> Any:
    """Return a session that notes when each stage of each version was reached."""
    from visual.app.session import Session

    class Timed(Session):
        def __init__(self, path: Path) -> None:
            self.reached: dict[tuple[int, str], Moment] = {}
            super().__init__(path)

        def outline(self, sketched: Any) -> None:
            super().outline(sketched)
            self._note(sketched.version, "quick part")

        def accept(self, answer: Any) -> None:
            super().accept(answer)
            if answer.version:
                self._note(answer.version, "whole answer")

        def show(self, scene: Any) -> None:
            super().show(scene)
            if self.answer is not None and self.answer.version == scene.version:
                json.dumps(scene.without(scene.data["around"]["ground"]["key"]))
                self._note(scene.version, "full scene" if scene.full else "scene")

        def _note(self, version: int, stage: str) -> None:
            if stage in ("quick part", "whole answer") and self.answer is not None:
                from visual.app.finder import Finder
                from visual.app.routes import _state_of

                json.dumps(_state_of(self, Finder(), 0, None))
            with self.changed:
                self.reached.setdefault((version, stage), now())
                self.changed.notify_all()

    return Timed(path)


def opened(site: str, folder: Path) -> tuple[Any, Any]:
    """Copy a sample site, open it and return session and worker."""
    from visual.app.worker import Worker

    name, _, file = site.partition("/")
    place = shutil.copytree(ROOT / "sample_sites" / name, folder / site.replace("/", "_"))
    session = timed_session(place / (file or "site.toml"))
    return session, Worker(session)


def reached(session: Any, version: int, stage: str) -> Moment:
    """Wait for a stage of a version and return when it was reached."""
    with session.changed:
        if not session.changed.wait_for(
            lambda: (version, stage) in session.reached, timeout=LONGEST
        ):
            raise TimeoutError(f"{stage} of version {version}")
    return session.reached[version, stage]


def edits(session: Any) -> dict[str, Edit]:
    """Return the kinds of edit; each takes the session and a number that makes it a new one."""
    rig = session.answer.model.rig
    side = session.answer.model.anchors["left"].eye[:2]
    forward = session.answer.model.forward[:2]

    def field(key: str, value: float, step: float, unit: str = " m") -> Edit:
        def edit(session: Any, number: int) -> None:
            session.edit({key: f"{value + step * number:.4g}{unit}"}, version=session.version)

        return edit

    def drag(what: str, place: Callable[[int], Any], side: str | None = None) -> Edit:
        def edit(session: Any, number: int) -> None:
            from visual.app.placing import Drag

            x, y = place(number)
            moved = Drag(what, side, float(x), float(y))
            session.drag(moved, version=session.version, seen=session.answer.version)

        return edit

    collar = max(one.height for one in rig.mast.collars)
    front = math.atan2(forward[0], forward[1])
    length = rig.mast.sections[0].length if hasattr(rig.mast, "sections") else 6.0
    return {
        "drag the base": drag("base", lambda n: (0.3 + 0.05 * n, 0.2)),
        "drag an anchor": drag("anchor", lambda n: side * (1.0 - 0.01 * n), "left"),
        "turn the front": drag(
            "front", lambda n: (math.sin(front + 0.01 * n), math.cos(front + 0.01 * n))
        ),
        "hinge height": field("mast.hinge_height", rig.mast.hinge_height, 0.01),
        "section": field("mast.section[1].length", length, -0.01),
        "collar": field("mast.collar[1].height", collar, -0.05),
        "radius": field("anchors.radius", float(math.hypot(*side)), 0.05),
        "gin pole": field("gin_pole.length", rig.gin_pole.length, 0.05),
        "tow line": field("tow.line_length", rig.tow.line_length, 0.1),
        "truck": field("tow.vehicle_mass", rig.tow.vehicle_mass, 50.0, " kg"),
        "limit": field("limits.tree_clearance", 2.0, 0.1),
    }


def of_one_edit(session: Any, edit: Edit, number: int) -> dict[str, Moment]:
    """Make an edit and return the time to every stage. [s]"""
    start = now()
    edit(session, number)
    version = session.version
    found = {}
    for stage in STAGES:
        end = reached(session, version, stage)
        found[stage] = (end[0] - start[0], end[1] - start[1])
    return found


def edit_lines(site: str) -> Iterator[str]:
    """Time all edits of a site."""
    with tempfile.TemporaryDirectory() as folder:
        session, worker = opened(site, Path(folder))
        reached(session, 1, "full scene")
        yield f"{site:34s}" + "".join(f"{stage:>22s}" for stage in STAGES)
        for name, edit in edits(session).items():
            rows = [of_one_edit(session, edit, number) for number in range(1, REPEATS + 1)]
            line = f"  {name:32s}"
            for stage in STAGES:
                cpu, wall = (
                    statistics.median(row[stage][which] for row in rows) for which in (0, 1)
                )
                line += f"   CPU {cpu:5.2f} clock {wall:4.2f}"
            yield line
            session.reset(version=session.version)
            reached(session, session.version, "full scene")
        session.close(keep=False)
        worker.join(5.0)


def opening_line(site: str) -> str:
    """Time the first opening in a process of its own, imports included."""
    code = f"import live_speed; live_speed.print_opening({site!r})"
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=Path(__file__).parent,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.rstrip("\n")


def print_opening(site: str) -> None:
    """Open a site and print when each stage was reached, and the first edit after it."""
    as_the_command_does()
    start = now()
    with tempfile.TemporaryDirectory() as folder:
        session, _ = opened(site, Path(folder))
        line = f"open {site:29s}"
        for stage in STAGES[1:]:
            cpu, wall = reached(session, 1, stage)
            line += f"   {stage}: CPU {cpu - start[0]:5.2f} clock {wall - start[1]:5.2f}"
        times = of_one_edit(session, edits(session)["drag an anchor"], 1)
        cpu, wall = times["whole answer"]
        sys.stdout.write(f"{line}   first edit: CPU {cpu:5.2f} clock {wall:5.2f}\n")
        session.close(keep=False)


def main(sites: list[str]) -> None:
    """Print the tables."""
    as_the_command_does()
    for site in sites or SITES:
        sys.stdout.write(opening_line(site) + "\n")
    for site in sites or SITES:
        for line in edit_lines(site):
            sys.stdout.write(line + "\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
