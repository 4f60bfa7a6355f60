"""The local frame: true lengths, there and back, three norths, refusals."""

import datetime as dt
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import CRS, Geod, Proj

from visual.frame import EARTH_RADIUS, Frame, crs_unit_metres, make_frame

SITES = {
    # crs: easting, northing of a base in it
    "EPSG:32630": (553210.0, 5912480.0),
    "EPSG:27700": (626238.248, 302646.412),
    "EPSG:2263": (1000000.0, 220000.0),  # New York Long Island, US survey feet
    "EPSG:3857": (2998000.0, 8510000.0),  # Web Mercator
    "EPSG:4326": (10.0, 47.0),
    "EPSG:28355": (273741.297, 5796489.777),  # southern hemisphere
    "EPSG:27572": (900000.0, 2200000.0),  # on the meridian of Paris, in grads
    "EPSG:4807": (5.0, 52.0),  # degrees are grads here
    "EPSG:7405": (530000.0, 180000.0),  # with a vertical part
    "EPSG:2193": (1570000.0, 5180000.0),  # defined northing first
}
CONFORMAL = ["EPSG:32630", "EPSG:27700", "EPSG:2263", "EPSG:28355", "EPSG:27572", "EPSG:2193"]


def frame_at(crs: str, height: float = 0.0, date: dt.date | None = None) -> Frame:
    easting, northing = SITES[crs]
    return make_frame(crs=crs, easting=easting, northing=northing, height=height, date=date)


def geodesy_of(crs: str) -> tuple[CRS, Geod]:
    known = CRS(crs)
    known = known.sub_crs_list[0] if known.is_compound else known
    ellipsoid = known.ellipsoid
    assert ellipsoid is not None
    return known, Geod(a=ellipsoid.semi_major_metre, b=ellipsoid.semi_minor_metre)


@pytest.mark.parametrize("crs", SITES)
def test_origin_is_the_base(crs: str) -> None:
    frame = frame_at(crs, height=312.5)
    assert frame.to_local(*SITES[crs]) == pytest.approx((0, 0), abs=1e-8)
    assert frame.to_grid(0.0, 0.0) == pytest.approx(SITES[crs], rel=1e-11)
    assert frame.local_height(312.5) == 0
    assert frame.height(-2.5) == 310.0


PROJECTED = [crs for crs in SITES if CRS(crs).is_projected and crs != "EPSG:27572"]


@pytest.mark.parametrize("crs", PROJECTED)
@settings(max_examples=10)
@given(
    x=st.floats(-300, 300),
    y=st.floats(-300, 300),
    length=st.floats(1, 100),
    bearing=st.floats(0, math.tau),
)
def test_lengths_are_geodesic_lengths(
    crs: str, x: float, y: float, length: float, bearing: float
) -> None:
    """Any line near the base, not only from it: 0.1 mm in 100 m asked, a tenth of it kept."""
    height = 420.0
    frame, (known, geod) = frame_at(crs, height=height), geodesy_of(crs)
    xs = np.array([x, x + length * math.sin(bearing)])
    ys = np.array([y, y + length * math.cos(bearing)])
    longitude, latitude = Proj(known)(*frame.to_grid(xs, ys), inverse=True)
    azimuth, _, geodesic = geod.inv(longitude[0], latitude[0], longitude[1], latitude[1])
    assert geodesic * (1 + height / EARTH_RADIUS) == pytest.approx(length, abs=1e-5)
    true = frame.true_bearing(bearing)
    assert true is not None
    # meridians converge: 300 m beside the base north differs by up to 1e-4 rad
    assert math.sin((math.radians(azimuth) - true) / 2) == pytest.approx(0, abs=2e-4)


