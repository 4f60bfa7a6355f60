import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.errors import InputError
from visual.site import copy_sample, read_site, sample_names, write_starter
from visual.site.starter import starter_text

SURVEY = "point,easting,northing,height,code\n1,0,0,5,\n2,40,0,6,\n3,40,60,7,\n"


@pytest.fixture
def survey(tmp_path: Path) -> Path:
    path = tmp_path / "field.csv"
    path.write_text(SURVEY)
    return path


@pytest.fixture
def dem(tmp_path: Path) -> Path:
    path = tmp_path / "hill.asc"
    path.write_text("not looked into")
    (tmp_path / "hill.prj").write_text("belongs to it")
    (tmp_path / "hill.txt").write_text("does not")
    return path


def test_survey_site_is_valid_and_stands_in_the_middle(tmp_path: Path, survey: Path) -> None:
    path = write_starter(tmp_path / "new" / "site", survey=survey)
    site = read_site(path)
    assert path == tmp_path / "new" / "site" / "site.toml"
    assert (site.site.name, site.site.crs) == ("site", "local")
    assert site.mast.position == (20.0, 30.0)
    assert site.ground.survey == "field.csv"
    assert site.resolve("field.csv").read_text() == SURVEY
    assert site.ground.dem is None


def test_dem_site_takes_its_companions_along(tmp_path: Path, dem: Path) -> None:
    folder = tmp_path / "site"
    write_starter(folder, dem=dem, crs="EPSG:32630", position=(553210.0, 5912480.0))
    site = read_site(folder)
    assert site.site.crs == "EPSG:32630"
    assert site.mast.position == (553210.0, 5912480.0)
    assert sorted(path.name for path in folder.iterdir()) == ["hill.asc", "hill.prj", "site.toml"]


def test_degrees_keep_their_places(tmp_path: Path, dem: Path) -> None:
    write_starter(tmp_path / "s", dem=dem, crs="EPSG:4326", position=(-2.20012345, 53.35876543))
    assert read_site(tmp_path / "s").mast.position == (-2.20012345, 53.35876543)


def test_data_may_lie_in_the_folder_already(tmp_path: Path, survey: Path) -> None:
    write_starter(tmp_path, survey=survey, units="imperial")
    assert read_site(tmp_path).site.units == "imperial"
    assert survey.read_text() == SURVEY


def test_nothing_is_overwritten(tmp_path: Path, survey: Path) -> None:
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "field.csv").write_text("mine")
    with pytest.raises(InputError, match="another file is in the way"):
        write_starter(folder, survey=survey)
    assert [path.name for path in folder.iterdir()] == ["field.csv"]
    (folder / "field.csv").unlink()
    (folder / "site.toml").write_text("mine")
    with pytest.raises(InputError, match="a site file already"):
        write_starter(folder, survey=survey)
    assert (folder / "site.toml").read_text() == "mine"


def test_bad_survey_leaves_nothing_behind(tmp_path: Path, survey: Path) -> None:
    survey.write_text(SURVEY + "4,here,0,1,\n")
    with pytest.raises(InputError, match="row 5, column easting"):
        write_starter(tmp_path / "site", survey=survey)
    assert not (tmp_path / "site").exists()


def test_what_is_missing(tmp_path: Path, dem: Path) -> None:
    with pytest.raises(InputError, match="neither a DEM nor a survey"):
        write_starter(tmp_path / "site")
    with pytest.raises(InputError, match="no such file"):
        write_starter(tmp_path / "site", survey=tmp_path / "gone.csv")
    with pytest.raises(InputError, match="no position"):
        write_starter(tmp_path / "site", dem=dem, crs="EPSG:32630")
    with pytest.raises(InputError, match="no place where"):
        write_starter(tmp_path / "site", dem=dem, crs="EPSG:32630", position=(5912480.0, 553210.0))
    survey = tmp_path / "s.csv"
    survey.write_text("point,e,n,z,code\n1,0,0,5,skip\n")
    with pytest.raises(InputError, match="no point on the ground"):
        write_starter(tmp_path / "site", survey=survey)


def test_folder_that_cannot_be_made(tmp_path: Path, survey: Path) -> None:
    with pytest.raises(InputError, match="cannot be written"):
        write_starter(survey / "site", survey=survey)


@given(st.text())
def test_any_name_is_quoted_right(name: str) -> None:
    # a file system gives names that UTF-8 has no place for as lone surrogates
    name = name.encode(errors="replace").decode()
    text = starter_text(name=name, dem=name or "x", survey=None, crs="local", position=(1.0, 2.0))
    tables = tomllib.loads(text)
    assert tables["site"]["name"] == (name or "New site")
    assert tables["ground"]["dem"] == (name or "x")


@pytest.mark.parametrize("name", sample_names())
def test_copy_of_a_sample(tmp_path: Path, name: str) -> None:
    site = copy_sample(name, tmp_path / "copy")
    assert read_site(site).folder == tmp_path / "copy"
    assert copy_sample(name, tmp_path / "copy") == site  # a second time nothing is in the way


def test_sample_leaves_changed_files_alone(tmp_path: Path) -> None:
    site = copy_sample("flat_yard", tmp_path)
    site.write_text("mine")
    with pytest.raises(InputError, match="in the way"):
        copy_sample("flat_yard", tmp_path)
    assert site.read_text() == "mine"


def test_unknown_sample(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="hill_paddock"):
        copy_sample("moon", tmp_path)
