"""A site folder that is right in every way, for tests to spoil."""

from collections.abc import Callable
from pathlib import Path

import pytest

EXAMPLE = """\
format = 1

[site]
name = "Larkrise, top field"
crs = "EPSG:32630"
units = "metric"
date = 2026-06-01

[ground]
dem = "ground.tif"
survey = "survey.csv"
accuracy = "0.15 m"

[surroundings]
file = "surroundings.geojson"

[mast]
position = [553210.0, 5912480.0]
front = 215.0
hinge_height = "0.25 m"
[[mast.section]]
length = "6 m"
outer_diameter = "114.3 mm"
wall = "4.5 mm"
count = 3
[[mast.collar]]
height = "17.4 m"
wire = "guy"
[mast.head]
mass = "75 kg"
centre_above_top = "0.3 m"
centre_to_front = "0.0 m"
rotor_diameter = "3.6 m"
rotor_above_top = "0.3 m"

[wire.guy]
diameter = "8 mm"
mass_per_metre = "0.25 kg"
stiffness = "2.9 MN"
breaking_load = "40 kN"
source = "catalogue page or standard table"
[wire.tow_rope]
diameter = "12 mm"
mass_per_metre = "0.5 kg"
stiffness = "5 MN"
breaking_load = "80 kN"

[anchors]
radius = "11 m"
eye_height = "0.10 m"
capacity = "12 kN"
[anchors.left]
position = [553219.0, 5912473.7]
height = 101.32

[gin_pole]
length = "7 m"
angle = 90.0
outer_diameter = "88.9 mm"
wall = "4.0 mm"

[tow]
by = "vehicle"
line = "tow_rope"
line_length = "22 m"
hitch_height = "0.5 m"
through_front_anchor = false
vehicle_mass = "2300 kg"
grip = 0.35
rolling = 0.06

[tension]
share_of_breaking = 0.10
[turnbuckle]
travel = "0.30 m"
end_allowance = "0.40 m"

[limits]
wire_angle = [35.0, 60.0]
design_factor = 5.0
trestle = "0.5 m"
head_clearance = "0.3 m"
[[limits.setback]]
to = "boundary"
from = "base"
times = 1.1
of = "total_height"
basis = "county code 12-3"
[limits.overhead_line]
table = "osha"
"""


@pytest.fixture(scope="session")
def example_text() -> str:
    """The example of the site file, with every section in it."""
    return EXAMPLE


@pytest.fixture
def site_folder(tmp_path: Path) -> Path:
    """A folder with the example and (empty) files of the names it gives."""
    for name in ("ground.tif", "survey.csv", "surroundings.geojson"):
        (tmp_path / name).touch()
    (tmp_path / "site.toml").write_text(EXAMPLE, encoding="utf-8")
    return tmp_path


@pytest.fixture
def edited(site_folder: Path) -> Callable[..., Path]:
    """Replace a text of the example that stands in it once; give the folder."""

    def edit(old: str, new: str) -> Path:
        path = site_folder / "site.toml"
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return site_folder

    return edit
