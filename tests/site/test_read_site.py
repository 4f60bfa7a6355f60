import datetime as dt
import math
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from pydantic import ValidationError

from visual.errors import InputError, Problem
from visual.site import SiteFile, parse_site, read_site

Edit = Callable[..., Path]


def problems_of(folder: Path) -> dict[str, Problem]:
    with pytest.raises(InputError) as caught:
        read_site(folder)
    return {problem.key: problem for problem in caught.value.problems}


def test_example_is_read_in_si_and_radians(site_folder: Path) -> None:
    site = read_site(site_folder)
    assert site.site.name == "Larkrise, top field"
    assert site.site.date == dt.date(2026, 6, 1)
    assert site.ground.accuracy == 0.15
    assert site.ground.survey_accuracy == 0.05
    assert site.mast.position == (553210.0, 5912480.0)
    assert site.mast.front == pytest.approx(math.radians(215), rel=1e-15)
    assert site.mast.section[0].outer_diameter == pytest.approx(0.1143, rel=1e-15)
    assert site.mast.section[0].count == 3
    assert site.mast.head is not None
    assert site.mast.head.mass == 75
    assert site.wire["guy"].stiffness == pytest.approx(2.9e6)
    assert site.wire["guy"].breaking_load == 40e3
    assert site.anchors.left.position == (553219.0, 5912473.7)
    assert site.anchors.left.height == 101.32
    assert site.anchors.front.radius is None
    assert site.gin_pole.angle == pytest.approx(math.pi / 2, rel=1e-15)
    assert site.limits.setbacks[0].times == 1.1
    assert site.limits.setbacks[0].basis == "county code 12-3"


def test_folder_and_file_give_the_same(site_folder: Path) -> None:
    assert read_site(site_folder) == read_site(site_folder / "site.toml")
    assert read_site(site_folder).folder == site_folder
    assert read_site(site_folder).resolve("ground.tif") == site_folder / "ground.tif"


def test_record_is_frozen(site_folder: Path) -> None:
    site = read_site(site_folder)
    with pytest.raises(ValidationError, match="frozen"):
        site.mast.front = 0.0  # type: ignore[misc]


def test_imperial_texts(edited: Edit) -> None:
    folder = edited('"17.4 m"', '"57 ft 1 1/16 in"')
    assert read_site(folder).mast.collar[0].height == pytest.approx(57 * 0.3048 + 17 / 16 * 0.0254)


def test_result_units_do_not_change_how_a_number_is_read(edited: Edit) -> None:
    folder = edited('units = "metric"', 'units = "imperial"')
    assert read_site(folder).anchors.radius == 11.0


def test_byte_order_mark_and_windows_line_ends(site_folder: Path) -> None:
    path = site_folder / "site.toml"
    text = path.read_text(encoding="utf-8").replace("\n", "\r\n")
    path.write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert read_site(site_folder).site.name == "Larkrise, top field"