@pytest.mark.parametrize("crs", CONFORMAL)
def test_convergence_and_scale_agree_with_proj(crs: str) -> None:
    frame, (known, _) = frame_at(crs), geodesy_of(crs)
    projection = Proj(known)
    factors = projection.get_factors(*projection(*SITES[crs], inverse=True))
    if crs != "EPSG:27572":  # PROJ's factors forget the prime meridian there
        assert frame.convergence == pytest.approx(
            math.radians(factors.meridian_convergence), abs=1e-9
        )
    assert frame.scale == pytest.approx(factors.meridional_scale, abs=1e-9)


@pytest.mark.parametrize("crs", CONFORMAL)
def test_scale_ties_grid_to_ground(crs: str) -> None:
    frame = frame_at(crs, height=850.0)
    # the scale itself changes by 3e-7 in 100 m, so the base is in the middle
    easting, northing = frame.to_grid(np.array([-50.0, 50.0]), np.array([0.0, 0.0]))
    grid_metres = crs_unit_metres(crs) * math.hypot(np.diff(easting)[0], np.diff(northing)[0])
    assert frame.scale == pytest.approx(grid_metres / 100, abs=1e-7)


@pytest.mark.parametrize("crs", [*CONFORMAL, "EPSG:3857"])
def test_grid_bearings_are_bearings_of_the_frame(crs: str) -> None:
    frame = frame_at(crs)
    easting, northing = SITES[crs]
    x, y = frame.to_local(np.array([easting, easting + 50]), np.array([northing + 50, northing]))
    assert x[0] == pytest.approx(0, abs=1e-3)  # grid north is y
    assert y[1] == pytest.approx(0, abs=1e-3)  # grid east is x
    assert y[0] > 0
    assert x[1] > 0


@pytest.mark.parametrize("crs", SITES)
@settings(max_examples=15)
@given(x=st.floats(-3000, 3000), y=st.floats(-3000, 3000))
def test_there_and_back(crs: str, x: float, y: float) -> None:
    frame = frame_at(crs, height=100.0)
    # PROJ takes all within 1e-10 radian, 0.64 mm, of the centre for the centre
    within = 1e-6 if math.hypot(x, y) > 1e-3 else 6.5e-4
    assert frame.to_local(*frame.to_grid(x, y)) == pytest.approx((x, y), abs=within)


@pytest.mark.parametrize("other", ["EPSG:4326", "EPSG:3857", "EPSG:32629", "EPSG:25830"])
def test_data_in_another_crs(other: str) -> None:
    frame = frame_at("EPSG:32630", height=100.0)
    x, y = np.array([0.0, 120.0, -40.0]), np.array([0.0, -35.0, 500.0])
    back = frame.from_crs(other, *frame.to_crs(other, x, y))
    assert np.column_stack(back) == pytest.approx(np.column_stack((x, y)), abs=1e-5)
    assert back[0].shape == x.shape


def test_a_foreign_datum_is_shifted_and_its_accuracy_told() -> None:
    """The same numbers on OSGB36 and on WGS 84 lie about 100 m apart in eastern England."""
    frame = frame_at("EPSG:27700")
    longitude, latitude = frame.geographic(0.0, 0.0)
    x, y = frame.from_crs("EPSG:4277", longitude, latitude)
    assert 50 < math.hypot(x, y) < 200
    assert frame.crs_accuracy("EPSG:4277") == 0
    assert frame.crs_accuracy("EPSG:4326") == pytest.approx(2, abs=20)
    assert frame.crs_accuracy("EPSG:27700") == 0


def test_a_missing_datum_shift_goes_by_wgs84() -> None:
    """PROJ has no direct shift from ETRS89 without grid files and would apply none: 100 m off."""
    frame = frame_at("EPSG:27700")
    assert math.hypot(*frame.from_crs("EPSG:4258", *frame.geographic(0.0, 0.0))) < 1


def test_no_datum_shift_at_all_is_refused() -> None:
    frame = frame_at("EPSG:27700")
    with pytest.raises(ValueError, match="no datum shift from 'EPSG:2000' to 'EPSG:27700' is"):
        frame.from_crs("EPSG:2000", 500000.0, 6000000.0)


