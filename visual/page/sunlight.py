"""Where the sun stands through a day, for light and shadows: never for any other number.

Times are sun time: at 12:00 the sun stands highest. So neither time zone nor equation of time is
needed, only the declination of the sun: low-precision formula of the Astronomical Almanac, page C5
of 2017 ("Low-precision formulas for the Sun's coordinates"; read as quoted), good to 0.01° there;
the day changes it by up to 0.4°. Held against published positions in `tests/reference`.
"""

import datetime as dt
import math

from visual.model import Model
from visual.page.packing import Json

_LOWEST = math.radians(4.0)  # a sun lower than this only makes the ground black
_NO_PLACE = "The place on Earth is not known: light from four sides, 35° high."
_EQUINOX = (3, 20)


def sun_data(model: Model) -> Json:
    """Return directions to the sun, every half hour, and in words what they rest on."""
    try:
        _, latitude = model.frame.geographic(0.0, 0.0)
    except ValueError:
        return {"times": _four_sides(), "note": _NO_PLACE}
    day = model.site.site.date
    shown = day or dt.date(2026, *_EQUINOX)
    words = f"{shown.day} {shown:%B}" if day else "an equinox (the site file has no date)"
    turn = float(model.frame.convergence or 0.0)
    steps = (i / 2 for i in range(8, 41))
    times = [
        {"word": f"{int(hour):02d}:{round(hour % 1 * 60):02d}", "to": to}
        for hour in steps
        if (to := sun_direction(math.radians(float(latitude)), shown, hour, turn)) is not None
    ]
    return {"times": times, "note": f"Sun time on {words}: at 12:00 it stands highest."}


def sun_direction(
    latitude: float, day: dt.date, hour: float, convergence: float = 0.0
) -> list[float] | None:
    """Return the unit vector to the sun: grid east, grid north, up; None if it is too low.

    Parameters
    ----------
    latitude : float
        North positive. [rad]
    day : date
        The day.
    hour : float
        Sun time. [h]
    convergence : float
        From true north to grid north, clockwise. [rad]
    """
    declination = sun_declination(day)
    turn = math.radians(15.0 * (hour - 12.0))
    up = math.sin(latitude) * math.sin(declination)
    up += math.cos(latitude) * math.cos(declination) * math.cos(turn)
    if up < math.sin(_LOWEST):
        return None
    east = -math.cos(declination) * math.sin(turn)
    north = math.cos(latitude) * math.sin(declination)
    north -= math.sin(latitude) * math.cos(declination) * math.cos(turn)
    # grid axes lie clockwise of the true ones by the convergence
    c, s = math.cos(convergence), math.sin(convergence)
    return [c * east - s * north, s * east + c * north, up]


def sun_declination(day: dt.date) -> float:
    """Return the declination of the sun at noon of a day. [rad]"""
    days = (day - dt.date(2000, 1, 1)).days
    anomaly = math.radians(357.528 + 0.9856003 * days)
    longitude = 280.460 + 0.9856474 * days
    longitude += 1.915 * math.sin(anomaly) + 0.020 * math.sin(2 * anomaly)
    tilt = math.radians(23.439 - 0.0000004 * days)
    return math.asin(math.sin(tilt) * math.sin(math.radians(longitude)))


def _four_sides() -> list[Json]:
    up, level = math.sin(math.radians(35.0)), math.cos(math.radians(35.0))
    ways = {"east": (1, 0), "south": (0, -1), "west": (-1, 0), "north": (0, 1)}
    return [
        {"word": f"the {word}", "to": [level * x, level * y, up]} for word, (x, y) in ways.items()
    ]