@pytest.mark.parametrize(
    ("old", "new", "key", "rule", "way_out"),
    [
        ("hinge_height", "hinge_hight", "mast.hinge_hight", "not known", "mean hinge_height?"),
        ("hinge_height", "hinge_hight", "mast.hinge_height", "missing", "hinge axis above"),
        ("[gin_pole]", "[ginpole]", "ginpole", "not known", "mean gin_pole?"),
        ('wall = "4.5 mm"', "wall = true", "mast.section[1].wall", "number or text", "metres"),
        ('wall = "4.5 mm"', 'wall = "4.5 kg"', "mast.section[1].wall", "unit of mass", "in met"),
        ('wall = "4.5 mm"', "wall = 0", "mast.section[1].wall", "more than 0 m", "bounds"),
        ('wall = "4.5 mm"', 'wall = "60 mm"', "mast.section[1].wall", "thicker than", "wall or"),
        ("count = 3", "count = 2.5", "mast.section[1].count", "whole number", "correct"),
        ("front = 215.0", "front = 361", "mast.front", "at most 360", "degrees"),
        ("front = 215.0", 'front = "SW"', "mast.front", "in degrees", "plain number"),
        ("front = 215.0", "front = nan", "mast.front", "finite", "number"),
        ('"17.4 m"', '"18.4 m"', "mast.collar[1].height", "above the mast top", "lower"),
        ('wire = "guy"', 'wire = "gui"', "mast.collar[1].wire", "no table", 'mean "guy"?'),
        ('line = "tow_rope"', 'line = "chain"', "tow.line", "no table", "add a table [wire.chain]"),
        ('"22 m"', '"6 m"', "tow.line_length", "not longer than the gin pole", "longer"),
        ('by = "vehicle"', 'by = "tractor"', "tow.by", "vehicle, winch", "write one of"),
        ('vehicle_mass = "2300 kg"', "", "tow.vehicle_mass", "needed", "loaded"),
        ("through_front_anchor = false", "through_front_anchor = 0", "tow.through_front_anchor",
         "true or false", "without quotes"),
        ('dem = "ground.tif"', 'dem = "hill.tif"', "ground.dem", "does not exist", "put the file"),
        ('dem = "ground.tif"', 'dem = "../x.tif"', "ground.dem", "stay in the folder", "copy"),
        ('dem = "ground.tif"', 'dem = "/x.tif"', "ground.dem", "stay in the folder", "copy"),
        ('dem = "ground.tif"', 'dem = "."', "ground.dem", "is a folder", "put the file"),
        ('dem = "ground.tif"', 'dem = "a\\u0000"', "ground.dem", "cannot be a file", "correct"),
        ('dem = "ground.tif"\nsurvey = "survey.csv"', "", "ground", "unknown", "ground.survey"),
        ("crs = \"EPSG:32630\"", 'crs = "EPSG:1"', "site.crs", "not a known", "EPSG:32630"),
        ("crs = \"EPSG:32630\"", 'crs = "EPSG:4326"', "mast.position", "no place", "order"),
        ("[553210.0, 5912480.0]", "[5912480.0, 553210.0]", "mast.position", "no place", "order"),
        ("[553210.0, 5912480.0]", "[553210.0]", "mast.position[2]", "missing", "every value"),
        ("[553210.0, 5912480.0]", "[1.0, 2.0, 3.0]", "mast.position", "at most 2", "remove"),
        ("[553219.0, 5912473.7]", "[0.0, 0.0]", "anchors.left.position", "km from the", "order"),
        ("[553219.0, 5912473.7]", "[553210.0, 5912480.0]", "anchors.left.position", "where the b",
         "correct"),
        ("position = [553219.0, 5912473.7]", "", "anchors.left.height", "measured", "add anchors"),
        ("height = 101.32", "radius = 9", "anchors.left.radius", "settles its radius", "remove"),
        ('radius = "11 m"', "", "anchors.front.radius", "no radius", "give anchors.radius"),
        ("[35.0, 60.0]", "[60.0, 35.0]", "limits.wire_angle", "not below", "[35.0, 60.0]"),
        ('to = "boundary"', 'to = "bondary"', "limits.setback[1].to", "one of", '"boundary"?'),
        ("times = 1.1", "", "limits.setback[1]", "either times", "times = 1.1"),
        ("times = 1.1", "distance = 30", "limits.setback[1].of", "no times", "remove"),
        ('table = "osha"', 'table = "osha"\ndistance = 7', "limits.overhead_line", "exclude", "re"),
        ("format = 1", "format = 2", "format", "whole number, 1", "correct"),
        ('name = "Larkrise, top field"', 'name = " "', "site.name", "empty", "fill it in"),
        ("date = 2026-06-01", 'date = "soon"', "site.date", "a date", "year-month-day"),
        ("[tension]", "[[tension]]", "tension", "table", "[tension]"),
        ("[[mast.collar]]", "[mast.collar]", "mast.collar", "a list", "[[mast.collar]]"),
    ],
)  # fmt: skip
def test_one_slip_gives_key_rule_and_way_out(
    edited: Edit, old: str, new: str, key: str, rule: str, way_out: str
) -> None:
    found = problems_of(edited(old, new))
    assert key in found, f"found only {list(found)}"
    assert rule in found[key].rule
    assert way_out in found[key].way_out
    assert found[key].file.endswith("site.toml")


def test_value_is_shown_as_written(edited: Edit) -> None:
    assert (
        problems_of(edited('"114.3 mm"', '"-4 1/2 in"'))["mast.section[1].outer_diameter"].value
        == "-4 1/2 in"
    )


