"""The frame against published map geometry.

Sources and their standing:

* IOGP Publication 373-7-2, EPSG Guidance Note 7 part 2 (2019), Transverse Mercator example.
  READ (reproduction of the worked example).
* Ordnance Survey, A guide to coordinate systems in Great Britain, Annex C (Caister Water Tower),
  and Geodetic Information Paper No 1, section 9.3 (Framingham). READ (values quoted in public
  test code). Convergence at Framingham 2° 39' 10.469": from memory of section 9.5.
* ICSM, Geocentric Datum of Australia Technical Manual, version 2.3, Flinders Peak and Buninyong.
  READ (values quoted in public test code).
* Height factors 1 + h/R with R = 6 371 000 m: computed by hand calculation.
* Tower positions of a 110 kV line: © OpenStreetMap contributors, ODbL 1.0. The distance of
  98.372 m was computed by geographiclib (geodesic minimum); grid values computed by pyproj.
"""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from pyproj import Geod

from visual.frame import EARTH_RADIUS, Frame, make_frame

pytestmark = pytest.mark.reference

DATA = json.loads(
    (Path(__file__).parent / "data" / "geodesy_checks.json").read_text(encoding="utf-8")
)
GDA = DATA["GDA_technical_manual"]
SECOND = math.radians(1 / 3600)


def degrees(parts: str | list[float]) -> float:
    if isinstance(parts, str):
        parts = [float(part) for part in parts.split()]
    first, minutes, seconds = parts
    return math.copysign(abs(first) + minutes / 60 + seconds / 3600, first)


def frame_at(crs: str, easting: float, northing: float, height: float = 0.0) -> Frame:
    return make_frame(crs=crs, easting=easting, northing=northing, height=height, date=None)


def grid_of(crs: str, base: str, longitude: float, latitude: float) -> tuple[float, float]:
    """Easting, northing of a place given on the datum of `base`, through a frame near it."""
    frame = frame_at(base, longitude, latitude)
    return frame.to_crs(crs, 0.0, 0.0)


def test_epsg_transverse_mercator_example() -> None:
    easting, northing = grid_of("EPSG:27700", "EPSG:4277", 0.5, 50.5)
    # printed with k0 rounded to 0.9996013: 11 mm here
    assert easting == pytest.approx(577274.99, abs=0.011)
    assert northing == pytest.approx(69740.50, abs=0.011)


@pytest.mark.parametrize("example", DATA["OS_worked_examples"], ids=lambda row: row["name"])
def test_ordnance_survey_examples(example: dict) -> None:
    place = degrees(example["lon_dms"]), degrees(example["lat_dms"])
    easting, northing = grid_of("EPSG:27700", "EPSG:4277", *place)
    assert easting == pytest.approx(example["E"], abs=example["tol"])
    assert northing == pytest.approx(example["N"], abs=example["tol"])


def test_ordnance_survey_convergence_at_framingham() -> None:
    frame = frame_at("EPSG:27700", 626238.248, 302646.412)
    assert frame.convergence == pytest.approx(math.radians(degrees("2 39 10.469")), abs=SECOND / 50)
    assert frame.scale == pytest.approx(1.000229695, abs=1e-9)


@pytest.mark.parametrize("station", ["Flinders_Peak", "Buninyong"])
def test_australian_stations(station: str) -> None:
    values = GDA[station]
    frame = frame_at("EPSG:28355", values["E"], values["N"])
    longitude, latitude = frame.to_crs("EPSG:4283", 0.0, 0.0)
    assert longitude == pytest.approx(degrees(values["lon_dms"]), abs=1e-8)  # 1 mm
    assert latitude == pytest.approx(degrees(values["lat_dms"]), abs=1e-8)
    # The manual counts convergence the other way: grid bearing = azimuth + convergence.
    manual = math.radians(degrees(values["convergence_dms"]))
    assert frame.convergence == pytest.approx(-manual, abs=SECOND / 100)
    assert frame.scale == pytest.approx(values["point_scale"], abs=1e-8)


@pytest.mark.parametrize(
    ("station", "azimuth", "bearing"),
    [
        ("Flinders_Peak", "azimuth_F_to_B_dms", "grid_bearing_F_to_B_dms"),
        ("Buninyong", "azimuth_B_to_F_dms", "grid_bearing_B_to_F_dms"),
    ],
)
def test_australian_azimuth_from_grid_bearing(station: str, azimuth: str, bearing: str) -> None:
    frame = frame_at("EPSG:28355", GDA[station]["E"], GDA[station]["N"])
    true = frame.true_bearing(math.radians(degrees(GDA[bearing])))
    assert true == pytest.approx(math.radians(degrees(GDA[azimuth])), abs=2 * SECOND / 100)


def test_australian_line_in_the_frame() -> None:
    """Length and azimuth of a 55 km geodesic come out of plain x, y of the frame."""
    flinders, buninyong = GDA["Flinders_Peak"], GDA["Buninyong"]
    frame = frame_at("EPSG:28355", flinders["E"], flinders["N"])
    x, y = frame.to_local(buninyong["E"], buninyong["N"])
    assert math.hypot(x, y) == pytest.approx(GDA["ellipsoidal_distance"], abs=0.001)
    true = frame.true_bearing(math.atan2(x, y))
    assert true == pytest.approx(
        math.radians(degrees(GDA["azimuth_F_to_B_dms"])), abs=2 * SECOND / 100
    )


