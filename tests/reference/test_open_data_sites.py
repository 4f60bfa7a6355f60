"""The whole program, from a site folder to findings, on open data.

* ``jacksboro_fault_dem.npz`` of matplotlib (3 arc seconds, whole metres; origin and datum are not
  stated, WGS 84 is assumed). Heights expected here: COMPUTED with scipy from the same grid.
* ``test.osm.pbf`` of pyrosm, (c) OpenStreetMap contributors, ODbL 1.0: buildings and one 110 kV
  line. Distance of the probe point from the line, 98.372 m: COMPUTED with geographiclib and with
  an azimuthal equidistant map, which agree, see ``data/osm_power_line_expected.json``. The
  clearance at 110 kV, 15 ft: 29 CFR 1926.1408, Table A, READ in reproductions.
  Heights of buildings and conductors are not in the data; those used here are invented.
"""

import hashlib
import importlib.util
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pyproj
import pytest
import rasterio
import shapely
from matplotlib.cbook import get_sample_data
from pyogrio.raw import read
from rasterio.transform import Affine
from scipy.interpolate import LinearNDInterpolator, RegularGridInterpolator

from visual.checks import Report, assess, results_document
from visual.model import load_model

pytestmark = pytest.mark.reference

WEST, NORTH, CELL = -84.41375, 36.73291666666667, 1 / 1200
TOP = (WEST + 219.5 * CELL, NORTH - 297.5 * CELL)  # the highest point, 1076 m

EXPECTED = json.loads(
    (Path(__file__).parent / "data" / "osm_power_line_expected.json").read_text("utf-8")
)
PROBE = tuple(EXPECTED["probe"]["lon_lat"])

SITE = """\
format = 1
[site]
name = "Open data"
crs = "{crs}"
date = 2026-06-01
[ground]
{ground}
{surroundings}
[mast]
position = [{east!r}, {north!r}]
front = 40.0
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
rotor_diameter = "3.6 m"
rotor_above_top = "0.3 m"
[wire.guy]
diameter = "8 mm"
mass_per_metre = "0.25 kg"
stiffness = "2.9 MN"
breaking_load = "40 kN"
source = "invented"
[anchors]
radius = "11 m"
eye_height = "0.10 m"
[gin_pole]
length = "7 m"
outer_diameter = "88.9 mm"
wall = "4.0 mm"
[tow]
line = "guy"
line_length = "22 m"
vehicle_mass = "2300 kg"
[turnbuckle]
travel = "0.30 m"
end_allowance = "0.40 m"
[[limits.setback]]
to = "overhead_line"
times = 1.5
of = "total_height"
basis = "test rule"
"""


def write_site(folder: Path, crs: str, place: tuple[float, float], **parts: str) -> Path:
    east, north = place
    settings = {"surroundings": "", **parts}
    text = SITE.format(crs=crs, east=float(east), north=float(north), **settings)
    (folder / "site.toml").write_text(text, encoding="utf-8")
    return folder


# The mountain -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def elevation() -> Any:
    with np.load(get_sample_data("jacksboro_fault_dem.npz", asfileobj=False)) as data:
        return data["elevation"].astype(float)


