"""How the program works with many arrays that are all small: one thread, memory kept at hand.

Nothing here changes a result by more than rounding.
"""

import atexit
import gc
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

_MALLOPT = {-1: 64 << 20, -2: 16 << 20, -3: 32 << 20}
"""M_TRIM_THRESHOLD, M_TOP_PAD and M_MMAP_THRESHOLD of the GNU C library. [bytes]"""


def suit_small_arrays() -> None:
    """Set up this process for many small arrays; to be called before numpy is loaded.

    Threads of the matrix library wait for work by spinning, and all our matrices are small.
    Memory handed back to the system comes anew page by page, which takes a twentieth of a check.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if sys.platform == "linux":
        import ctypes

        set_option = getattr(ctypes.CDLL(None), "mallopt", None)
        if set_option is not None:  # other C libraries have none
            for option, size in _MALLOPT.items():
                set_option(option, size)


@contextmanager
def nothing_collected() -> Iterator[None]:
    """Look for no garbage for a moment.

    Loading libraries makes so many lasting things that looking through them again and again takes
    a tenth of the time; so does looking through them once more afterwards, or when the program
    ends.
    """
    atexit.unregister(gc.freeze)
    atexit.register(gc.freeze)
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()
