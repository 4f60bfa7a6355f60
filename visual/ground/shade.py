"""Slope and hill shade of a regular grid of heights."""

import numpy as np

from visual.ground.triangle import Array


def horn_gradient(heights: Array, *, step: float) -> tuple[Array, Array]:
    """Return rise per metre to the east and to the north of each grid point.

    Weighted differences over the eight neighbours: Horn, Hill shading and the reflectance map,
    Proceedings of the IEEE 69 (1981), p. 18.

    Parameters
    ----------
    heights : ndarray, shape (rows, columns)
        Rows from north to south, columns from west to east. [m]
    step : float
        Distance of grid points. [m]

    Returns
    -------
    east, north : ndarray, shape (rows, columns)
        NaN at the rim and wherever one of the nine heights is NaN.
    """
    z = np.full((heights.shape[0] + 2, heights.shape[1] + 2), np.nan)
    z[1:-1, 1:-1] = heights
    down = z[:-2] + 2 * z[1:-1] + z[2:]
    across = z[:, :-2] + 2 * z[:, 1:-1] + z[:, 2:]
    unknown = np.isnan(down[:, :-2] + down[:, 1:-1] + down[:, 2:])
    east = np.where(unknown, np.nan, down[:, 2:] - down[:, :-2]) / (8 * step)
    north = np.where(unknown, np.nan, across[:-2] - across[2:]) / (8 * step)
    return east, north


def hillshade(heights: Array, *, step: float, bearing: float, altitude: float) -> Array:
    """Return the light on each grid point: the cosine of incidence, 0 in the shade … 1.

    Parameters
    ----------
    heights, step
        As for `horn_gradient`.
    bearing : float
        Where the light comes from, clockwise from grid north. [rad]
    altitude : float
        Of the light above the horizon. [rad]
    """
    return lit(*horn_gradient(heights, step=step), bearing=bearing, altitude=altitude)


def lit(east: Array, north: Array, *, bearing: float, altitude: float) -> Array:
    """Return the light on ground of known rise per metre to the east and to the north."""
    towards = -(np.sin(bearing) * east + np.cos(bearing) * north)
    light = np.sin(altitude) + np.cos(altitude) * towards
    return np.asarray(np.maximum(light / np.sqrt(1 + east**2 + north**2), 0.0), dtype=float)
