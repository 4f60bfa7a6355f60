"""Positions of the sun: laws of the sky, and the solstices and equinoxes of 2026."""

import datetime as dt
import math

import numpy as np
import pytest

from visual.page.sunlight import sun_data, sun_declination, sun_direction

LATITUDE = math.radians(53.4)


@pytest.mark.parametrize(
    ("day", "degrees"),
    [((2026, 6, 21), 23.44), ((2026, 12, 21), -23.44), ((2026, 3, 20), 0.0), ((2026, 9, 23), 0.0)],
)
def test_declination_at_solstices_and_equinoxes(day, degrees):
    assert math.degrees(sun_declination(dt.date(*day))) == pytest.approx(degrees, abs=0.25)


def test_at_noon_the_sun_is_due_south_as_high_as_the_year_allows():
    day = dt.date(2026, 6, 21)
    east, north, up = sun_direction(LATITUDE, day, 12.0)
    assert east == pytest.approx(0.0, abs=1e-12)
    assert north < 0
    high = math.asin(up)
    assert high == pytest.approx(math.pi / 2 - LATITUDE + sun_declination(day), abs=1e-12)


def test_morning_mirrors_evening_and_every_direction_has_length_one():
    day = dt.date(2026, 4, 3)
    morning, evening = (np.array(sun_direction(LATITUDE, day, h)) for h in (8.5, 15.5))
    assert morning[0] > 0
    np.testing.assert_allclose(morning * [-1, 1, 1], evening, atol=1e-12)
    assert np.linalg.norm(morning) == pytest.approx(1.0)


def test_grid_north_east_of_true_north_turns_the_sun_the_other_way():
    day, turn = dt.date(2026, 6, 1), math.radians(2.0)
    true = np.array(sun_direction(LATITUDE, day, 12.0))
    grid = np.array(sun_direction(LATITUDE, day, 12.0, turn))
    bearing = math.atan2(grid[0], grid[1]) - math.atan2(true[0], true[1])
    assert math.remainder(bearing, 2 * math.pi) == pytest.approx(-turn)


def test_no_sun_at_night():
    assert sun_direction(LATITUDE, dt.date(2026, 12, 21), 8.0) is None


def test_a_local_grid_is_lit_from_four_sides_and_says_so(make_model):
    data = sun_data(make_model())
    assert [one["word"] for one in data["times"]] == [
        "the east",
        "the south",
        "the west",
        "the north",
    ]
    assert "not known" in data["note"]


def test_a_place_on_earth_gets_the_hours_of_its_day(make_model):
    place = {
        "site": {"crs": "EPSG:32630", "date": dt.date(2026, 6, 1)},
        "mast": {"position": [553210.0, 5912480.0]},
    }
    data = sun_data(make_model(changes=place))
    assert data["times"][0]["word"] in ("04:30", "05:00")
    assert "1 June" in data["note"]
