"""Where the sun stands, against published positions.

Sources and their standing:

* Declinations of August 1999 at 0 h UT: solar ephemeris of 1999 for surveyors, cadastral.com
  (``1999aug.htm``). Read, in a stored copy.
* Apparent declination of 1992-10-13, 0 h TD: Meeus, Astronomical Algorithms, example 25.a. Read as
  other open programs quote it in their tests, not in the book.
* Zenith and azimuth of 2003-10-17, 12:30:30 at UT − 7 h, with the hour angle that belongs to it:
  Reda and Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302,
  2008, table A5.1. Read as its test program and others quote it.

The formula under test is that of the Astronomical Almanac, page C5 (2017), C24 (1996): its
constants were read in a description of either page, which give its accuracy as 0.01°.
"""

import datetime as dt
import math

import numpy as np
import pytest

from visual.page.sunlight import sun_declination, sun_direction

pytestmark = pytest.mark.reference

# Degrees, minutes and seconds north, at 0 h UT of 1 August 1999 and each day after it.
AUGUST_1999 = [
    (18, 10, 51.9),
    (17, 55, 49.3),
    (17, 40, 29.0),
    (17, 24, 51.5),
    (17, 8, 56.9),
    (16, 52, 45.6),
    (16, 36, 17.9),
    (16, 19, 34.1),
    (16, 2, 34.4),
    (15, 45, 19.3),
    (15, 27, 49.1),
    (15, 10, 4.0),
    (14, 52, 4.4),
    (14, 33, 50.6),
    (14, 15, 22.8),
    (13, 56, 41.6),
    (13, 37, 47.0),
    (13, 18, 39.5),
    (12, 59, 19.5),
    (12, 39, 47.1),
]


def declination(*day):
    return math.degrees(sun_declination(dt.date(*day)))


def test_declinations_of_august_1999():
    # Noon lies half way between two rows; over one day the table bends by 18" at most, so that the
    # middle is off by 2". The formula itself is good to 0.01°.
    midnights = [d + m / 60 + s / 3600 for d, m, s in AUGUST_1999]
    noons = (np.array(midnights[:-1]) + midnights[1:]) / 2
    found = [declination(1999, 8, 1 + k) for k in range(len(noons))]
    np.testing.assert_allclose(found, noons, atol=0.011)


def test_declination_of_an_autumn_day():
    # Midnight lies half way between the noons of two days.
    middle = (declination(1992, 10, 12) + declination(1992, 10, 13)) / 2
    assert middle == pytest.approx(-7.78507, abs=0.011)


def test_where_the_sun_stands_over_a_hillside_in_october():
    # Sun time by the published hour angle, 11.1059°. The program takes the declination of noon UT,
    # half past seven hours before the observation: it sinks by 0.115° in that time, and the sun
    # with it; the azimuth changes by a third of this. Zenith without refraction, which is 0.0163°.
    east, north, up = sun_direction(
        math.radians(39.742476), dt.date(2003, 10, 17), 12 + 11.1059 / 15
    )
    sinks = (declination(2003, 10, 18) - declination(2003, 10, 17)) * 7.5083 / 24
    assert sinks == pytest.approx(-0.115, abs=0.003)
    zenith = math.degrees(math.acos(up))
    assert zenith - sinks == pytest.approx(50.111622 + 0.016332, abs=0.015)
    azimuth = math.degrees(math.atan2(east, north)) % 360
    assert azimuth == pytest.approx(194.340241, abs=0.05)