def test_a_shift_bound_to_the_crs_is_used_for_others_only() -> None:
    text = (
        "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy "
        "+towgs84=446.448,-125.157,542.06,0.15,0.247,0.842,-20.489 +units=m +type=crs"
    )
    easting, northing = SITES["EPSG:27700"]
    bound = make_frame(crs=text, easting=easting, northing=northing, height=0, date=None)
    named = frame_at("EPSG:27700")
    point = easting + 80, northing - 30
    assert bound.to_local(*point) == pytest.approx(named.to_local(*point), abs=1e-6)
    assert bound.geographic(0.0, 0.0) == pytest.approx(named.geographic(0.0, 0.0), abs=1e-4)
    assert bound.crs_accuracy("EPSG:4326") is None


def test_scalars_come_back_as_floats_and_arrays_as_arrays() -> None:
    frame = frame_at("EPSG:32630")
    assert isinstance(frame.to_local(*SITES["EPSG:32630"])[0], float)
    assert frame.to_grid(np.zeros((2, 3)), np.zeros((2, 3)))[1].shape == (2, 3)


def test_what_cannot_be_converted_is_nan() -> None:
    x, y = frame_at("EPSG:32630").from_crs("EPSG:4326", np.array([-2.2, 0.0]), np.array([53.4, 95]))
    assert np.isfinite(x).tolist() == [True, False]
    assert np.isnan(y[1])


def test_feet() -> None:
    frame = frame_at("EPSG:2263")
    easting, northing = SITES["EPSG:2263"]
    x, _ = frame.to_local(easting + 100, northing)
    assert frame.scale is not None
    assert x == pytest.approx(100 * 1200 / 3937 / frame.scale, abs=1e-5)


@pytest.mark.parametrize(
    ("crs", "metres"),
    [("local", 1.0), ("EPSG:32630", 1.0), ("EPSG:2263", 1200 / 3937), ("EPSG:2240", 1200 / 3937)],
)
def test_unit_of_a_crs(crs: str, metres: float) -> None:
    assert crs_unit_metres(crs) == pytest.approx(metres, rel=1e-12)


def test_a_geographic_crs_has_no_unit_of_length() -> None:
    with pytest.raises(ValueError, match=r"are in degrees, not in a unit of length; use a proj"):
        crs_unit_metres("EPSG:4326")


def test_geographic_site() -> None:
    frame = frame_at("EPSG:4326")
    assert frame.convergence == 0
    assert frame.scale is None
    assert frame.true_bearing(1.25) == 1.25
    assert frame.geographic(0.0, 0.0) == pytest.approx((10, 47), abs=1e-12)


def test_local_site() -> None:
    frame = make_frame(
        crs="Local", easting=100.0, northing=200.0, height=5.0, date=dt.date(2026, 6, 1)
    )
    assert frame.crs == "local"
    assert frame.is_local
    assert frame.to_local(103.0, 196.0) == (3.0, -4.0)
    assert frame.to_grid(3.0, -4.0) == (103.0, 196.0)
    assert frame.from_crs("local", 103.0, 196.0) == (3.0, -4.0)
    assert frame.scale == 1
    assert frame.convergence is None
    assert frame.declination is None
    assert "true and magnetic north are unknown" in frame.declination_note
    assert frame.true_bearing(1.0) is None
    assert frame.magnetic_bearing(1.0) is None


def test_local_and_real_do_not_mix() -> None:
    local = make_frame(crs="local", easting=0.0, northing=0.0, height=0.0, date=None)
    with pytest.raises(ValueError, match="and nothing ties the two; give both a real CRS"):
        local.geographic(0.0, 0.0)
    with pytest.raises(ValueError, match="the data's is 'local', and nothing ties the two"):
        frame_at("EPSG:32630").from_crs("local", 0.0, 0.0)


