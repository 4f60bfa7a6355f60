"""The ground of a site: a DEM, a surveyed surface, or one over the other."""

from dataclasses import dataclass, field
from functools import cached_property
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from visual.ground.contour import ContourLine, draw_contours
from visual.ground.crossing import fan_crossings
from visual.ground.patch import DemPatch
from visual.ground.profile import Profile, join_pieces, pieces_between
from visual.ground.seam import Seam, make_seam
from visual.ground.tin import Tin
from visual.ground.triangle import Array, split_by_polygon, touching_box


@dataclass(frozen=True, eq=False)
class Surface:
    """Ground in the local frame, one surface for every question.

    Within the hull of the survey the survey counts, elsewhere the DEM; where neither has a
    height, the ground is unknown: NaN. Heights, profiles and triangles agree to rounding.

    Parameters
    ----------
    dem : DemPatch or None
        The DEM around the base.
    survey : Tin or None
        The surveyed surface.
    accuracy : float
        One standard deviation of a height of the DEM. [m]
    survey_accuracy : float
        One standard deviation of a surveyed height. [m]
    """

    dem: DemPatch | None
    survey: Tin | None
    accuracy: float
    survey_accuracy: float = field(default=0.05, kw_only=True)

    def __post_init__(self) -> None:
        if self.dem is None and self.survey is None:
            message = "a surface needs a DEM, a survey or both"
            raise ValueError(message)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Box around all ground data: xmin, ymin, xmax, ymax. [m]"""
        boxes = np.array([part.bounds for part in (self.dem, self.survey) if part is not None])
        xmin, ymin = boxes[:, :2].min(axis=0).tolist()
        xmax, ymax = boxes[:, 2:].max(axis=0).tolist()
        return xmin, ymin, xmax, ymax

    @overload
    def height(self, x: float, y: float) -> float: ...
    @overload
    def height(self, x: Array, y: Array) -> Array: ...
    def height(self, x: float | Array, y: float | Array) -> float | Array:
        """Return the ground at places, z; NaN where unknown. [m]

        Parameters
        ----------
        x, y : float or ndarray of any shape
            Places in the local frame. [m]
        """
        east, north, shape = _flat(x, y)
        z = self._height(east, north)
        return z.reshape(shape) if shape else float(z[0])

    def _height(self, x: Array, y: Array) -> Array:
        if self.survey is None:
            return np.full(x.shape, np.nan) if self.dem is None else self.dem.height(x, y)
        z = self.survey.height(x, y)
        rest = np.flatnonzero(np.isnan(z))
        if self.dem is not None and rest.size:
            z[rest] = self.dem.height(x[rest], y[rest])
        return z

    def source(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.str_]:
        """Return what the height at places rests on: ``"survey"``, ``"dem"`` or ``""``."""
        east, north, shape = _flat(x, y)
        found = np.full(east.shape, "", dtype="<U6")
        if self.dem is not None:
            found[np.isfinite(self.dem.height(east, north))] = "dem"
        if self.survey is not None:
            found[np.isfinite(self.survey.height(east, north))] = "survey"
        return found.reshape(shape)

    def accuracy_at(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Return one standard deviation of the height at places; NaN where unknown. [m]"""
        found = self.source(x, y)
        sigma = np.where(found == "survey", self.survey_accuracy, self.accuracy)
        return np.where(found == "", np.nan, sigma)

    def gradient(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Return the rise per metre east and per metre north, shape (..., 2)."""
        east, north, shape = _flat(x, y)
        rise = np.full((len(east), 2), np.nan)
        if self.survey is not None:
            rise = self.survey.gradient(east, north)
        if self.dem is not None:
            rest = np.isnan(rise[:, 0])
            rise[rest] = self.dem.gradient(east[rest], north[rest])
        return rise.reshape(*shape, 2)

    def slope(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Return the steepest slope at places, not negative. [rad]"""
        rise = self.gradient(x, y)
        return np.arctan(np.hypot(rise[..., 0], rise[..., 1]))

    def aspect(self, x: ArrayLike, y: ArrayLike) -> Array:
        """Return the grid bearing the ground falls to, 0 … 2π; NaN where level. [rad]"""
        rise = self.gradient(x, y)
        level = (rise == 0).all(axis=-1)
        return np.where(level, np.nan, np.arctan2(-rise[..., 0], -rise[..., 1]) % (2 * np.pi))

    def triangles(self, xmin: float, ymin: float, xmax: float, ymax: float) -> Array:
        """Return the surface near a box in plan.

        Triangles of the DEM are cut along the rim of the survey, and the step between the two
        surfaces there is closed with upright triangles.

        Returns
        -------
        ndarray, shape (n, 3, 3)
            Every triangle that touches the box, perhaps a few beside it. [m]
        """
        box = (xmin, ymin, xmax, ymax)
        parts = []
        if self.dem is not None:
            parts.append(self._outside_survey(self.dem.triangles(*box)))
        if self.survey is not None:
            parts.append(self.survey.triangles(*box))
        if self._seam is not None:
            parts.append(self._seam.walls)
        return touching_box(np.concatenate(parts), *box)

    def profile(self, x0: float, y0: float, bearing: float, start: float, stop: float) -> Profile:
        """Cut the ground with a vertical plane.

        Parameters
        ----------
        x0, y0 : float
            A place of the plane, where the distance is zero. [m]
        bearing : float
            Direction of growing distance, clockwise from grid north. [rad]
        start, stop : float
            First and last distance; `start` may be negative. [m]

        Raises
        ------
        ValueError
            If `stop` is not beyond `start`.
        """
        if not start < stop:
            message = f"a profile must end beyond its start, not go from {start} to {stop}"
            raise ValueError(message)
        origin, along = np.array([x0, y0]), np.array([np.sin(bearing), np.cos(bearing)])
        found = self._crossings(origin, along, start, stop)
        ray = np.zeros(found.size, dtype=int)
        return self._cut(x0, y0, np.array([bearing]), (start, stop), ray, found)[0]

    def fan(self, x0: float, y0: float, bearings: Array, reach: float) -> tuple[Profile, ...]:
        """Cut the ground along rays from one place; the same as one `profile` each, but faster.

        Parameters
        ----------
        x0, y0 : float
            Where the rays begin. [m]
        bearings : ndarray, shape (k,)
            Their bearings, clockwise from grid north. [rad]
        reach : float
            How far they go. [m]
        """
        origin = np.array([x0, y0])
        box = (x0 - reach, y0 - reach, x0 + reach, y0 + reach)
        rays, distances = [], []
        if self.survey is not None:
            ray, s = fan_crossings(self.survey.all_corners, origin, bearings)
            rays.append(ray)
            distances.append(s)
        if self.dem is not None:
            ray, s = fan_crossings(self.dem.triangles(*box), origin, bearings)
            x, y = x0 + s * np.sin(bearings[ray]), y0 + s * np.cos(bearings[ray])
            beside = self._beside_survey(x, y)
            rays.append(ray[beside])
            distances.append(s[beside])
        crossed = np.concatenate(rays), np.concatenate(distances)
        return self._cut(x0, y0, bearings, (0.0, reach), *crossed)

    def contours(
        self, bounds: tuple[float, float, float, float], interval: float, *, offset: float = 0.0
    ) -> tuple[ContourLine, ...]:
        """Return contour lines within a box, for drawing.

        Parameters
        ----------
        bounds : tuple of float
            xmin, ymin, xmax, ymax. [m]
        interval : float
            Difference of height between contours; see `contour_interval`. [m]
        offset : float
            True height of z = 0 (`Frame.origin_height`), so that levels are whole multiples of
            the interval above the datum. [m]
        """
        return draw_contours(self.height, bounds, interval=interval, offset=offset)

    @property
    def survey_dem_gap(self) -> float | None:
        """Largest step between survey and DEM along the rim of the survey; None if unknown. [m]"""
        return None if self._seam is None else self._seam.largest

    @cached_property
    def _seam(self) -> Seam | None:
        if self.dem is None or self.survey is None:
            return None
        return make_seam(self.survey, self.dem)

    def _crossings(self, origin: Array, along: Array, start: float, stop: float) -> Array:
        """Return where a line in plan crosses the edges of the surface, unsorted. [m]"""
        found = []
        if self.survey is not None:
            found.append(self.survey.crossings(origin, along))
        if self.dem is not None:
            s = self.dem.crossings(origin, along, start, stop)
            found.append(s[self._beside_survey(*(origin + s[:, None] * along).T)])
        return np.concatenate(found)

    def _beside_survey(self, x: Array, y: Array) -> NDArray[np.bool_]:
        """Tell which places do not lie on the surveyed surface."""
        if self.survey is None:
            return np.ones(x.shape, dtype=bool)
        return np.isnan(self.survey.height(x, y))

    def _cut(
        self,
        x0: float,
        y0: float,
        bearings: Array,
        span: tuple[float, float],
        ray: NDArray[np.int_],
        crossed: Array,
    ) -> tuple[Profile, ...]:
        """Return the profiles of rays whose crossings with edges are known."""
        ray, start, stop = pieces_between(ray, crossed, len(bearings), span)
        x, y = np.sin(bearings)[ray], np.cos(bearings)[ray]
        # Two heights inside a piece settle which triangle it lies on and give both its ends.
        inner = [start + part * (stop - start) for part in (0.25, 0.75)]
        near, far = (self.height(x0 + s * x, y0 + s * y) for s in inner)
        rise = (far - near) / 2
        number, distance, height = join_pieces(ray, start, stop, near - rise, far + rise)
        ends = np.searchsorted(number, np.arange(len(bearings) + 1))
        return tuple(
            Profile(x0=x0, y0=y0, bearing=float(b), distance=distance[i:j], height=height[i:j])
            for b, i, j in zip(bearings, ends[:-1], ends[1:], strict=True)
        )

    def _outside_survey(self, corners: Array) -> Array:
        """Return triangles of the DEM without what lies on the surveyed surface."""
        if self.survey is None or len(corners) == 0:
            return corners
        inside, outside = split_by_polygon(corners, self.survey.hull)
        # Slivers at the rim lie in the hull but are not surveyed ground: the DEM fills them.
        parts = [outside]
        for sliver in self.survey.slivers:
            piece, inside = split_by_polygon(inside, sliver[:, :2])
            parts.append(piece)
        return np.concatenate(parts)


def _flat(x: ArrayLike, y: ArrayLike) -> tuple[Array, Array, tuple[int, ...]]:
    """Return places as two flat arrays, with their common shape."""
    east, north = np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(y, dtype=float))
    return east.ravel(), north.ravel(), east.shape
