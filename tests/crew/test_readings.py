"""The file of readings, right and wrong."""

import contextlib
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.crew.readings import SIGMAS, read_readings
from visual.errors import InputError

GOOD = """\
# taken on a dry day
reading,from,to,value,sigma,from_height,to_height,easting,northing,height,note
slope,hinge,left,11.03,,,,,,,steel tape
slope,left,front,"15.59 m",0.005,,,,,,
horizontal,front,right,15.56,,,,,,,
level,hinge,left,-0.91,,,,,,,
level,hinge,right,0.74 m,5 mm,,,,,,

Compass,hinge,left,125.4,0.5,,,,,,
bearing,hinge,front,215.0°,,,,,,,
clinometer,base,left,-4.0,,1.5 m,1.5 m,,,,
gps,,left,,0.02,,1.8,553219.01,5912473.69,198.61,
gps,,right,,,,,553201,5912486.3,,
"""


def write(folder, text, encoding="utf-8"):
    path = folder / "readings.csv"
    path.write_bytes(text.encode(encoding))
    return path


def test_every_kind_is_read(tmp_path):
    readings = read_readings(write(tmp_path, GOOD), units="metric")
    kinds = [r.kind for r in readings]
    assert kinds == [
        *("slope", "slope", "horizontal", "level", "level"),
        *("compass", "bearing", "clinometer", "gps", "gps"),
    ]
    first, second, _, level, right = readings[:5]
    assert (first.line, first.start, first.end, first.value) == (3, "hinge", "left", 11.03)
    assert first.sigma == SIGMAS["slope"]
    assert second.sigma == 0.005
    assert level.value == -0.91
    assert right.sigma == pytest.approx(0.005)
    compass, bearing, clinometer, gps, flat = readings[5:]
    assert compass.value == pytest.approx(math.radians(125.4))
    assert compass.sigma == pytest.approx(math.radians(0.5))
    assert bearing.value == pytest.approx(math.radians(215.0))
    assert (clinometer.start_height, clinometer.end_height) == (1.5, 1.5)
    assert gps.place == (553219.01, 5912473.69, 198.61)
    assert gps.end_height == 1.8
    assert math.isnan(flat.place[2])
    assert flat.sigma == SIGMAS["gps"]
    assert first.name == "row 3: slope hinge – left"
    assert gps.name == "row 12: gps left"


def test_semicolons_and_decimal_commas_of_a_spreadsheet(tmp_path):
    text = "\ufeffreading;from;to;value\r\nslope;hinge;left;11,03\r\n"
    (reading,) = read_readings(write(tmp_path, text), units="metric")
    assert reading.value == 11.03


def test_feet_and_inches(tmp_path):
    text = "reading,from,to,value\nslope,hinge,left,36 ft 9 1/4 in\nlevel,hinge,left,-7 1/2 in\n"
    slope, level = read_readings(write(tmp_path, text), units="imperial")
    assert slope.value == pytest.approx(36 * 0.3048 + 9.25 * 0.0254)
    assert level.value == pytest.approx(-7.5 * 0.0254)


HEADER = "reading,from,to,value,sigma,easting,northing\n"


@pytest.mark.parametrize(
    ("row", "units", "message"),
    [
        ("tape,hinge,left,11", "metric", "column reading = 'tape': must be one of slope"),
        ("slope,hinge,hinge,11", "metric", "is the same point as from"),
        ("slope,,left,11", "metric", "column from: is needed and missing"),
        ("slope,hinge,base,0.2", "metric", "both points are fixed"),
        ("slope,hinge,left,", "metric", "column value: is needed and missing"),
        ("slope,hinge,left,-3", "metric", "a tape reads more than nothing"),
        ("slope,hinge,left,3 kg", "metric", "'kg' is a unit of mass"),
        ("slope,hinge,left,36.77", "imperial", "on an imperial site needs its unit; write it"),
        ("level,hinge,left,nan", "metric", "column value = 'nan'"),
        ("compass,hinge,left,400", "metric", "a bearing is 0 to 360 degrees"),
        ("compass,hinge,left,north", "metric", "is not an angle in degrees"),
        ("clinometer,hinge,left,95", "metric", "less than 90 degrees up or down"),
        ("slope,hinge,left,11,0", "metric", "must be more than nothing: no reading is perfect"),
        ("gps,,left,,,553219", "metric", "column northing: is needed and missing"),
        ("gps,,left,,,553219,x", "metric", "column northing = 'x': is not a number"),
        ("slope,hinge,left,11,,,,,9", "metric", "the row has 9 cells for 7 columns"),
    ],
)
def test_wrong_row_is_named_with_the_way_out(tmp_path, row, units, message):
    path = write(tmp_path, HEADER + row + "\n")
    with pytest.raises(InputError) as caught:
        read_readings(path, units=units)
    assert message in str(caught.value)
    assert "row 2" in str(caught.value)


def test_all_wrong_rows_are_reported_at_once(tmp_path):
    path = write(tmp_path, HEADER + "tape,hinge,left,1\nslope,hinge,left,x\n")
    with pytest.raises(InputError) as caught:
        read_readings(path, units="metric")
    assert [problem.key for problem in caught.value.problems] == [
        "row 2, column reading",
        "row 3, column value",
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "the file is empty"),
        ("from,to\n", "there is no column reading"),
        ("reading,to,length\n", "the column 'length' is not known"),
        ("reading,to,to\n", "two columns are called 'to'"),
    ],
)
def test_wrong_header(tmp_path, text, message):
    with pytest.raises(InputError, match=message):
        read_readings(write(tmp_path, text), units="metric")


def test_missing_file(tmp_path):
    with pytest.raises(InputError, match="cannot be read"):
        read_readings(tmp_path / "nothing.csv", units="metric")


TYPED = (
    'slope|level|gps|compass|hinge|left|front|11.0|-0.5 m|1 kg|x||nan|1e999|"|36 ft 9 1/4 in|400|'
    "−3|½|\x00"
)
WORDS = st.sampled_from(TYPED.split("|"))


@given(st.lists(st.lists(WORDS, min_size=1, max_size=8).map(",".join), max_size=6))
def test_whatever_is_typed_gives_readings_or_a_clear_error(tmp_path_factory, lines):
    path = tmp_path_factory.mktemp("typed") / "readings.csv"
    text = "reading,from,to,value,sigma,easting,northing,height\n" + "\n".join(lines)
    path.write_text(text, encoding="utf-8")
    readings, problems = (), ()
    try:
        readings = read_readings(path, units="metric")
    except InputError as error:
        problems = error.problems
    assert all(reading.sigma > 0 for reading in readings)
    assert all("row" in problem.key and problem.way_out for problem in problems)


@given(st.text(max_size=200))
def test_any_text_at_all_gives_readings_or_a_clear_error(tmp_path_factory, text):
    path = tmp_path_factory.mktemp("any") / "readings.csv"
    path.write_bytes(text.encode("utf-8", errors="surrogatepass"))
    with contextlib.suppress(InputError):
        read_readings(path, units="imperial")


def test_quoted_header_of_a_spreadsheet(tmp_path):
    text = '"reading","from","to","value"\n"slope","hinge","left","11.03"\n'
    (reading,) = read_readings(write(tmp_path, text), units="metric")
    assert reading.value == 11.03
