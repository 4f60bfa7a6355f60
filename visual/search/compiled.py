"""How kernels are compiled. Importing this module loads the compiler, so only what searches does.

Kernels hold no lock and make no arrays. Without arrays of their own they need not count who
refers to what they are handed: that took half of the time of a look, and half of the compile.
Whoever calls a kernel from Python holds its arrays, all the time that it runs.
"""

from typing import Any

from numba import njit
from numba.core.options import DefaultOptions

_njit: Any = njit
_kernel = dict[str, Any](cache=True, nogil=True, error_model="numpy", no_cfunc_wrapper=True)
if hasattr(DefaultOptions, "_nrt"):  # no public option: without it all is the same, but slower
    _kernel["_nrt"] = False

inner: Any = _njit(**_kernel, forceinline=True, no_cpython_wrapper=True)
"""Of a kernel that only kernels call: compiled into each of them."""

outer: Any = _njit(**_kernel)
"""Of a kernel that is called from Python."""
