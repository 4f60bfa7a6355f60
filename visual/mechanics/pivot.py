"""Statics of a body that can only turn about one axis: moments by virtual work.

When the body turns by δθ, a point moves by δθ times the rate at which it moves per angle.  The
moment of a force about the axis is the force times that rate: R. C. Hibbeler, Engineering
Mechanics: Statics, chapter 11, virtual work (from memory); the same as force times lever arm.
"""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def moment_of(force: Array, rate: Array) -> Array:
    """Return the moment of forces about the axis, positive where they help the turning. [N m]

    Parameters
    ----------
    force : ndarray, shape (..., 3)
        Forces. [N]
    rate : ndarray, shape (..., 3)
        How their points of attack move per angle of turning. [m/rad]
    """
    return np.asarray(np.sum(force * rate, axis=-1))


def units_between(start: Array, end: Array) -> Array:
    """Return unit vectors from start to end, shape (..., 3); NaN where both are one point."""
    step = np.asarray(end - start, dtype=float)
    length = np.linalg.norm(step, axis=-1, keepdims=True)
    return np.asarray(np.divide(step, length, out=np.full_like(step, np.nan), where=length > 0.0))


def pull_for_moment(moment: Array, *, lever: Array) -> Array:
    """Return the pull that balances a moment over a lever; NaN where the lever does not help.

    Parameters
    ----------
    moment : ndarray
        Moment to overcome, positive against the turning. [N m]
    lever : ndarray
        Moment of a pull of 1 N, positive where it helps the turning. [m]

    Returns
    -------
    ndarray
        The pull; 0 where there is nothing to overcome. [N]
    """
    helps = lever > 0.0
    pull = np.divide(moment, lever, out=np.full_like(moment, np.nan), where=helps)
    return np.where(moment <= 0.0, 0.0, pull)