@pytest.mark.parametrize("crs", ["EPSG:28355", "EPSG:32630"])
def test_three_norths(crs: str) -> None:
    """True = grid + convergence; magnetic = true - declination; all within a full turn."""
    frame = frame_at(crs, date=dt.date(2026, 6, 1))
    assert frame.declination is not None
    assert frame.convergence is not None
    assert frame.declination_note == ""
    grid = np.radians([0.0, 90.0, 215.0, 359.9])
    true, magnetic = frame.true_bearing(grid), frame.magnetic_bearing(grid)
    assert true is not None
    assert magnetic is not None
    assert true == pytest.approx((grid + frame.convergence) % math.tau)
    assert np.sin(true - magnetic) == pytest.approx(np.sin(frame.declination.value))
    assert ((magnetic >= 0) & (magnetic < math.tau)).all()


@pytest.mark.parametrize(
    ("date", "note"),
    [
        (None, "the site gives no date"),
        (dt.date(2024, 12, 31), "WMM2025 holds from 2025 to 2030, not on 2024-12-31"),
        (dt.date(2030, 1, 2), "WMM2025 holds from 2025 to 2030, not on 2030-01-02"),
    ],
)
def test_unknown_magnetic_north_has_a_reason(date: dt.date | None, note: str) -> None:
    frame = frame_at("EPSG:32630", date=date)
    assert frame.declination is None
    assert note in frame.declination_note
    assert frame.magnetic_bearing(1.0) is None
    assert frame.true_bearing(1.0) is not None


@pytest.mark.parametrize(
    ("crs", "easting", "northing", "text"),
    [
        ("EPSG:99999", 0, 0, "'EPSG:99999' is not a known coordinate reference system; name it"),
        ("the top field", 0, 0, "is not a known coordinate reference system; name it like"),
        ("", 0, 0, "'' is not a known coordinate reference system; name it like"),
        ("EPSG:4978", 0, 0, r"\(WGS 84\) do not run east and north; name it like"),
        ("EPSG:5773", 0, 0, r"\(EGM96 height\) do not run east and north; name it like"),
        ("EPSG:2053", 0, 0, "do not run east and north; name it like"),
        ("EPSG:32630", 5912480, 553210, "is no place where 'EPSG:32630' .* check the order"),
        ("EPSG:32630", 1e30, 0, "is no place where 'EPSG:32630' .* is used; check the order"),
        ("EPSG:4326", 10, 147, "is no place where 'EPSG:4326' .* is used; check the order"),
        ("EPSG:32630", math.nan, 0, "all three must be numbers; give a position"),
    ],
)
def test_refusals(crs: str, easting: float, northing: float, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        make_frame(crs=crs, easting=easting, northing=northing, height=0.0, date=None)


@pytest.mark.parametrize(("crs", "longitude"), [("EPSG:25833", 5.0), ("EPSG:2193", -176.5)])
def test_a_zone_used_beyond_its_edge_is_let_pass(crs: str, longitude: float) -> None:
    """Some countries use one zone far outside it, and New Zealand's crosses 180 degrees."""
    latitude = 60.0 if longitude > 0 else -44.0
    wgs = make_frame(crs="EPSG:4326", easting=longitude, northing=latitude, height=0, date=None)
    easting, northing = wgs.to_crs(crs, 0.0, 0.0)
    frame = make_frame(crs=crs, easting=easting, northing=northing, height=0, date=None)
    assert frame.geographic(0.0, 0.0) == pytest.approx((longitude, latitude), abs=1e-6)


@given(
    east=st.floats(-1e6, 1e6),
    north=st.floats(-1e6, 1e6),
    x=st.floats(-1e3, 1e3),
    y=st.floats(-1e3, 1e3),
)
def test_moving_a_local_origin_moves_nothing_else(
    east: float, north: float, x: float, y: float
) -> None:
    frame = make_frame(crs="local", easting=east, northing=north, height=0.0, date=None)
    assert frame.to_local(east + x, north + y) == pytest.approx((x, y), abs=1e-9)