def test_all_problems_at_once(site_folder: Path) -> None:
    path = site_folder / "site.toml"
    text = path.read_text(encoding="utf-8")
    for old, new in (
        ('mass = "75 kg"', 'mass = "75 m"'),  # a value that cannot be read
        ('"17.4 m"', '"19 m"'),  # a cross-check in the same table
        ('breaking_load = "40 kN"', ""),
        ('"22 m"', '"5 m"'),
        ("ground.tif", "gone.tif"),
        ("[turnbuckle]", "[turnbuckles]"),
    ):
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    assert set(problems_of(site_folder)) == {
        "mast.head.mass",
        "mast.collar[1].height",
        "wire.guy.breaking_load",
        "tow.line_length",
        "ground.dem",
        "turnbuckles",
        "turnbuckle",
    }


def test_link_out_of_the_folder_is_refused(
    site_folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "ground.tif"
    elsewhere.touch()
    (site_folder / "ground.tif").unlink()
    (site_folder / "ground.tif").symlink_to(elsewhere)
    assert "stay in the folder" in problems_of(site_folder)["ground.dem"].rule


def test_another_material_needs_all_three(edited: Edit) -> None:
    folder = edited("count = 3", 'modulus = "70 GPa"\nyield = "160 MPa"')
    assert "density is missing" in problems_of(folder)["mast.section[1].density"].rule


def test_stronger_steel_needs_only_its_yield(edited: Edit) -> None:
    folder = edited("count = 3", 'count = 3\nyield = "355 MPa"')
    section = read_site(folder).mast.section[0]
    assert (section.yield_strength, section.modulus) == (355e6, None)


def test_two_collars_at_one_height(edited: Edit) -> None:
    twice = '[[mast.collar]]\nheight = 17.4\nwire = "guy"\n'
    assert (
        "same height"
        in problems_of(edited("[mast.head]", twice + "[mast.head]"))["mast.collar[2].height"].rule
    )


def test_bad_toml_names_the_line(edited: Edit) -> None:
    assert "valid TOML" in problems_of(edited('name = "Larkrise', "name = Larkrise"))["line 4"].rule


@pytest.mark.parametrize(
    ("content", "rule"),
    [
        (b"\xff\xfe", "UTF-8"),
        (b"a = " + b"[" * 100_000, "nested"),
        (b"a = " + b"9" * 5000, "valid TOML"),
        (b"", "missing"),
    ],
)
def test_not_a_site_file(tmp_path: Path, content: bytes, rule: str) -> None:
    (tmp_path / "site.toml").write_bytes(content)
    with pytest.raises(InputError, match=rule):
        read_site(tmp_path)


def test_no_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        read_site(tmp_path)


def test_coordinates_with_a_unit_become_units_of_the_crs(edited: Edit) -> None:
    # EPSG:2227 counts in US survey feet
    folder = edited('"EPSG:32630"', '"EPSG:2227"')
    path = folder / "site.toml"
    text = path.read_text(encoding="utf-8")
    text = text.replace("[553210.0, 5912480.0]", '["1850 km", "650 km"]').replace(
        "position = [553219.0, 5912473.7]\nheight = 101.32", ""
    )
    path.write_text(text, encoding="utf-8")
    easting, northing = read_site(folder).mast.position
    assert easting == pytest.approx(1850e3 * 3937 / 1200, rel=1e-12)
    assert northing == pytest.approx(650e3 * 3937 / 1200, rel=1e-12)


def test_degrees_take_no_length(edited: Edit) -> None:
    folder = edited('"EPSG:32630"', '"EPSG:4326"')
    path = folder / "site.toml"
    text = path.read_text(encoding="utf-8").replace("553210.0,", '"2 m",')
    path.write_text(text, encoding="utf-8")
    assert "not a length" in problems_of(folder)["mast.position[1]"].rule


@pytest.mark.parametrize(
    "crs",
    [
        "EPSG:4978",  # geocentric
        "EPSG:5703",  # heights only
        "EPSG:2048",  # westing and southing
        'ENGCRS["x",EDATUM["y"],CS[Cartesian,2],AXIS["e",east],AXIS["n",north],LENGTHUNIT["m",1]]',
        "",
    ],
)
def test_crs_without_easting_and_northing_on_earth(example_text: str, crs: str) -> None:
    tables = tomllib.loads(example_text)
    tables["site"]["crs"] = crs
    with pytest.raises(InputError, match=r"site\.crs"):
        parse_site(tables, file="site.toml")


def test_site_without_path_checks_no_files(example_text: str) -> None:
    site = parse_site(tomllib.loads(example_text), file="example")
    assert isinstance(site, SiteFile)
    with pytest.raises(ValueError, match="not read from a file"):
        _ = site.path
