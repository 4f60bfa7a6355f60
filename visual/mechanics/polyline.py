"""Where a polyline leaves a sphere: the end of a taut line, the reach of a fall."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def leaves_spheres(points: Array, *, centres: Array, radii: Array) -> Array:
    """Return where a polyline leaves each of several spheres for the last time.

    Between two corners the distance to the centre is the root of a quadratic, so the answer is
    exact for the polyline given.

    Parameters
    ----------
    points : ndarray, shape (n, d) or (k, n, d)
        Corners of the polyline, or of one polyline per sphere; a corner with
        NaN counts as neither inside nor outside. [m]
    centres : ndarray, shape (k, d)
        Middles of the spheres. [m]
    radii : ndarray, shape (k,)
        Radii of the spheres. [m]

    Returns
    -------
    ndarray, shape (k,)
        Corner number plus the share of the way to the next corner, e.g. 3.25; NaN where the
        polyline never leaves the sphere between two known corners.
    """
    offset = points - centres[:, np.newaxis, :]
    beyond = _products(offset, offset) - radii[:, np.newaxis] ** 2
    inside, outside = beyond <= 0.0, beyond > 0.0
    share, cuts = _share_on_leaving(offset[:, :-1], np.diff(points, axis=-2), beyond[:, :-1])
    # Both corners may lie outside while the piece between them dips into the sphere.
    dips = outside[:, :-1] & cuts & (share > 0.0) & (share < 1.0)
    leaving = (inside[:, :-1] | dips) & outside[:, 1:]
    last = leaving.shape[1] - 1 - np.argmax(leaving[:, ::-1], axis=1)
    found = last + np.clip(share[np.arange(len(centres)), last], 0.0, 1.0)
    return np.where(leaving.any(axis=1), found, np.nan)


def _share_on_leaving(first: Array, step: Array, beyond: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Return where the line from a point on by a step leaves a sphere about the origin.

    Parameters
    ----------
    first, step : ndarray, shape (..., d)
        The point, and the way to the next one. [m]
    beyond : ndarray
        Distance squared of the point less the radius squared. [m²]

    Returns
    -------
    share, cuts : ndarray
        0 at the point, 1 at the next one; and whether the line meets the sphere at all.
    """
    a = np.maximum(_products(step, step), np.finfo(float).tiny)
    b = _products(first, step)
    square = b * b - a * beyond
    return np.asarray((np.sqrt(np.maximum(square, 0.0)) - b) / a), square > 0.0


def _products(first: Array, second: Array) -> Array:
    """Return scalar products over the last axis."""
    return np.asarray(np.einsum("...i,...i->...", first, second))
