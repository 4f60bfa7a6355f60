"""Where straight lines in plan cross the edges of triangles."""

import numpy as np
from numpy.typing import NDArray

from visual.ground.triangle import Array, cross

TURN = 2 * np.pi

NEARLY_ACROSS = 3.0
"""An edge seen from the middle of a fan under a wider angle is held against every ray. [rad]"""

SPARE = 1e-6
"""Rays so near to the end of an edge are looked at too. [rad]"""


def crossing(ahead_a: Array, aside_a: Array, ahead_b: Array, aside_b: Array) -> Array:
    """Return where edges a–b cross the line ``aside = 0``, as distance along it. [m]

    Edges that lie on the line are left out: the edges they meet there bring their ends.
    """
    meets, distance = _meeting(ahead_a, aside_a, ahead_b, aside_b)
    return distance[meets]


def fan_crossings(corners: Array, origin: Array, bearings: Array) -> tuple[NDArray[np.int_], Array]:
    """Return where rays from one place cross the edges of triangles in plan.

    Parameters
    ----------
    corners : ndarray, shape (n, 3, 3)
        The triangles. [m]
    origin : ndarray, shape (2,)
        Where the rays begin. [m]
    bearings : ndarray, shape (k,)
        Their bearings. [rad]

    Returns
    -------
    ray : ndarray of int, shape (m,)
        Number of the ray of each crossing.
    distance : ndarray, shape (m,)
        Distance along it, unsorted; negative on its extension backwards. [m]
    """
    plan = corners[:, :, :2] - origin
    a, b = (plan[:, order].reshape(-1, 2) for order in ([0, 1, 2], [1, 2, 0]))
    edge, ray = _candidates(a, b, bearings)
    along = np.stack([np.sin(bearings), np.cos(bearings)], axis=-1)[ray]
    a, b = a[edge], b[edge]
    ahead = (along * a).sum(axis=1), (along * b).sum(axis=1)
    meets, distance = _meeting(ahead[0], cross(along, a), ahead[1], cross(along, b))
    return ray[meets], distance[meets]


def _meeting(
    ahead_a: Array, aside_a: Array, ahead_b: Array, aside_b: Array
) -> tuple[NDArray[np.bool_], Array]:
    """Tell which edges a–b meet the line ``aside = 0``, and how far along it; 0 for others."""
    meets = (aside_a * aside_b <= 0) & (aside_a != aside_b)
    share = np.where(meets, aside_a, 0.0) / np.where(meets, aside_a - aside_b, 1.0)
    return meets, np.asarray(ahead_a + (ahead_b - ahead_a) * share, dtype=float)


def _candidates(a: Array, b: Array, bearings: Array) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Return pairs of edge and ray that may meet: rays within the angle the edge is seen under."""
    at_a, at_b = (np.arctan2(end[:, 0], end[:, 1]) for end in (a, b))
    turn = (at_b - at_a + np.pi) % TURN - np.pi
    low = (np.where(turn < 0, at_b, at_a) - SPARE) % TURN
    high = low + np.abs(turn) + 2 * SPARE
    wide = np.abs(turn) > NEARLY_ACROSS
    order = np.argsort(bearings % TURN)
    # Twice around, so that an edge across north meets its rays in one run.
    once = bearings[order] % TURN
    twice = np.concatenate([once, once + TURN])
    first = np.where(wide, 0, np.searchsorted(twice, low))
    last = np.where(wide, len(once), np.searchsorted(twice, high, side="right"))
    count = last - first
    edge = np.repeat(np.arange(len(a)), count)
    step = np.arange(edge.size) - np.repeat(np.cumsum(count) - count, count)
    return edge, order[(first[edge] + step) % max(len(once), 1)]
