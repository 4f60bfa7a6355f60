"""Coordinate reference systems: from text to object, their unit, conversion between two.

All coordinates are in the order easting, northing (longitude, latitude), whatever order the
definition of the CRS lists its axes in. Errors are ValueErrors with the text
``"<rule>; <way out>"``.
"""

import functools
import itertools
import warnings
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.aoi import AreaOfInterest
from pyproj.exceptions import CRSError
from pyproj.transformer import TransformerGroup

LOCAL = "local"
"""The text for a plain metre grid with no place on Earth."""

WGS84 = "EPSG:4326"

Coordinates = TypeVar("Coordinates", float, NDArray[np.float64])
"""One coordinate or an array of them; what goes in comes out."""

_WAY_OUT = 'name it like "EPSG:32630", or use "local" for a plain metre grid'


def is_local(crs: str) -> bool:
    """Whether the text names the plain metre grid with no place on Earth."""
    return crs.strip().lower() == LOCAL


def read_crs(text: str) -> CRS:
    """Return the horizontal CRS that the text names, on its own ellipsoid.

    The vertical part of a compound CRS is left out, for heights come with a unit of their own,
    and so is a datum shift bound to the CRS.

    Raises
    ------
    ValueError
        If the text names no CRS, or none with an easting and a northing.
    """
    crs = read_crs_and_shift(text)
    return crs.source_crs if crs.is_bound and crs.source_crs is not None else crs


@functools.lru_cache(maxsize=64)
def read_crs_and_shift(text: str) -> CRS:
    """Return the horizontal CRS that the text names, with the datum shift bound to it if any.

    Raises
    ------
    ValueError
        If the text names no CRS, or none with an easting and a northing.
    """
    try:
        crs = CRS.from_user_input(text)
    except CRSError:
        message = f"{text!r} is not a known coordinate reference system; {_WAY_OUT}"
        raise ValueError(message) from None
    if crs.is_compound:
        crs = crs.sub_crs_list[0]
    if crs.is_geographic or crs.is_projected:
        crs = crs.to_2d()
    directions = {axis.direction for axis in crs.axis_info}
    if directions != {"east", "north"} or crs.ellipsoid is None:  # an engineering CRS has none
        message = f"the axes of {text!r} ({crs.name}) do not run east and north; {_WAY_OUT}"
        raise ValueError(message)
    return crs


@functools.lru_cache(maxsize=64)
def are_same(first: str, second: str) -> bool:
    """Whether two texts name the same CRS, datum shift included; raises as `read_crs_and_shift`."""
    return bool(read_crs_and_shift(first) == read_crs_and_shift(second))


def crs_unit_metres(crs: str) -> float:
    """Return how many metres one unit of the axes is, 1 for ``"local"`` [m].

    Raises
    ------
    ValueError
        If the CRS is unknown, or geographic, so that its unit is an angle.
    """
    if is_local(crs):
        return 1.0
    known = read_crs(crs)
    if known.is_geographic:
        message = (
            f"the axes of {crs!r} ({known.name}) are in degrees, not in a unit of length; "
            "use a projected CRS, such as the UTM zone of the place"
        )
        raise ValueError(message)
    return float(known.axis_info[0].unit_conversion_factor)


def convert(
    transformer: Transformer, easting: Coordinates, northing: Coordinates, *, back: bool = False
) -> tuple[Coordinates, Coordinates]:
    """Run a transformer over coordinates; nan where there is no result.

    Parameters
    ----------
    transformer : pyproj.Transformer
        Made with ``always_xy``.
    easting, northing : float or (n,) array
        In units of the source, or of the target if `back`.
    back : bool
        From target to source.
    """
    direction = "INVERSE" if back else "FORWARD"
    first, second = transformer.transform(_plain(easting), _plain(northing), direction=direction)
    return _finite(first), _finite(second)


@functools.lru_cache(maxsize=64)
def degrees_of(crs: str, easting: float, northing: float) -> tuple[float, float]:
    """Return longitude and latitude on the CRS's own datum, from Greenwich [deg].

    Raises
    ------
    ValueError
        If the CRS is unknown or has no place for the point.
    """
    known = read_crs(crs)
    degrees = _unshifted(known, "+proj=longlat")
    longitude, latitude = convert(degrees, easting, northing)
    _check_place(known, crs, easting, northing, longitude, latitude)
    return longitude, latitude


@functools.lru_cache(maxsize=64)
def ground_transformer(crs: str, easting: float, northing: float) -> Transformer:
    """Return the transformer from a CRS to true lengths about a point, on the ellipsoid [m].

    The target is the azimuthal equidistant projection centred on the point, on the CRS's own
    ellipsoid: geodesic lengths and true azimuths from the centre (Snyder, Map Projections, USGS
    Professional Paper 1395, 1987, p. 191). 1 km away its scale is off by 4e-9 at most.

    Raises
    ------
    ValueError
        If the CRS is unknown or has no place for the point.
    """
    known = read_crs(crs)
    longitude, latitude = degrees_of(crs, easting, northing)
    centre = f"+lat_0={latitude!r} +lon_0={longitude!r} +units=m"
    return _unshifted(known, f"+proj=aeqd {centre}")


