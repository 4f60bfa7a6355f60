import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from visual.errors import InputError, Problem
from visual.frame import make_frame
from visual.site import Survey, read_survey

HEADER = "point,easting,northing,height,code\n"


def read(
    folder: Path, text: str | bytes, crs: str = "local", height_unit: str | None = None
) -> Survey:
    path = folder / "survey.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_survey(path, crs=crs, height_unit=height_unit)


def problems(folder: Path, text: str | bytes, crs: str = "local") -> list[Problem]:
    with pytest.raises(InputError) as caught:
        read(folder, text, crs)
    return list(caught.value.problems)


@pytest.mark.parametrize(
    "text",
    [
        "point,easting,northing,height,code\n1,10.5,20.5,3.5,\n",
        "Code;Z;N;E;Pt\n;3.5;20.5;10.5;1\n",
        "ID\tX\tY\tElev\tDescription\n1\t10.5\t20.5\t3.5\tgr\n",
        "No;East;North;Level;Desc\n1;10,5;20,5;3,5;ground\n",
        "pt , Easting [m] , Northing (m), Height (metres)\n1, 10.5, 20.5, 3.5\n",
        "# measured in May\n\nname,e,n,h\n\n# first day\n1,10.5,20.5,3.5,,\n,,,\n",
        "\ufeffpoint,easting,northing,height\r\n1,10.5,20.5,3.5\r\n",
        '"point","easting","northing","height","code"\n"1","10.5","20.5","3.5","spot"\n',
        "point,easting (cm),northing (mm),height (km)\n1,1050,20500,0.0035\n",
    ],
)  # fmt: skip
def test_usual_ways_to_write_the_same_point(tmp_path: Path, text: str) -> None:
    survey = read(tmp_path, text)
    np.testing.assert_allclose(survey.ground_points, [[10.5, 20.5, 3.5]], rtol=1e-14)
    assert survey.points[0].name == "1"


def test_file_of_a_spreadsheet_in_utf_16(tmp_path: Path) -> None:
    survey = read(tmp_path, "point\te\tn\tz\nÄ1\t1\t2\t3\n".encode("utf-16"))
    assert survey.points[0].name == "Ä1"


def test_names_in_an_old_code_page(tmp_path: Path) -> None:
    survey = read(tmp_path, "point,e,n,z\nHöhe,1,2,3\n".encode("latin-1"))
    assert survey.points[0].name == "Höhe"


def test_unit_of_heights_from_header_or_site_file(tmp_path: Path) -> None:
    plain = "point,e,n,z\n1,1,2,10\n"
    assert read(tmp_path, plain, height_unit="ft").points[0].height == pytest.approx(3.048)
    assert read(tmp_path, plain).points[0].height == 10.0
    stated = "point,e,n,z (m)\n1,1,2,10\n"
    assert read(tmp_path, stated, height_unit="ft").points[0].height == 10.0


def test_stated_unit_becomes_the_unit_of_the_crs(tmp_path: Path) -> None:
    # EPSG:2227 counts in US survey feet, the file in metres
    point = read(tmp_path, "pt,e (m),n (m),z (m)\n1,1850000,650000,5\n", crs="EPSG:2227").points[0]
    assert point.easting == pytest.approx(1850000 * 3937 / 1200, rel=1e-14)
    assert point.northing == pytest.approx(650000 * 3937 / 1200, rel=1e-14)


def test_number_without_unit_is_in_the_unit_of_the_crs(tmp_path: Path) -> None:
    assert (
        read(tmp_path, "pt,e,n,z\n1,6000000,2000000,5\n", crs="EPSG:2227").points[0].easting == 6e6
    )


def test_degrees(tmp_path: Path) -> None:
    text = "pt,lat,lon,z\n1,53.36,-2.2,5\n"
    point = read(tmp_path, text, crs="EPSG:4326").points[0]
    assert (point.easting, point.northing) == (-2.2, 53.36)
    assert "not in degrees" in problems(tmp_path, text, crs="EPSG:32630")[0].rule
    feet = "pt,easting (ft),northing (ft),z\n1,53.36,-2.2,5\n"
    assert "in degrees" in problems(tmp_path, feet, crs="EPSG:4326")[0].rule


def test_every_bad_cell_with_row_and_column(tmp_path: Path) -> None:
    text = HEADER + "1,ten,20,3,\n2,10,,3,\n\n3,10,20,nan,\n4,10,20,3,grund\n5,1,2,3,grund\n6,1,2\n"
    found = problems(tmp_path, text)
    assert [(p.key, p.value) for p in found] == [
        ("row 2, column easting", "ten"),
        ("row 3, column northing", None),
        ("row 5, column height", "nan"),
        ("row 6, column code", "grund"),  # told once for this code
        ("row 8, column height", None),
    ]
    assert "did you mean" in found[3].way_out
    assert '"ground"' in found[3].way_out


