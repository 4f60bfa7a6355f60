"""Arrays as short texts: little-endian bytes in base64, with what is needed to unpack them."""

import base64
from typing import Any

import numpy as np
from numpy.typing import NDArray

Json = dict[str, Any]
Numbers = NDArray[np.float64]

_STEPS = 65534
_UNKNOWN = 65535
"""Stands for NaN among 16-bit heights."""


def pack_exact(values: Any) -> Json:
    """Return numbers as 32-bit floats; NaN stays NaN."""
    array = np.asarray(values, dtype="<f4")
    return _packed("f4", array)


def pack_whole(values: Any) -> Json:
    """Return whole numbers, none negative, in the least bytes that hold them."""
    array = np.asarray(values)
    small = array.size == 0 or int(array.max()) < _UNKNOWN
    return _packed("u2", array.astype("<u2")) if small else _packed("u4", array.astype("<u4"))


def pack_coarse(values: Numbers) -> Json:
    """Return numbers in 16 bits, each last axis in steps of its own; NaN stays NaN.

    The steps are the range over 65534: a millimetre over 65 m.
    """
    array = np.asarray(values, dtype=float)
    rows = array.reshape(-1, array.shape[-1])
    known = np.isfinite(rows).any(axis=0)
    low = np.where(known, np.nanmin(np.where(np.isfinite(rows), rows, np.inf), axis=0), 0.0)
    high = np.where(known, np.nanmax(np.where(np.isfinite(rows), rows, -np.inf), axis=0), 0.0)
    step = np.where(high > low, (high - low) / _STEPS, 1.0)
    whole = np.rint((array - low) / step)
    filled = np.where(np.isfinite(whole), whole, _UNKNOWN).astype("<u2")
    return _packed("q2", filled) | {"from": low.tolist(), "step": step.tolist()}


def _packed(kind: str, array: NDArray[Any]) -> Json:
    text = base64.b64encode(np.ascontiguousarray(array).tobytes()).decode("ascii")
    return {"as": kind, "shape": list(array.shape), "data": text}
