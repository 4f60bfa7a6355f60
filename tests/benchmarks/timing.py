"""Timing side by side: both ways in turn, the best of several, printed as a ratio."""

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def side_by_side(
    *ways: Callable[[], object], repeats: int = 5, clock: Callable[[], float] = time.perf_counter
) -> list[float]:
    """Return the best time of each way; in turn, so that a busy moment hits all alike. [s]"""
    best = [float("inf")] * len(ways)
    for _ in range(repeats):
        for number, way in enumerate(ways):
            start = clock()
            way()
            best[number] = min(best[number], clock() - start)
    return best


def line(text: str, ratio: float, target: str) -> str:
    """Return one line of the report."""
    return f"{text:<68s}{ratio:9.2f} ×   wanted {target}"


def in_own_process(code: str, repeats: int = 3) -> tuple[float, float, float]:
    """Run a script in a process of its own; return best wall and CPU time [s], memory [MB].

    Its own children count too. Memory is the most it held, less its `held_before` if it sets that.
    """
    found = []
    for _ in range(repeats):
        start = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-c", code + _REPORT],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        wall = time.perf_counter() - start
        cpu, memory = map(float, done.stdout.split()[-2:])
        found.append((wall, cpu, memory))
    return tuple(map(min, zip(*found, strict=True)))  # type: ignore[return-value]


_REPORT = """
import resource as _r
_u, _c = _r.getrusage(_r.RUSAGE_SELF), _r.getrusage(_r.RUSAGE_CHILDREN)
_spent = _u.ru_utime + _u.ru_stime + _c.ru_utime + _c.ru_stime
print(_spent, _u.ru_maxrss / 1024 - globals().get('held_before', 0.0))
"""
