"""Magnetic declination from the World Magnetic Model."""

import datetime as dt
import functools
import math
from dataclasses import dataclass

from pygeomag import GeoMag

MODEL = "WMM2025"
FIRST_YEAR, LAST_YEAR = 2025.0, 2030.0
"""Span of the model in decimal years (WMM2025 technical report)."""

BLACKOUT = 2000.0
"""Horizontal field below which a compass is of no use (WMM2025 technical report) [nT]."""


@dataclass(frozen=True)
class Declination:
    """Where magnetic north lies.

    Parameters
    ----------
    value : float
        Declination, from true north to magnetic north, + clockwise (east). [rad]
    uncertainty : float
        One standard deviation of `value`, as the model states it. [rad]
    date : datetime.date
        The day it holds for; it drifts by up to some tenths of a degree a year.
    model : str
        Name of the model.
    """

    value: float
    uncertainty: float
    date: dt.date
    model: str = MODEL


def find_declination(
    *, longitude: float, latitude: float, height: float, date: dt.date | None
) -> tuple[Declination | None, str]:
    """Return the declination at a place on a day, or None and the reason why there is none.

    Parameters
    ----------
    longitude, latitude : float
        WGS 84. [deg]
    height : float
        Above sea level. [m]
    date : datetime.date or None
        The day.
    """
    if date is None:
        return None, "magnetic north is unknown: the site gives no date"
    year = decimal_year(date)
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return None, (
            f"magnetic north is unknown: {MODEL} holds from {FIRST_YEAR:.0f} to {LAST_YEAR:.0f}, "
            f"not on {date.isoformat()}"
        )
    value, uncertainty, horizontal = _field(latitude, longitude, height, year)
    if horizontal < BLACKOUT:
        return None, "magnetic north is unknown: too near a magnetic pole for a compass"
    return Declination(value, uncertainty, date), ""


def declination_and_uncertainty(
    *, longitude: float, latitude: float, height: float, year: float
) -> tuple[float, float]:
    """Return the declination and its standard deviation, both + clockwise [rad].

    Uncertainty: ``sqrt(0.26² + (5417/H)²)`` degrees, H in nT (WMM2025 technical report).

    Parameters
    ----------
    longitude, latitude : float
        WGS 84. [deg]
    height : float
        Above the ellipsoid. [m]
    year : float
        Decimal year, 2025 to 2030.

    Raises
    ------
    ValueError
        If the model does not cover `year`.
    """
    if not FIRST_YEAR <= year <= LAST_YEAR:
        message = f"{MODEL} holds from {FIRST_YEAR:.0f} to {LAST_YEAR:.0f}; give a date within"
        raise ValueError(message)
    value, uncertainty, _ = _field(latitude, longitude, height, year)
    return value, uncertainty


def decimal_year(date: dt.date) -> float:
    """Return a day as a decimal year: 2026-01-01 is 2026.0."""
    start = dt.date(date.year, 1, 1)
    days = dt.date(date.year + 1, 1, 1) - start
    return date.year + (date - start) / days


def _field(
    latitude: float, longitude: float, height: float, year: float
) -> tuple[float, float, float]:
    """Return declination [rad], its uncertainty [rad] and the horizontal field [nT]."""
    result = _model().calculate(glat=latitude, glon=longitude, alt=height / 1000, time=year)
    uncertainty = math.hypot(0.26, 5417 / result.h)
    return math.radians(result.d), math.radians(uncertainty), float(result.h)


@functools.cache
def _model() -> GeoMag:
    return GeoMag(coefficients_file="wmm/WMM_2025.COF")
