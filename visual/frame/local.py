"""The local frame of a site: metres on the ground, origin at the middle of the hinge axis."""

import datetime as dt
import math
from dataclasses import dataclass

import numpy as np

from visual.frame.crs import (
    LOCAL,
    WGS84,
    Coordinates,
    Shift,
    are_same,
    convert,
    crs_unit_metres,
    degrees_of,
    find_shift,
    ground_transformer,
    is_local,
    read_crs,
)
from visual.frame.magnetic import Declination, find_declination

EARTH_RADIUS = 6_371_000.0
"""Mean radius for the height factor 1 + h/R [m]."""


@dataclass(frozen=True)
class Frame:
    """Site grid to local frame and back; made by `make_frame`.

    All methods take and return one number or an array, always in the order easting, northing
    (longitude, latitude) or x, y. What cannot be converted comes out as nan.

    Parameters
    ----------
    crs : str
        The site's CRS, or ``"local"``.
    origin_easting, origin_northing : float
        Hinge in the site's CRS, in its units.
    origin_height : float
        Height of the hinge above the datum of the heights. [m]
    convergence : float or None
        From true north to grid north at the base, + clockwise (east); None for ``"local"``. [rad]
    declination : Declination or None
        From true north to magnetic north; None if unknown.
    declination_note : str
        Why `declination` is None; else empty.
    scale : float or None
        Grid metres per metre on the ground at the base, height factor included; 1 for
        ``"local"``; None for a geographic CRS, which has no grid metres.
    """

    crs: str
    origin_easting: float
    origin_northing: float
    origin_height: float
    convergence: float | None
    declination: Declination | None
    declination_note: str
    scale: float | None

    @property
    def is_local(self) -> bool:
        """Whether the site has no place on Earth."""
        return self.crs == LOCAL

    def to_local(
        self, easting: Coordinates, northing: Coordinates
    ) -> tuple[Coordinates, Coordinates]:
        """Return x, y [m] of a point of the site's CRS."""
        if self.convergence is None:
            return easting - self.origin_easting, northing - self.origin_northing
        ground = ground_transformer(self.crs, self.origin_easting, self.origin_northing)
        east, north = convert(ground, easting, northing)
        cos, sin = self._turn(self.convergence)
        return east * cos - north * sin, east * sin + north * cos

    def to_grid(self, x: Coordinates, y: Coordinates) -> tuple[Coordinates, Coordinates]:
        """Return easting, northing in the site's CRS of a local point [m]."""
        if self.convergence is None:
            return x + self.origin_easting, y + self.origin_northing
        ground = ground_transformer(self.crs, self.origin_easting, self.origin_northing)
        cos, sin = self._turn(self.convergence)
        stretch = cos * cos + sin * sin
        east, north = (x * cos + y * sin) / stretch, (y * cos - x * sin) / stretch
        return convert(ground, east, north, back=True)

    def local_height(self, height: Coordinates) -> Coordinates:
        """Return z [m] of a height above the datum [m]."""
        return height - self.origin_height

    def height(self, z: Coordinates) -> Coordinates:
        """Return the height above the datum [m] of a local z [m]."""
        return z + self.origin_height

    def from_crs(
        self, crs: str, easting: Coordinates, northing: Coordinates
    ) -> tuple[Coordinates, Coordinates]:
        """Return x, y [m] of a point given in another CRS, such as that of a data file.

        Raises
        ------
        ValueError
            If `crs` is unknown, if no datum shift between the two is known, or if just one of
            them is ``"local"``.
        """
        if self._same_crs(crs):
            return self.to_local(easting, northing)
        return self.to_local(*self._shift_from(crs).run(easting, northing))

    def to_crs(self, crs: str, x: Coordinates, y: Coordinates) -> tuple[Coordinates, Coordinates]:
        """Return easting, northing in another CRS of a local point; see `from_crs`."""
        if self._same_crs(crs):
            return self.to_grid(x, y)
        return self._shift_from(crs).run(*self.to_grid(x, y), back=True)

    def crs_accuracy(self, crs: str) -> float | None:
        """Return the accuracy of the datum shift from another CRS [m].

        0 within one datum, None if the registry of shifts states none.

        Raises
        ------
        ValueError
            As `from_crs`.
        """
        return 0.0 if self._same_crs(crs) else self._shift_from(crs).accuracy

    def geographic(self, x: Coordinates, y: Coordinates) -> tuple[Coordinates, Coordinates]:
        """Return longitude, latitude on WGS 84 [deg] of a local point [m].

        Raises
        ------
        ValueError
            If the site has no place on Earth, or no datum shift to WGS 84 is known.
        """
        return self.to_crs(WGS84, x, y)

    def true_bearing(self, grid: Coordinates) -> Coordinates | None:
        """Return the bearing from true north of a grid bearing, 0 to 2π; None if unknown [rad]."""
        return None if self.convergence is None else (grid + self.convergence) % math.tau

    def magnetic_bearing(self, grid: Coordinates) -> Coordinates | None:
        """Return the compass bearing of a grid bearing, 0 to 2π; None if unknown [rad]."""
        if self.convergence is None or self.declination is None:
            return None
        return (grid + self.convergence - self.declination.value) % math.tau

    def _turn(self, convergence: float) -> tuple[float, float]:
        """Cosine and sine of the turn from true to grid axes, times the height factor."""
        factor = height_factor(self.origin_height)
        return factor * math.cos(convergence), factor * math.sin(convergence)

    def _same_crs(self, crs: str) -> bool:
        if is_local(crs) != self.is_local:
            message = (
                f"the site's crs is {self.crs!r} and the data's is {crs!r}, and nothing ties the "
                'two; give both a real CRS, or both "local"'
            )
            raise ValueError(message)
        return is_local(crs) or are_same(crs, self.crs)

    def _shift_from(self, crs: str) -> Shift:
        place = degrees_of(self.crs, self.origin_easting, self.origin_northing)
        return find_shift(crs, self.crs, *place)


