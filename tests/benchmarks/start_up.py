"""Start-up: `hillmast --help` against importing the command-line library, and a whole check."""

import os
import subprocess
import sys
import time

from timing import ROOT, in_own_process, line

HELP = "import visual.cli\ntry:\n    visual.cli.main(['--help'])\nexcept SystemExit:\n    pass\n"


def run() -> list[str]:
    """Return the lines of the report."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # as installed: modules compiled once
    _, helped, _ = in_own_process(HELP, repeats=7)
    _, bare, _ = in_own_process("import click", repeats=7)
    return [
        f"hillmast --help: {helped * 1e3:.0f} ms of CPU",
        line(f"  importing click takes {bare * 1e3:.0f} ms; we take", helped / bare, "at most 1.5"),
        *whole_check(),
    ]


def whole_check() -> list[str]:
    """Time a check of the hill sample from the shell's point of view, and the assessment alone."""
    walls, cpus = [], []
    for _ in range(5):
        before, start = os.times(), time.perf_counter()
        command = [sys.executable, "-m", "visual.cli", "check", "sample_sites/hill_paddock"]
        subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
        walls.append(time.perf_counter() - start)
        after = os.times()
        cpus.append(
            after.children_user
            + after.children_system
            - before.children_user
            - before.children_system
        )
    return [
        f"hillmast check of the hill sample: {min(walls):.2f} s, of it CPU {min(cpus):.2f} s"
        "   wanted at most 1 s",
        f"  its assessment alone: {assessment():.2f} s of CPU",
    ]


def assessment() -> float:
    """Return the best CPU time of `assess` on the hill sample. [s]"""
    from visual.checks import assess
    from visual.model import load_model

    times = []
    for _ in range(7):
        model = load_model(ROOT / "sample_sites" / "hill_paddock")
        start = time.process_time()
        assess(model)
        times.append(time.process_time() - start)
    return min(times)