@dataclass(frozen=True)
class Shift:
    """The way from one CRS to another.

    Parameters
    ----------
    steps : tuple of pyproj.Transformer
        To be run one after the other.
    accuracy : float or None
        Of the datum shifts together, as the EPSG registry states it; 0 within one datum, None
        if not stated. [m]
    """

    steps: tuple[Transformer, ...]
    accuracy: float | None

    def run(
        self, easting: Coordinates, northing: Coordinates, *, back: bool = False
    ) -> tuple[Coordinates, Coordinates]:
        """Convert coordinates, from target to source if `back`."""
        for step in reversed(self.steps) if back else self.steps:
            easting, northing = convert(step, easting, northing, back=back)
        return easting, northing


@functools.lru_cache(maxsize=64)
def find_shift(source: str, target: str, longitude: float, latitude: float) -> Shift:
    """Return the best way between two CRS that PROJ offers at a place.

    Where PROJ knows no datum shift it would quietly apply none and be wrong by 100 m and more.
    Then the way goes by WGS 84, and if that fails too, it is refused.

    Parameters
    ----------
    source, target : str
        CRS texts.
    longitude, latitude : float
        The place, which decides between the datum shifts on offer. [deg]

    Raises
    ------
    ValueError
        If a CRS is unknown, or no datum shift between them is.
    """
    area = AreaOfInterest(longitude, latitude, longitude, latitude)
    for stops in ((source, target), (source, WGS84, target)):
        steps = [_best(one, two, area) for one, two in itertools.pairwise(stops)]
        known = tuple(step for step in steps if step is not None)
        if len(known) == len(steps):
            stated = all(step.accuracy >= 0 for step in known)
            return Shift(known, sum(step.accuracy for step in known) if stated else None)
    message = (
        f"no datum shift from {source!r} to {target!r} is known here; "
        "convert the data to the site's CRS with a program that has the shift"
    )
    raise ValueError(message)


def _best(source: str, target: str, area: AreaOfInterest) -> Transformer | None:
    """Return PROJ's first choice, or None if that is no more than a guess."""
    with warnings.catch_warnings():
        # PROJ warns when a finer shift needs a grid file; the accuracy tells the same.
        warnings.simplefilter("ignore", UserWarning)
        group = TransformerGroup(
            read_crs_and_shift(source),
            read_crs_and_shift(target),
            always_xy=True,
            area_of_interest=area,  # type: ignore[arg-type]  # the stub names another class
        )
    first = group.transformers[0] if group.transformers else None
    return None if first is None or "Ballpark" in first.description else first


def _unshifted(known: CRS, projection: str) -> Transformer:
    """Return the transformer to a projection on the CRS's own ellipsoid, without a datum shift."""
    target = f"{projection} {_ellipsoid(known)}"
    # PROJ's own operations only: no registry has a shift to a nameless datum, and looking takes
    # ten times as long as all else.
    return Transformer.from_crs(known, target, always_xy=True, authority="PROJ")


def _ellipsoid(known: CRS) -> str:
    """Return PROJ terms for the CRS's ellipsoid without a datum, so that no shift is applied."""
    ellipsoid = known.ellipsoid
    assert ellipsoid is not None  # read_crs lets pass only CRS that have one
    return f"+a={ellipsoid.semi_major_metre!r} +b={ellipsoid.semi_minor_metre!r} +type=crs"


def _check_place(
    known: CRS, crs: str, easting: float, northing: float, longitude: float, latitude: float
) -> None:
    """Refuse a point that the CRS cannot mean, such as easting and northing swapped."""
    area = known.area_of_use
    wide = 15.0  # some countries use one UTM zone far beyond its edge
    inside = bool(np.isfinite([longitude, latitude]).all())
    if inside and area is not None:
        width = (area.east - area.west) % 360 or 360
        beyond = (longitude - area.west + wide) % 360
        inside = area.south - wide <= latitude <= area.north + wide and beyond <= width + 2 * wide
    if not inside:
        message = (
            f"easting {easting:g}, northing {northing:g} is no place where {crs!r} "
            f"({known.name}) is used; check the order (easting, then northing) and the crs"
        )
        raise ValueError(message)


def _plain(values: Any) -> Any:
    return float(values) if np.ndim(values) == 0 else np.asarray(values, dtype=float)


def _finite(values: Any) -> Any:
    # PROJ answers inf where a point cannot be converted
    if np.ndim(values) == 0:
        return float(values) if np.isfinite(values) else float("nan")
    return np.where(np.isfinite(values), values, np.nan)
