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
    points : ndarray, shape (n, d)
        Corners of the polyline; a corner with NaN counts as neither inside nor outside. [m]
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
    distance = np.linalg.norm(offset, axis=2)
    inside = distance <= radii[:, np.newaxis]
    outside = distance > radii[:, np.newaxis]
    leaving = inside[:, :-1] & outside[:, 1:]
    last = leaving.shape[1] - 1 - np.argmax(leaving[:, ::-1], axis=1)
    row = np.arange(len(centres))
    share = _share_at_radius(offset[row, last], offset[row, last + 1], radii)
    return np.where(leaving.any(axis=1), last + share, np.nan)


def _share_at_radius(inner: Array, outer: Array, radius: Array) -> Array:
    """Return where between two points, 0 … 1, the distance from the origin is `radius`."""
    step = outer - inner
    a = np.maximum(np.sum(step * step, axis=1), np.finfo(float).tiny)
    b = np.sum(inner * step, axis=1)
    c = np.sum(inner * inner, axis=1) - radius**2
    return np.asarray(np.minimum(1.0, (-b + np.sqrt(np.maximum(b * b - a * c, 0.0))) / a))
