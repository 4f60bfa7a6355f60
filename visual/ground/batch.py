"""Large batches of points: when a compiled loop is quicker than numpy, and how to run one."""

import itertools
import os
import sys
from collections.abc import Callable
from typing import Any

import numpy as np

from visual.ground.triangle import Array

LOADED_FROM = 4_000
"""Points from which the compiled loop is quicker, once the compiler is loaded."""

WORTH_LOADING = 400_000
"""Points from which loading the compiler pays: that takes half a second."""

PER_THREAD = 100_000
"""Fewer points than this are not worth a thread of their own."""


def worth_compiling(points: int) -> bool:
    """Tell whether a compiled loop is quicker for so many points."""
    return points >= (LOADED_FROM if "numba" in sys.modules else WORTH_LOADING)


def side_by_side(
    loop: Callable[..., None], tables: tuple[Any, ...], x: Array, y: Array, *out: Any
) -> None:
    """Run a loop over points, in threads if there are many.

    Parameters
    ----------
    loop : callable
        Takes x, y, the tables and arrays to write to; holds no lock.
    tables : tuple
        What it looks things up in.
    x, y : ndarray, shape (n,)
        The points. [m]
    *out : ndarray, shape (n,)
        Arrays it writes to.
    """
    x, y = np.ascontiguousarray(x), np.ascontiguousarray(y)
    threads = max(1, min(os.cpu_count() or 1, len(x) // PER_THREAD))
    ends = np.linspace(0, len(x), threads + 1).astype(int)

    def run(part: slice) -> None:
        loop(x[part], y[part], *tables, *(one[part] for one in out))

    parts = [slice(i, j) for i, j in itertools.pairwise(ends)]
    if threads == 1:
        run(parts[0])
        return
    from concurrent.futures import ThreadPoolExecutor  # few batches are that large

    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(run, parts))
