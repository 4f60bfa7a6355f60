"""How kernels are compiled. Importing this module loads the compiler, so only what searches does.

Kernels hold no lock and make no arrays. Without arrays of their own they need not count who
refers to what they are handed: that took half of the time of a look, and half of the compile.
Whoever calls a kernel from Python holds its arrays, all the time that it runs.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any, cast

from numba import njit
from numba.core.options import DefaultOptions

_SOURCES = (
    *("compiled", "kernel", "kernel_raise", "kernel_args", "rings", "scan"),
    *("causes", "cover", "curves", "level", "numbers", "tables"),
)  # kernels, and what the numbers in them are taken from

_kernel = dict[str, Any](cache=True, nogil=True, error_model="numpy", no_cfunc_wrapper=True)
if hasattr(DefaultOptions, "_nrt"):  # no public option: without it all is the same, but slower
    _kernel["_nrt"] = False


def stamp_of(folder: Path) -> tuple[tuple[int, int], ...]:
    """Return what changes with any file that kernels are made of: times [ns] and sizes [bytes]."""
    stats = [(folder / f"{name}.py").stat() for name in _SOURCES]
    return tuple((one.st_mtime_ns, one.st_size) for one in stats)


_STAMP = stamp_of(Path(__file__).parent)


def _kept(**options: bool) -> Callable[[Any], Any]:
    """Return what compiles a kernel anew when any kernel has changed, not only its own file."""

    def decorate(function: Any) -> Any:
        made = cast("Any", njit)(**_kernel, **options)(function)
        file: Any = getattr(getattr(made, "_cache", None), "_cache_file", None)
        if hasattr(file, "_source_stamp"):  # not public either
            file._source_stamp = _STAMP
        return made

    return decorate


inner = _kept(forceinline=True, no_cpython_wrapper=True)
"""Of a kernel that only kernels call: compiled into each of them."""

apart = _kept(no_cpython_wrapper=True)
"""Of a kernel that kernels call seldom: it stays on its own, so that it is compiled once."""

outer = _kept()
"""Of a kernel that is called from Python."""
