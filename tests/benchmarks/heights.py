"""Heights at a million places: on a DEM and on a surveyed surface."""

import numpy as np
from scipy.interpolate import LinearNDInterpolator
from scipy.ndimage import map_coordinates
from timing import line, side_by_side

from visual.ground import DemPatch, make_tin

NODES, PLACES, SURVEYED = 1000, 1_000_000, 20_000


def run() -> list[str]:
    """Return the lines of the report."""
    return [*on_dem(), *on_survey()]


def on_dem() -> list[str]:
    """Compare with plain bilinear numpy and with scipy."""
    random = np.random.default_rng(1)
    x, y = np.meshgrid(np.arange(NODES) * 1.0, -np.arange(NODES) * 1.0)
    z = 3 * np.sin(0.07 * x) + 2 * np.cos(0.05 * y)
    patch = DemPatch(x=x, y=y, z=z, file="made up")
    east, south = random.uniform(0, NODES - 1, (2, PLACES))

    def bilinear() -> np.ndarray:
        i, j = (np.clip(np.floor(a).astype(int), 0, NODES - 2) for a in (south, east))
        v, u = south - i, east - j
        upper = (1 - u) * z[i, j] + u * z[i, j + 1]
        return (1 - v) * upper + v * ((1 - u) * z[i + 1, j] + u * z[i + 1, j + 1])

    patch.height(east, -south)  # compiled, as in a program that runs on
    ours, plain, scipy = side_by_side(
        lambda: patch.height(east, -south),
        bilinear,
        lambda: map_coordinates(z, [south, east], order=1),
    )
    return [
        f"heights at a million places of a DEM: {ours * 1e3:.0f} ms",
        line("  plain numpy bilinear takes", plain / ours, "4"),
        line("  scipy map_coordinates takes", scipy / ours, "3"),
    ]


def on_survey() -> list[str]:
    """Compare with scipy's linear interpolator on the same points."""
    random = np.random.default_rng(2)
    plan = random.uniform(0, 1000, (SURVEYED, 2))
    tin = make_tin(np.column_stack([plan, 3 * np.sin(0.07 * plan[:, 0])]), file="made up")
    scipy = LinearNDInterpolator(tin.points[:, :2], tin.points[:, 2])
    places = random.uniform(0, 1000, (PLACES, 2))
    x, y = np.ascontiguousarray(places.T)
    tin.height(x, y)
    scipy(places[:10])
    ours, theirs = side_by_side(lambda: tin.height(x, y), lambda: scipy(places), repeats=3)
    return [
        f"heights at a million places between 20 000 points: {ours * 1e3:.0f} ms",
        line("  scipy LinearNDInterpolator takes", theirs / ours, "8"),
    ]