@pytest.fixture(scope="module", params=["EPSG:4326", "EPSG:32616"])
def mountain(request: Any, elevation: Any, tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Return the report of a mast a quarter of a cell off the top, by either CRS."""
    folder = tmp_path_factory.mktemp("mountain")
    rows, columns = elevation.shape
    with rasterio.open(
        folder / "ground.tif",
        "w",
        driver="GTiff",
        count=1,
        height=rows,
        width=columns,
        dtype="int16",
        crs="EPSG:4326",
        transform=Affine(CELL, 0.0, WEST, 0.0, -CELL, NORTH),
    ) as dataset:
        dataset.write(elevation.astype("int16"), 1)
    place = (TOP[0] + CELL / 4, TOP[1] - CELL / 8)
    if request.param != "EPSG:4326":
        place = pyproj.Transformer.from_crs(4326, request.param, always_xy=True).transform(*place)
    ground = 'dem = "ground.tif"\naccuracy = "5 m"'
    return assess(load_model(write_site(folder, request.param, place, ground=ground)))


def test_height_at_the_base(mountain: Report, elevation: Any) -> None:
    """A quarter of a cell east and an eighth south, on the triangle towards the south-east."""
    z, east, south = elevation[297, 219], elevation[297, 220], elevation[298, 219]
    far = elevation[298, 220]
    splits = (
        z + (east - z) / 4 + (south - z) / 8,  # cut from south-west to north-east
        z + (east - z) / 4 + (far - east) / 8,  # cut from north-west to south-east
    )
    found = mountain.model.frame.origin_height - 0.25
    assert min(abs(found - one) for one in splits) < 1e-4  # a cell is not quite a parallelogram


def test_heights_all_around_against_scipy(mountain: Report, elevation: Any) -> None:
    """Triangles and a bilinear patch share corners; between them they differ by the twist."""
    model, rng = mountain.model, np.random.default_rng(3)
    x, y = rng.uniform(-60.0, 60.0, size=(2, 400))
    lon, lat = model.frame.geographic(x, y)
    rows, columns = (np.arange(n) for n in elevation.shape)
    row, column = (NORTH - lat) / CELL - 0.5, (lon - WEST) / CELL - 0.5
    smooth = RegularGridInterpolator((rows, columns), elevation)(np.column_stack([row, column]))
    i, j = np.floor(row).astype(int), np.floor(column).astype(int)
    twist = np.abs(
        elevation[i, j] + elevation[i + 1, j + 1] - elevation[i + 1, j] - elevation[i, j + 1]
    )
    found = model.frame.height(model.ground.height(x, y))
    assert (np.abs(found - smooth) <= twist / 4 + 0.02).all()


def test_drawn_triangles_are_the_surface(mountain: Report) -> None:
    """Corners of the triangles, interpolated by scipy within each one, give the heights back."""
    ground, rng = mountain.model.ground, np.random.default_rng(4)
    for corners in ground.triangles(-40.0, -40.0, 40.0, 40.0)[:20]:
        share = rng.dirichlet((1.0, 1.0, 1.0))
        x, y, _ = share @ corners
        by_scipy = LinearNDInterpolator(corners[:, :2], corners[:, 2])(x, y)
        assert ground.height(float(x), float(y)) == pytest.approx(float(by_scipy), abs=1e-6)


def test_anchors_stand_on_the_mountain_at_true_distances(mountain: Report) -> None:
    document = results_document(mountain)
    geodesic, frame = pyproj.Geod(ellps="WGS84"), mountain.model.frame
    origin = frame.geographic(0.0, 0.0)
    raised = 1.0 + frame.origin_height / 6.371e6
    for anchor in document["anchors"]:
        lon, lat = frame.geographic(anchor["x"], anchor["y"])
        _, _, along = geodesic.inv(*origin, lon, lat)
        assert along * raised == pytest.approx(11.0, abs=1e-4)
        assert anchor["horizontal_distance"] == pytest.approx(11.0, abs=1e-9)
        below = mountain.model.ground.height(anchor["x"], anchor["y"])
        assert anchor["height"] == pytest.approx(frame.height(below) + 0.10, abs=1e-9)


def test_nobody_looked_for_surroundings_on_the_mountain(mountain: Report) -> None:
    found = {(f.check, f.subject): f.status for f in mountain.findings}
    assert found["clearance", "surroundings"] == "not checked"
    assert found["setback", "overhead_line"] == "not checked"
    json.dumps(results_document(mountain), allow_nan=False)


def test_declination_on_the_mountain_is_west_a_few_degrees(mountain: Report) -> None:
    """Eastern Tennessee lies west of north by five to six degrees in 2026 (WMM2025, COMPUTED)."""
    assert mountain.model.frame.declination is not None
    assert -6.5 < math.degrees(mountain.model.frame.declination.value) < -4.5


# The power line ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def osm_file() -> Path:
    package = importlib.util.find_spec("pyrosm")
    assert package is not None
    assert package.origin is not None
    return Path(package.origin).parent / "data" / "test.osm.pbf"


def test_data_are_the_data(osm_file: Path) -> None:
    assert hashlib.sha256(osm_file.read_bytes()).hexdigest() == EXPECTED["sha256"]


def layer(file: Path, name: str) -> list[tuple[dict[str, Any], Any]]:
    meta, _, shapes, fields = read(file, layer=name)
    values = dict(zip(meta["fields"], fields, strict=True))
    # the extract cuts some outlines off; what is left of them is no outline any more
    geometries = shapely.from_wkb(shapes, on_invalid="ignore")
    return [
        ({key: column[i] for key, column in values.items()}, shape)
        for i, shape in enumerate(geometries)
        if shape is not None and shape.is_valid
    ]


def surroundings(file: Path) -> dict[str, Any]:
    """Return buildings near the probe and the 110 kV line as GeoJSON, with invented heights."""
    around = shapely.Point(PROBE).buffer(0.004)
    features = []
    for values, shape in layer(file, "multipolygons"):
        if values["building"] and shape.intersects(around):
            features.append(({"kind": "building", "height": 6.0}, shape))
    for values, shape in layer(file, "lines"):
        tags = values["other_tags"] or ""
        if '"power"=>"line"' in tags:
            assert '"voltage"=>"110000"' in tags
            properties = {"kind": "overhead_line", "name": "110 kV line"}
            features.append(({**properties, "height": 18.0, "voltage_kv": 110.0}, shape))
    return {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "properties": properties,
                "geometry": json.loads(shapely.to_geojson(shape)),
            }
            for properties, shape in features
        ],
    }


@pytest.fixture(scope="module", params=["EPSG:4326", "EPSG:3067", "EPSG:3857"])
def beside_line(request: Any, osm_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Return the report of a mast at the probe point, on level ground, by one of three CRS.

    EPSG:3067 shortens lengths by 0.04 %, EPSG:3857 doubles them.
    """
    folder = tmp_path_factory.mktemp("line")
    text = json.dumps(surroundings(osm_file))
    (folder / "around.geojson").write_text(text, encoding="utf-8")
    corners = [(26.93, 60.52), (26.97, 60.52), (26.97, 60.545), (26.93, 60.545), PROBE]
    if request.param == "EPSG:4326":
        points = corners
    else:
        to_grid = pyproj.Transformer.from_crs(4326, request.param, always_xy=True)
        points = [to_grid.transform(*corner) for corner in corners]
    rows = [f"{i},{x!r},{y!r},50.0,ground" for i, (x, y) in enumerate(points)]
    survey = "\n".join(["point,easting,northing,height,code", *rows])
    (folder / "survey.csv").write_text(survey, encoding="utf-8")
    return assess(
        load_model(
            write_site(
                folder,
                request.param,
                points[-1],
                ground='survey = "survey.csv"',
                surroundings='[surroundings]\nfile = "around.geojson"\ncrs = "EPSG:4326"',
            )
        )
    )


def test_distance_from_the_line_in_plan(beside_line: Report) -> None:
    (setback,) = beside_line.setbacks
    # at 50 m above the ellipsoid a tape reads longer by 50 / 6 371 000
    expected = EXPECTED["probe"]["distance_to_110kV_line_m_geodesic"] * (1 + 50.25 / 6.371e6)
    assert setback.distance == pytest.approx(expected, abs=1e-3)
    assert setback.distance == pytest.approx(98.372, abs=2e-3)
    assert setback.required == pytest.approx(1.5 * (0.25 + 18.3 + 1.8))


def test_spans_between_the_towers(beside_line: Report) -> None:
    (line,) = beside_line.model.surroundings.lines
    spans = np.linalg.norm(np.diff(line.supports[:, :2], axis=0), axis=1)
    expected = EXPECTED["power_ways"][0]["span_m_WGS84_geodesic"]
    np.testing.assert_allclose(spans, expected, atol=3e-3)


def test_table_a_at_110_kv(beside_line: Report) -> None:
    to_line = [f for f in beside_line.findings if f.check == "overhead line"]
    assert len(to_line) == 2  # what moves, and a mast that falls
    for finding in to_line:
        assert finding.status == "ok"
        assert finding.limit == pytest.approx(15 * 0.3048)
        assert "110 kV" in finding.basis
    assert all(60.0 < finding.value < 98.4 for finding in to_line)


def test_buildings_near_the_probe(beside_line: Report) -> None:
    buildings = beside_line.model.surroundings.buildings
    assert len(buildings) > 20
    assert all(math.isfinite(building.top) for building in buildings)
    measured = {clearance.obstacle.name for clearance in beside_line.clearances}
    assert len(measured) == len(buildings) + 1
    # shapely measures in plan, the program in space from a mast that leans towards the south-west
    nearest = min(b.footprint.distance(shapely.Point(0.0, 0.0)) for b in buildings)
    reach = beside_line.model.rig.mast.reach
    least = min(c.closest.distance for c in beside_line.clearances if c.part == "rotor")
    assert least > nearest - reach - 0.001
