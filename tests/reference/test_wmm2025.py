"""World Magnetic Model 2025: the 100 official test values.

Source: NOAA National Centers for Environmental Information and British Geological Survey,
WMM2025 test values (WMM2025_TEST_VALUES.txt), December 2024. Standing: READ, as shipped with the
test suite of the pygeomag library; the column D_pygeomag_deg is COMPUTED by that library and not
used here. Uncertainty and blackout limit: WMM2025 technical report, READ (constants).
"""

import csv
import datetime as dt
import math
from pathlib import Path

import pytest

from visual.frame import declination_and_uncertainty, make_frame

pytestmark = pytest.mark.reference

DATA = Path(__file__).parent / "data" / "wmm2025_test_values.csv"
ROWS = list(csv.DictReader(DATA.read_text(encoding="utf-8").splitlines()))


def test_the_file_is_whole() -> None:
    assert len(ROWS) == 100


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['lat_deg']},{row['lon_deg']}")
def test_declination(row: dict[str, str]) -> None:
    value, uncertainty = declination_and_uncertainty(
        longitude=float(row["lon_deg"]),
        latitude=float(row["lat_deg"]),
        height=1000 * float(row["alt_km"]),
        year=float(row["year"]),
    )
    # the file gives 0.01 degree
    assert math.degrees(value) == pytest.approx(float(row["D_deg"]), abs=0.005 + 1e-6)
    expected = math.sqrt(0.26**2 + (5417 / float(row["H_nT"])) ** 2)
    assert math.degrees(uncertainty) == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("year", [2024.99, 2030.01])
def test_years_outside_the_model_are_refused(year: float) -> None:
    with pytest.raises(ValueError, match="WMM2025 holds from 2025 to 2030; give a date within"):
        declination_and_uncertainty(longitude=0, latitude=50, height=0, year=year)


def test_declination_through_the_frame() -> None:
    """Row 2029.0, 46 N, 22 W, D = -5.65, with a date and at the height of the row."""
    frame = make_frame(
        crs="EPSG:4326", easting=-22, northing=46, height=19e3, date=dt.date(2029, 1, 1)
    )
    assert frame.declination is not None
    assert math.degrees(frame.declination.value) == pytest.approx(-5.65, abs=0.006)
    assert frame.declination.model == "WMM2025"


def test_a_blackout_zone_gives_no_declination() -> None:
    """Row 2025.0, 89 N, 121 W: H = 1504 nT, below the 2000 nT of the blackout zone."""
    frame = make_frame(
        crs="EPSG:4326", easting=-121, northing=89, height=28e3, date=dt.date(2025, 1, 1)
    )
    assert frame.declination is None
    assert "too near a magnetic pole" in frame.declination_note