def test_decimal_comma_between_commas(tmp_path: Path) -> None:
    found = problems(tmp_path, "pt,e,n,z\n1,10,5,20,5,3,5\n")
    assert found[0].key == "row 2"
    assert "semicolons" in found[0].way_out


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "empty"),
        ("1,10,20,3\n2,11,21,3\n", "no column easting"),
        ("point,easting,northing\n1,2,3\n", "no column height"),
        ("point,x,easting,y,z\n1,2,3,4,5\n", "two columns hold the easting"),
        ("point,e (yd),n,z\n1,2,3,4\n", "unit of this column is not known"),
        (HEADER, "no point"),
        (b"\x00\x01\xff\xfe" * 50, "no column easting"),
    ],
)
def test_no_survey(tmp_path: Path, text: str | bytes, rule: str) -> None:
    assert any(rule in problem.rule for problem in problems(tmp_path, text))


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_survey(tmp_path / "gone.csv", crs="local")


def test_unknown_crs(tmp_path: Path) -> None:
    path = tmp_path / "survey.csv"
    path.write_text("easting,northing,height\n1,2,3\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"crs = 'EPSG:1': .*; name it like") as raised:
        read_survey(path, crs="EPSG:1")
    assert raised.value.problems[0].key == "crs"


def test_coded_points_are_ground_and_features(tmp_path: Path) -> None:
    survey = read(
        tmp_path,
        "point;e;n;z;code;feature height (ft);crown radius;voltage_kv;sag\n"
        "1;0;0;5;building house;20;;;\n"
        "2;10;0;5;bld:house;;;;\n"
        "3;10;8;5;building house;;;;\n"
        "4;30;0;6;ohl 11 kV;30;;11;2 ft\n"
        "5;80;0;7;overhead line: 11 kV;33;;;\n"
        "6;3;3;4;tree ash;25;2.5;;\n"
        "7;4;3;4;tree ash;26;2.5;;\n"
        "8;9;9;;boundary b;;;;\n"
        "9;9;0;;boundary b;;;;\n"
        "10;0;9;;boundary b;;;;\n"
        "11;5;5;9;skip wall top;;;;\n"
        "12;0;0;5;road lane;;;;\n"
        "13;0;9;5;road lane;;;;\n",
    )
    frame = make_frame(crs="local", easting=0.0, northing=0.0, height=0.0, date=None)
    house, line, ash, other_ash, boundary, road = survey.features(frame)
    assert (house.kind, house.name, house.shape.area) == ("building", "house", 40.0)
    assert house.height == pytest.approx(20 * 0.3048)
    assert (line.name, line.voltage_kv) == ("11 kV", 11.0)
    assert line.conductor_heights == pytest.approx((30 * 0.3048, 33 * 0.3048))
    assert line.sag == pytest.approx(2 * 0.3048)
    assert [ash.height, other_ash.height] == pytest.approx([25 * 0.3048, 26 * 0.3048])
    assert boundary.shape.geom_type == "Polygon"
    assert road.shape.geom_type == "LineString"
    # neither the wall top nor the corners without a height are ground
    assert len(survey.ground_points) == 9


def test_feature_lacks_points_or_height(tmp_path: Path) -> None:
    survey = read(
        tmp_path,
        HEADER + "1,0,0,5,building a\n2,1,0,5,building a\n3,0,0,5,building b\n4,5,0,5,building b\n"
        "5,5,5,5,building b\n6,0,0,5,tree\n",
    )
    frame = make_frame(crs="local", easting=0.0, northing=0.0, height=0.0, date=None)
    with pytest.raises(InputError) as caught:
        survey.features(frame)
    said = [f"{problem.key}: {problem.rule}" for problem in caught.value.problems]
    assert said[0].startswith("row 2, building a: 2 points")
    assert said[1] == "row 4, building b, height: the property height is missing"
    assert said[2] == "row 7, tree, height: the property height is missing"
    assert said[3] == "row 7, tree, crown_radius: the property crown_radius is missing"
    assert "column feature_height" in caught.value.problems[1].way_out


def test_middle_of_the_ground(tmp_path: Path) -> None:
    survey = read(tmp_path, HEADER + "1,0,0,5,\n2,10,4,5,\n3,2,2,5,\n4,99,99,9,skip\n")
    assert survey.middle == (5.0, 2.0)
    assert all(math.isnan(one) for one in read(tmp_path, HEADER + "4,9,9,9,skip\n").middle)


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None
)
@given(
    st.one_of(
        st.text(max_size=200),
        st.lists(
            st.lists(st.sampled_from(["1", "2.5", "1e400", "-", "tree a", "", '"', "nan", "1,2"]),
                     max_size=7).map(";".join), max_size=6,
        ).map(lambda rows: "\n".join(["point;e;n;z;code;feature_height", *rows])),
    )
)  # fmt: skip
def test_any_text_is_a_survey_or_an_input_error(tmp_path: Path, text: str) -> None:
    try:
        survey = read(tmp_path, text.encode(errors="surrogatepass"))
    except InputError:
        return
    assert np.isfinite(survey.ground_points).all()
