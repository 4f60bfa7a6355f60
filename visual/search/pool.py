"""Work that falls in parts which know nothing of each other: threads, progress, interruption."""

import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from typing import TypeVar

Part = TypeVar("Part")
Result = TypeVar("Result")


@dataclass(frozen=True)
class Progress:
    """How far a search is.

    Parameters
    ----------
    done, total : int
        Tiles, exact looks, or places of the short list that pass the full check.
    left : float or None
        Estimate of the time left for what is being done; None where it is not known. [s]
    doing : str
        What is being done.
    note : str
        What else is to be said of it; empty if nothing is.
    """

    done: int
    total: int
    left: float | None
    doing: str
    note: str = ""


Tell = Callable[[Progress], None]


def in_threads(
    work: Callable[[Part], Result],
    parts: Sequence[Part],
    *,
    threads: int,
    tell: Tell,
    doing: str,
    size: Callable[[Part], int] = lambda _: 1,
) -> Iterator[Result]:
    """Yield results as they are done; an interrupt ends it and loses nothing that is there.

    Parameters
    ----------
    work : callable
        What to do with a part.
    parts : sequence
        The parts.
    threads : int
        How many are worked on at the same time.
    tell : callable
        Told how far it is.
    doing : str
        What to tell.
    size : callable
        What a part counts as.
    """
    total = sum(map(size, parts))
    start, done = time.monotonic(), 0
    tell(Progress(0, total, None, doing))
    pool = ThreadPoolExecutor(max_workers=threads)
    running: dict[Future[Result], int] = {}
    try:
        waiting = iter(parts)
        while True:
            # No more waiting than is being worked on: memory stays that of a few parts.
            for part in waiting:
                running[pool.submit(work, part)] = size(part)
                if len(running) > threads:
                    break
            if not running:
                return
            ready, _ = wait(running, return_when=FIRST_COMPLETED)
            # What is there comes before what went wrong.
            for future in sorted(ready, key=lambda one: one.exception() is not None):
                counts, result = running.pop(future), future.result()
                done += counts
                yield result
            left = (time.monotonic() - start) / done * (total - done)
            tell(Progress(done, total, left, doing))
    except KeyboardInterrupt:
        tell(Progress(done, total, None, "interrupted: keeping what is found"))
    finally:
        # Nobody waits for what is thrown away.
        pool.shutdown(wait=not running, cancel_futures=True)