def make_frame(
    *, crs: str, easting: float, northing: float, height: float, date: dt.date | None
) -> Frame:
    """Make the local frame of a site.

    Parameters
    ----------
    crs : str
        Any text pyproj understands, such as ``"EPSG:32630"``, or ``"local"``.
    easting, northing : float
        Hinge, in units of the CRS.
    height : float
        Height of the hinge above the datum of the heights. [m]
    date : datetime.date or None
        Day for which magnetic north is wanted.

    Raises
    ------
    ValueError
        If the CRS is unknown or has no place for the point, or a number is not finite; the text
        is ``"<rule>; <way out>"``.
    """
    if not np.isfinite([easting, northing, height]).all():
        message = (
            f"the base is at easting {easting:g}, northing {northing:g}, height {height:g}, and "
            "all three must be numbers; give a position that the ground data cover"
        )
        raise ValueError(message)
    if is_local(crs):
        note = 'true and magnetic north are unknown: the site\'s crs is "local"'
        return Frame(LOCAL, easting, northing, height, None, None, note, 1.0)
    longitude, latitude = degrees_of(crs, easting, northing)
    declination, note = find_declination(
        longitude=longitude, latitude=latitude, height=height, date=date
    )
    convergence, scale = _convergence_and_scale(crs, easting, northing)
    if scale is not None:
        scale /= height_factor(height)
    return Frame(crs, easting, northing, height, convergence, declination, note, scale)


def height_factor(height: float) -> float:
    """Return metres on the ground per metre on the ellipsoid, 1 + h/R."""
    return 1 + height / EARTH_RADIUS


def _convergence_and_scale(crs: str, easting: float, northing: float) -> tuple[float, float | None]:
    """Return convergence [rad] and grid metres per metre on the ellipsoid, at a point.

    Both from differences over some metres, so that they hold for every projection: the third
    derivatives left out are of the order (step/R)², 1e-11.
    """
    if read_crs(crs).is_geographic:
        return 0.0, None
    step, unit = 10.0, crs_unit_metres(crs)
    ground = ground_transformer(crs, easting, northing)
    eastings = easting + step * np.array([1.0, -1.0, 0.0, 0.0])
    northings = northing + step * np.array([0.0, 0.0, 1.0, -1.0])
    east, north = convert(ground, eastings, northings)
    (east_e, east_n), (north_e, north_n) = np.diff(-np.reshape([east, north], (2, 2, 2)))[..., 0]
    area = abs(east_e * north_n - east_n * north_e)
    return math.atan2(east_n, north_n), float(2 * step * unit / math.sqrt(area))
