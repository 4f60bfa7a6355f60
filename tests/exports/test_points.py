"""Way points and tables, read back by something else."""

import csv
import datetime as dt
from xml.etree import ElementTree as ET

import pytest

from visual.crew.stake import stake_out
from visual.errors import InputError
from visual.exports import write_points_csv, write_points_gpx
from visual.frame import make_frame
from visual.raising import find_start
from visual.site import read_survey

NAMESPACE = {"g": "http://www.topografix.com/GPX/1/1"}
SITE = {"crs": "EPSG:32630", "date": dt.date(2026, 6, 1), "name": "Top <field> & yard"}


@pytest.fixture(scope="module")
def placed(make_model):
    mast = {"position": [553210.0, 5912480.0], "front": 215.0}
    return stake(make_model(changes={"site": SITE, "mast": mast}))


def stake(model):
    limits = model.site.limits
    start = find_start(
        model, trestle=limits.trestle.value, head_clearance=limits.head_clearance.value
    )
    return stake_out(model, start)


def test_gpx_gives_the_grid_coordinates_back(placed, tmp_path):
    write_points_gpx(placed, tmp_path / "pegs.gpx")
    root = ET.parse(tmp_path / "pegs.gpx").getroot()
    points = root.findall("g:wpt", NAMESPACE)
    assert root.get("version") == "1.1"
    assert [p.findtext("g:name", namespaces=NAMESPACE) for p in points] == [
        "base",
        "front",
        "right",
        "back",
        "left",
    ]
    assert root.findtext("g:metadata/g:name", namespaces=NAMESPACE) == "Top <field> & yard"
    frame = make_frame(
        crs="EPSG:32630", easting=553210.0, northing=5912480.0, height=0.0, date=None
    )
    for point, anchor in zip(points[1:], placed.anchors, strict=True):
        x, y = frame.from_crs("EPSG:4326", float(point.get("lon")), float(point.get("lat")))
        easting, northing = frame.to_grid(x, y)
        assert (easting, northing) == pytest.approx((anchor.easting, anchor.northing), abs=0.005)


def test_csv_is_a_survey_file(placed, tmp_path):
    write_points_csv(placed, tmp_path / "pegs.csv")
    survey = read_survey(tmp_path / "pegs.csv", crs="EPSG:32630", height_unit=None)
    names = [point.name for point in survey.points]
    assert names == ["base", "front", "right", "back", "left"]
    left = survey.points[-1]
    anchor = placed.anchors[-1]
    assert (left.easting, left.northing) == pytest.approx((anchor.easting, anchor.northing))
    assert left.height == pytest.approx(anchor.height, abs=0.001)


def test_csv_of_a_local_site_leaves_north_empty(make_model, tmp_path):
    write_points_csv(stake(make_model()), tmp_path / "pegs.csv")
    rows = list(csv.DictReader((tmp_path / "pegs.csv").read_text(encoding="utf-8").splitlines()))
    assert rows[1]["bearing_grid"] == "0.00"
    assert rows[1]["bearing_magnetic"] == rows[1]["longitude_wgs84"] == ""


def test_gpx_of_a_local_site_is_refused(make_model, tmp_path):
    with pytest.raises(InputError, match=r'site\.crs is "local"; write a CSV'):
        write_points_gpx(stake(make_model()), tmp_path / "pegs.gpx")
    assert list(tmp_path.iterdir()) == []


def test_place_that_cannot_be_written_is_an_error(placed, tmp_path):
    with pytest.raises(InputError, match="cannot be written"):
        write_points_csv(placed, tmp_path / "nowhere" / "pegs.csv")


def test_no_half_file_stays(placed, tmp_path):
    write_points_csv(placed, tmp_path / "pegs.csv")
    assert [path.name for path in tmp_path.iterdir()] == ["pegs.csv"]