@pytest.mark.parametrize(
    ("height", "factor"),
    [(350.948, 1.0000550853), (749.855, 1.0001176982), (2000.0, 1.0003139225)],
)
def test_height_factor(height: float, factor: float) -> None:
    assert EARTH_RADIUS == 6_371_000
    low, high = (frame_at("EPSG:32633", 500000, 5000000, h) for h in (0.0, height))
    x_low, _ = low.to_local(500100.0, 5000000.0)
    x_high, _ = high.to_local(500100.0, 5000000.0)
    assert x_high / x_low == pytest.approx(factor, abs=1e-10)


def test_utm_on_its_central_meridian() -> None:
    """Ground = grid / 0.9996: 40 mm in 100 m."""
    frame = frame_at("EPSG:32633", 500000, 5000000)
    x, y = frame.to_local(500100.0, 5000000.0)
    assert x == pytest.approx(100 / 0.9996, abs=1e-6)
    assert y == pytest.approx(0, abs=1e-6)
    assert frame.scale == pytest.approx(0.9996, abs=1e-10)


PROBE = 26.9365, 60.5375
TOWERS = np.array(
    [
        [26.9305648, 60.535202],
        [26.9330932, 60.5367536],
        [26.9352785, 60.538167],
        [26.9382732, 60.539503],
    ]
)
POSITION = {
    "EPSG:4326": PROBE,
    "EPSG:3067": frame_at("EPSG:4326", *PROBE).to_crs("EPSG:3067", 0.0, 0.0),
    "EPSG:3857": frame_at("EPSG:4326", *PROBE).to_crs("EPSG:3857", 0.0, 0.0),
    "EPSG:32635": frame_at("EPSG:4326", *PROBE).to_crs("EPSG:32635", 0.0, 0.0),
}


def distance_to_line(points: np.ndarray) -> float:
    """Shortest distance from the origin to a polyline."""
    start, along = points[:-1], np.diff(points, axis=0)
    part = np.clip(-(start * along).sum(1) / (along**2).sum(1), 0, 1)
    return float(np.hypot(*(start + part[:, None] * along).T).min())


@pytest.mark.parametrize("crs", POSITION)
def test_power_line_distance_in_every_crs(crs: str) -> None:
    """98.372 m from the probe to the line, also in Web Mercator, where the map says 199.6 m."""
    frame = frame_at(crs, *POSITION[crs])
    towers = np.column_stack(frame.from_crs("EPSG:4326", *TOWERS.T))
    assert distance_to_line(towers) == pytest.approx(98.3721402, abs=1e-4)
    spans = np.hypot(*np.diff(towers, axis=0).T)
    assert spans == pytest.approx([221.703, 197.966, 221.765], abs=6e-4)


def test_power_line_grid_values() -> None:
    frame = frame_at("EPSG:3067", *POSITION["EPSG:3067"])
    assert frame.scale == pytest.approx(0.99960014871, abs=1e-10)
    assert frame.convergence == pytest.approx(math.radians(-0.0552880458), abs=1e-10)
    grid = np.column_stack(frame.to_grid(*frame.from_crs("EPSG:4326", *TOWERS.T)))
    assert distance_to_line(grid - POSITION["EPSG:3067"]) == pytest.approx(98.3328062, abs=1e-4)


def test_web_mercator_trap() -> None:
    """The map distance is twice the true one; the cosine of the latitude alone is not enough."""
    frame = frame_at("EPSG:3857", *POSITION["EPSG:3857"])
    grid = np.column_stack(frame.to_crs("EPSG:3857", *frame.from_crs("EPSG:4326", *TOWERS.T)))
    on_map = distance_to_line(grid - POSITION["EPSG:3857"])
    assert on_map == pytest.approx(199.614983, abs=1e-4)
    assert on_map * math.cos(math.radians(PROBE[1])) == pytest.approx(98.18139, abs=1e-3)
    assert frame.scale == pytest.approx(1 / math.cos(math.radians(PROBE[1])), rel=3e-3)


@pytest.mark.parametrize("line", DATA["Vincenty_1975_Table_II"][:3], ids=lambda row: row["line"])
def test_published_geodesics(line: dict) -> None:
    """Vincenty, Survey Review 23 (1975), Table II: the ellipsoidal engine behind the frame."""
    size = f"+a={line['a']!r} +rf={line['rf']!r} +type=crs"
    frame = frame_at(f"+proj=longlat {size}", 0.0, degrees(line["lat1"]))
    x, y = frame.to_local(degrees(line["dlon"]), degrees(line["lat2"]))
    assert math.hypot(x, y) == pytest.approx(line["s"], abs=0.001)
    azimuth = math.radians(degrees(line["az1"]))
    assert math.atan2(x, y) == pytest.approx(azimuth, abs=2e-3 * SECOND)
    geod = Geod(a=line["a"], rf=line["rf"])  # a second implementation
    _, _, length = geod.inv(0, degrees(line["lat1"]), degrees(line["dlon"]), degrees(line["lat2"]))
    assert math.hypot(x, y) == pytest.approx(length, abs=1e-6 * length)
