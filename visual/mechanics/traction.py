"""How hard a vehicle can pull on a slope.

The textbook balance along the slope, with grip μ and rolling resistance f of the weight on the
wheels: ``F = μ N − f N − W sin γ``.  The line pulls on the hitch: where it rises from there it
takes weight off the wheels, where it falls it adds weight.
"""

import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def largest_pull(
    slope: Array, line: Array, *, weight: float, grip: float, rolling: float, driven: float = 1.0
) -> Array:
    """Return the largest line pull before the wheels spin, on a vehicle driving away. [N]

    Every driven wheel is taken to grip to the full, and the weight to stay shared between the
    axles as it stands: both flatter a vehicle that squats or lifts its front.

    Parameters
    ----------
    slope : ndarray
        Slope of the ground, positive uphill in the driving direction. [rad]
    line : ndarray
        Angle of the line at the hitch above horizontal, positive where it rises from the hitch
        back towards the mast. [rad]
    weight : float
        Weight of the vehicle. [N]
    grip : float
        Tyre to ground friction. [1]
    rolling : float
        Rolling resistance over the weight on the wheels. [1]
    driven : float
        Share of the weight on driven wheels, 1 if all are driven. [1]

    Returns
    -------
    ndarray
        The pull; 0 where the vehicle cannot even climb; infinite where the line pulls it into
        the ground harder than back.
    """
    net = grip * driven - rolling
    spare = weight * (net * np.cos(slope) - np.sin(slope))
    # The line meets the lane at `above`; along it pulls back, across it lifts.
    above = line + slope
    cost = np.cos(above) + net * np.sin(above)
    pull = np.divide(spare, cost, out=np.full(np.shape(cost), math.inf), where=cost > 0.0)
    return np.asarray(np.maximum(pull, 0.0))


def wheels_lift(slope: Array, line: Array, *, weight: float) -> Array:
    """Return the line pull that would lift the vehicle off its wheels; infinite if none. [N]

    Parameters
    ----------
    slope, line : ndarray
        As in `largest_pull`. [rad]
    weight : float
        Weight of the vehicle. [N]
    """
    lift = np.sin(line + slope)
    down = weight * np.cos(slope)
    return np.asarray(
        np.divide(down, lift, out=np.full(np.shape(lift), math.inf), where=lift > 0.0)
    )
