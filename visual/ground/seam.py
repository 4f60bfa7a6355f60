"""The step between surveyed surface and DEM along the rim of the survey."""

from dataclasses import dataclass, field

import numpy as np

from visual.ground.patch import DemPatch
from visual.ground.profile import SAME_HEIGHT
from visual.ground.tin import Tin
from visual.ground.triangle import Array


@dataclass(frozen=True, eq=False)
class Seam:
    """Pieces of the rim, straight on both surfaces.

    Parameters
    ----------
    survey, dem : ndarray, shape (n, 2, 3)
        Both ends of each piece on the surveyed surface and on the DEM. [m]
    """

    survey: Array = field(repr=False)
    dem: Array = field(repr=False)

    @property
    def largest(self) -> float | None:
        """Largest difference of height; None if the DEM is unknown all along. [m]"""
        step = np.abs(self.survey[:, :, 2] - self.dem[:, :, 2])
        return float(step.max()) if step.size else None

    @property
    def walls(self) -> Array:
        """Upright triangles that close the step, shape (n, 3, 3). [m]"""
        step = self.survey[:, :, 2] - self.dem[:, :, 2]
        (a, b), (c, d) = (np.moveaxis(side, 1, 0) for side in (self.survey, self.dem))
        # Where one surface dives under the other, both triangles end at the crossing.
        crossed = (step[:, 0] * step[:, 1] < 0)[:, None]
        share = np.where(crossed, step[:, :1] / np.where(crossed, step[:, :1] - step[:, 1:], 1), 0)
        meeting = a + share * (b - a)
        first = np.stack([a, np.where(crossed, meeting, b), c], axis=1)
        second = np.stack([b, d, np.where(crossed, meeting, c)], axis=1)
        high = np.abs(step) > SAME_HEIGHT
        return np.concatenate([first[high[:, 0]], second[high[:, 1]]])


def make_seam(survey: Tin, dem: DemPatch) -> Seam:
    """Walk around the surveyed surface and compare it with the DEM."""
    pieces = [_along(edge, dem) for edge in survey.rim]
    return Seam(
        survey=np.concatenate([upper for upper, _ in pieces]),
        dem=np.concatenate([lower for _, lower in pieces]),
    )


def _along(edge: Array, dem: DemPatch) -> tuple[Array, Array]:
    """Return the pieces of one edge of the rim on both surfaces, where both are known."""
    start = edge[0, :2]
    length = float(np.hypot(*(edge[1, :2] - start)))
    along = (edge[1, :2] - start) / length
    s = np.sort(dem.crossings(start, along, 0.0, length))
    s = np.concatenate([[0.0], s[(s > 1e-9) & (s < length - 1e-9)], [length]])
    s = s[np.diff(s, prepend=-1.0) > 1e-9]
    line = edge[0] + (s / length)[:, None] * (edge[1] - edge[0])
    survey = np.stack([line[:-1], line[1:]], axis=1)
    # Two heights inside each piece: at its ends the DEM may already be unknown.
    inner = [survey[:, 0] + part * (survey[:, 1] - survey[:, 0]) for part in (0.25, 0.75)]
    near, far = (dem.height(place[:, 0], place[:, 1]) for place in inner)
    lower = survey.copy()
    lower[:, :, 2] = np.stack([near - (far - near) / 2, far + (far - near) / 2], axis=1)
    known = np.isfinite(lower[:, :, 2]).all(axis=1)
    return survey[known], lower[known]
