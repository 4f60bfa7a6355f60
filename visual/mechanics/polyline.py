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
    distance = np.linalg.norm(offset, axis=2)
    inside, outside = distance <= radii[:, np.newaxis], distance > radii[:, np.newaxis]
    share, cuts = _share_on_leaving(offset[:, :-1], offset[:, 1:], radii[:, np.newaxis])
    # Both corners may lie outside while the piece between them dips into the sphere.
    dips = outside[:, :-1] & cuts & (share > 0.0) & (share < 1.0)
    leaving = (inside[:, :-1] | dips) & outside[:, 1:]
    last = leaving.shape[1] - 1 - np.argmax(leaving[:, ::-1], axis=1)
    found = last + np.clip(share[np.arange(len(centres)), last], 0.0, 1.0)
    return np.where(leaving.any(axis=1), found, np.nan)


def _share_on_leaving(
    first: Array, second: Array, radius: Array
) -> tuple[Array, NDArray[np.bool_]]:
    """Return where the line from one point on to another leaves a sphere about the origin.

    Returns
    -------
    share, cuts : ndarray
        0 at the first point, 1 at the second; and whether the line meets the sphere at all.
    """
    step = second - first
    a = np.maximum(np.sum(step * step, axis=-1), np.finfo(float).tiny)
    b = np.sum(first * step, axis=-1)
    c = np.sum(first * first, axis=-1) - radius**2
    square = b * b - a * c
    return np.asarray((np.sqrt(np.maximum(square, 0.0)) - b) / a), square > 0.0
