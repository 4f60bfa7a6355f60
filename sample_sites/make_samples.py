"""Make the data files of the sample sites: invented places, the same bytes every time.

Run ``python sample_sites/make_samples.py``; it writes

* ``hill_paddock/ground.tif`` and ``hill_paddock/surroundings.geojson``,
* ``terrace/survey.csv``,
* ``flat_yard/survey.csv``.

The site files and the README of each folder are written by hand.

The hill paddock is laid out in field coordinates (p, q) about the first mast position: p runs
along the lower hedge to the north-east (bearing 35°), q square to it up the hill to the
north-west (bearing 305°).
"""

import csv
import json
import math
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
import rasterio
import shapely
from numpy.typing import NDArray
from pyproj import Transformer
from rasterio.transform import Affine
from shapely.geometry import LineString, Point, Polygon, mapping
from shapely.geometry.base import BaseGeometry

Array = NDArray[np.float64]
Row = tuple[str | float | None, ...]
"""Survey row: point, easting, northing, height, code and what follows in the header."""

HERE = Path(__file__).resolve().parent
SEED = 20260601

# --- hill paddock -----------------------------------------------------------------------------

HILL_CRS = "EPSG:32630"
HILL_ORIGIN = (553210.0, 5912480.0)  # easting, northing of p = q = 0
HILL_CORNER = (552950.0, 5912702.0)  # easting, northing of the north-west corner of the DEM
HILL_CELL = 2.0  # [m]
HILL_CELLS = 210
HILL_HEIGHT = 200.0  # [m] about the height at p = q = 0
ALONG = math.radians(35.0)  # bearing of the p axis

TRACK = LineString(
    [(12, -14), (16, -2), (15, 12), (4, 25), (-22, 33), (-62, 36), (-100, 44), (-128, 62)]
)
"""Centre line of the farm track, (p, q) [m]."""

POLES = [(21.0 + 0.12 * q, q) for q in (-112.0, -38.0, 44.0, 122.0, 196.0)]
"""Poles of the 11 kV line, (p, q) [m]."""


def field_to_local(p: Array, q: Array) -> tuple[Array, Array]:
    """Turn field coordinates into metres east and north of the first mast position."""
    return p * math.sin(ALONG) - q * math.cos(ALONG), p * math.cos(ALONG) + q * math.sin(ALONG)


def local_to_field(x: Array, y: Array) -> tuple[Array, Array]:
    """Turn metres east and north of the first mast position into field coordinates."""
    return x * math.sin(ALONG) + y * math.cos(ALONG), -x * math.cos(ALONG) + y * math.sin(ALONG)


def waves(
    x: Array, y: Array, *, seed: int, count: int, shortest: float, longest: float, sigma: float
) -> Array:
    """Return smooth random heights: a sum of plane waves from all sides, zero on average [m]."""
    rng = np.random.default_rng(seed)
    total = np.zeros_like(x)
    for number in range(count):
        bearing = math.pi * (number + rng.uniform()) / count
        length = shortest * (longest / shortest) ** rng.uniform()
        phase = rng.uniform(0.0, 2 * math.pi)
        distance = x * math.sin(bearing) + y * math.cos(bearing)
        total += np.cos(2 * math.pi * distance / length + phase)
    return total * sigma * math.sqrt(2 / count)


def hill_side(q: Array) -> Array:
    """Return the height of the hill on the line p = -60, steepest near q = 25 [m]."""
    step = np.linspace(-400.0, 400.0, 1601)
    slope = 0.030 + 0.075 * np.exp(-(((step - 25.0) / 45.0) ** 2))
    slope -= 0.060 / (1.0 + np.exp(-(step - 112.0) / 20.0))
    rise = (slope[1:] + slope[:-1]) / 2 * np.diff(step)
    height = np.concatenate([[0.0], np.cumsum(rise)])
    return np.interp(q, step, height - np.interp(0.0, step, height))


def gully_line(q: Array) -> Array:
    """Return p of the bottom of the gully [m]."""
    return 94.0 + 9.0 * np.sin(q / 38.0)


def bare_hill(p: Array, q: Array) -> Array:
    """Return the height of the hill without its track and roughness [m]."""
    nose = 45.0 * (np.sqrt(1.0 + ((p + 60.0) / 300.0) ** 2) - 1.0)
    gully = 1.8 * np.exp(-(((p - gully_line(q)) / 11.0) ** 2)) / (1.0 + np.exp((q - 95.0) / 20.0))
    wet = 0.25 * np.exp(-(((p + 33.0) / 8.0) ** 2) - ((q - 3.0) / 6.0) ** 2)
    undulation = waves(p, q, seed=SEED, count=24, shortest=50.0, longest=120.0, sigma=0.18)
    return HILL_HEIGHT + hill_side(q) - nose - gully - wet + undulation


def hill_height(x: Array, y: Array) -> Array:
    """Return the ground of the paddock: the hill, the bench of the track, the roughness [m]."""
    p, q = local_to_field(x, y)
    place = shapely.points(p, q)
    middle = shapely.line_interpolate_point(TRACK, shapely.line_locate_point(TRACK, place))
    away = shapely.distance(place, middle)
    blend = np.clip((away - 1.8) / 2.4, 0.0, 1.0)
    cut = 1.0 - blend * blend * (3.0 - 2.0 * blend)
    bench = bare_hill(shapely.get_x(middle), shapely.get_y(middle))
    rough = waves(x, y, seed=SEED + 1, count=80, shortest=6.0, longest=18.0, sigma=0.025)
    return bare_hill(p, q) * (1.0 - cut) + bench * cut + rough


def write_hill_ground(folder: Path) -> None:
    """Write the DEM of the hill paddock, heights to the centimetre."""
    middle = (np.arange(HILL_CELLS) + 0.5) * HILL_CELL
    x, y = np.meshgrid(
        HILL_CORNER[0] - HILL_ORIGIN[0] + middle, HILL_CORNER[1] - HILL_ORIGIN[1] - middle
    )
    heights = np.round(hill_height(x, y), 2).astype(np.float32)
    profile = {
        "driver": "GTiff",
        "width": HILL_CELLS,
        "height": HILL_CELLS,
        "count": 1,
        "dtype": "float32",
        "crs": HILL_CRS,
        "transform": Affine(HILL_CELL, 0.0, HILL_CORNER[0], 0.0, -HILL_CELL, HILL_CORNER[1]),
        "nodata": -9999.0,
        "compress": "deflate",
        "predictor": 3,
    }
    with rasterio.open(folder / "ground.tif", "w", **profile) as file:
        file.write(heights, 1)
        file.units = ("metre",)


def ellipse(p: float, q: float, half_p: float, half_q: float) -> Polygon:
    """Return an ellipse of 24 corners in field coordinates."""
    turn = np.arange(24) * 2 * math.pi / 24
    return Polygon(np.column_stack([p + half_p * np.cos(turn), q + half_q * np.sin(turn)]))


def box(p0: float, q0: float, p1: float, q1: float) -> Polygon:
    """Return a rectangle in field coordinates."""
    return Polygon([(p0, q0), (p1, q0), (p1, q1), (p0, q1)])


def strip(places: Iterable[tuple[float, float]], width: float) -> Polygon:
    """Return a strip of a width along a line with flat ends."""
    return LineString(places).buffer(width / 2, cap_style="flat", join_style="mitre")


def hill_buildings() -> list[tuple[BaseGeometry, dict[str, object]]]:
    """Return the buildings of the hill paddock."""
    house = Polygon([(48, -52), (62, -52), (62, -44), (55, -44), (55, -38), (48, -38)])
    return [
        (house, {"kind": "building", "name": "house", "height": 7.0}),
        (box(-16, -27, 4, -15), {"kind": "building", "name": "barn", "height": 6.0}),
        (box(30, -24, 35, -20), {"kind": "building", "name": "shed", "height": 2.6}),
        (box(-75, -88, -63, -80), {"kind": "building", "name": "cottage", "height": 6.5}),
    ]


def hill_trees() -> list[tuple[BaseGeometry, dict[str, object]]]:
    """Return the trees: a row in the lower hedge, a copse in the west, three alone."""
    row = [
        (-112.0 + 11.0 * n, -8.5 + 0.4 * math.sin(2.0 * n), 6.0 + 0.5 * (n % 4)) for n in range(6)
    ]
    copse = [(-150, 8, 11.0), (-145, 15, 12.0), (-153, 19, 10.5), (-147, 24, 11.5), (-142, 5, 9.0)]
    alone = [(6.5, -10.0, 5.0), (43.0, -41.0, 6.0), (68.0, -36.0, 7.5)]
    names = ["hedge ash"] * 6 + ["copse oak"] * 5 + ["hawthorn", "pear tree", "walnut"]
    trees: list[tuple[BaseGeometry, dict[str, object]]] = []
    for number, ((p, q, height), name) in enumerate(
        zip([*row, *copse, *alone], names, strict=True)
    ):
        label = f"{name} {number % 6 + 1}" if number < 11 else name
        crown = round(0.3 * height, 1)
        trees.append(
            (
                Point(p, q),
                {"kind": "tree", "name": label, "height": height, "crown_radius": crown},
            )
        )
    return trees


def hill_areas() -> list[tuple[BaseGeometry, dict[str, object]]]:
    """Return boundary, roads, water and keep-outs."""
    lower = [(-126, -6), (-60, -9.6), (0, -10.3), (74, -11)]
    upper = [(78, 40), (76, 118), (20, 131), (-70, 134), (-130, 122), (-133, 50)]
    parcel = Polygon([*lower, *upper])
    lane = [(-165, -70), (-110, -71), (-50, -68), (10, -64), (70, -65), (130, -70), (158, -70)]
    steps = np.arange(92.0, -43.0, -6.0)
    stream = list(zip(gully_line(steps).tolist(), steps.tolist(), strict=True))
    return [
        (parcel, {"kind": "boundary", "name": "top field"}),
        (strip(lane, 4.4), {"kind": "road", "name": "lane"}),
        (strip([(9, -62), (9, -45), (10, -28), (12, -14)], 3.4), {"kind": "road", "name": "drive"}),
        (TRACK.buffer(1.6, cap_style="flat", quad_segs=4), {"kind": "road", "name": "farm track"}),
        (strip(stream, 1.2), {"kind": "water", "name": "stream"}),
        (ellipse(87, -47, 9, 7), {"kind": "water", "name": "pond"}),
        (ellipse(-33, 3, 8, 6), {"kind": "keep_out", "name": "wet ground"}),
        (strip([(-34, -3), (-36, -9.4)], 1.0), {"kind": "keep_out", "name": "buried drain"}),
    ]


def hill_line_and_views() -> list[tuple[BaseGeometry, dict[str, object]]]:
    """Return the overhead line and the viewpoints."""
    line = {
        "kind": "overhead_line",
        "name": "11 kV line",
        "voltage_kv": 11,
        "conductor_heights": [8.5, 8.7, 8.5, 8.4, 8.5],
        "sag": 0.9,
        "spread": 1.6,
    }
    views = [("cottage window", -68.0, -79.8, 4.2), ("lane gate", 9.0, -62.5, 1.6)]
    views.append(("house terrace", 52.0, -36.0, 1.6))
    return [
        (LineString(POLES), line),
        *(
            (Point(p, q), {"kind": "viewpoint", "name": name, "eye_height": eye})
            for name, p, q, eye in views
        ),
    ]


def to_geographic(places: Array) -> Array:
    """Turn field coordinates, shape (n, 2), into longitude and latitude on WGS 84 [degrees]."""
    x, y = field_to_local(places[:, 0], places[:, 1])
    transformer = Transformer.from_crs(HILL_CRS, "EPSG:4326", always_xy=True)
    longitude, latitude = transformer.transform(x + HILL_ORIGIN[0], y + HILL_ORIGIN[1])
    return np.round(np.column_stack([longitude, latitude]), 8)  # about a millimetre


def write_hill_surroundings(folder: Path) -> None:
    """Write the surroundings of the hill paddock, one feature a line (GeoJSON, RFC 7946)."""
    placed = hill_buildings() + hill_line_and_views() + hill_areas() + hill_trees()
    lines = []
    for shape, properties in placed:
        shown = shapely.orient_polygons(shapely.transform(shape, to_geographic))
        feature = {"type": "Feature", "properties": properties, "geometry": mapping(shown)}
        lines.append(json.dumps(feature))
    text = '{"type": "FeatureCollection", "features": [\n' + ",\n".join(lines) + "\n]}\n"
    (folder / "surroundings.geojson").write_text(text, encoding="utf-8", newline="\n")


# --- terrace ----------------------------------------------------------------------------------

TERRACE_WEST, TERRACE_EAST = 1000.0, 1160.0  # [ft]
TERRACE_SOUTH, TERRACE_NORTH = 1980.0, 2150.0  # [ft]
BANK = 10.0  # [ft] width of the bank in plan

TERRACE_HEADER = (
    "point",
    "easting (ft)",
    "northing (ft)",
    "height (ft)",
    "code",
    "feature height (ft)",
    "crown radius (ft)",
    "voltage_kv",
    "sag (ft)",
)
TERRACE_HOUSE = Polygon(
    [(1006, 2088), (1034, 2088), (1034, 2098), (1044, 2098), (1044, 2124), (1006, 2124)]
)
"""Outline of the house on the terrace [ft]."""


def bank_top(easting: Array | float) -> Array:
    """Return the northing of the upper edge of the bank [ft]."""
    return 2051.0 + 2.5 * np.sin((np.asarray(easting) - 1080.0) / 35.0)


def terrace_height(easting: Array | float, northing: Array | float) -> Array:
    """Return the ground of the terrace: two near-level lawns and the bank between [ft]."""
    behind = np.asarray(northing) - bank_top(easting)
    upper = 312.0 + 0.004 * np.maximum(behind, 0.0)
    lower = 305.0 + 0.012 * np.minimum(behind + BANK, 0.0)
    share = np.clip((behind + BANK) / BANK, 0.0, 1.0)
    return lower + (upper - lower) * share


def terrace_ground() -> list[tuple[float, float]]:
    """Return where the crew held the staff: a rough grid, the top and the toe of the bank [ft]."""
    rng = np.random.default_rng(SEED + 2)
    columns = np.linspace(TERRACE_WEST, TERRACE_EAST, 8)
    rows = [TERRACE_SOUTH, 2003.0, 2026.0, 2068.0, 2088.0, 2109.0, 2130.0, TERRACE_NORTH]
    places = []
    for northing in rows:
        for easting in columns:
            rim = easting in (TERRACE_WEST, TERRACE_EAST) or northing in (rows[0], rows[-1])
            shift = np.zeros(2) if rim else rng.uniform(-4.0, 4.0, size=2)
            place = (easting + float(shift[0]), northing + float(shift[1]))
            if not TERRACE_HOUSE.buffer(3.0).contains(Point(place)):
                places.append(place)
    edge = np.linspace(TERRACE_WEST, TERRACE_EAST, 11)
    places += [(easting, float(bank_top(easting))) for easting in edge]
    places += [(easting, float(bank_top(easting)) - BANK) for easting in edge]
    return places


def terrace_points() -> list[tuple[float, float, Row]]:
    """Return every place of the terrace where the staff was held, with what stands there [ft]."""
    house = [(e, n, ("building house", 18)) for e, n in TERRACE_HOUSE.exterior.coords[:-1]]
    service = [(1136, 1990), (1139, 2066), (1142, 2144)]
    plot = [(1002, 1984), (1158, 1984), (1158, 2148), (1002, 2148)]
    return [
        *((e, n, ("ground",)) for e, n in terrace_ground()),
        *house,
        *((e, n, ("overhead_line service line", 20, None, 0.4, 1)) for e, n in service),
        *((e, n, ("boundary plot",)) for e, n in plot),
        (1150, 2004, ("tree apple", 14, 6)),
        (1152, 2120, ("tree plum", 16, 6)),
        (1012, 2016, ("tree rowan", 24, 7)),
        (1046, 2112, ("viewpoint porch",)),
        (1030, 1990, ("viewpoint lower gate",)),
    ]


def terrace_rows() -> list[Row]:
    """Return the survey of the terrace [ft]."""
    rng = np.random.default_rng(SEED + 3)
    return [
        (str(number), e, n, float(terrace_height(e, n)) + rng.uniform(-0.03, 0.03), *extra)
        for number, (e, n, extra) in enumerate(terrace_points(), start=1)
    ]


# --- flat yard --------------------------------------------------------------------------------

YARD_HEADER = ("point", "easting", "northing", "height", "code", "feature height")


def yard_rows() -> list[Row]:
    """Return the survey of the flat yard: a grid of 20 m and the corners of a shed [m]."""
    grid = [(1000 + 20 * i, 2000 + 20 * j, ("ground",)) for j in range(5) for i in range(5)]
    shed = [(1020, 2030), (1025, 2030), (1025, 2050), (1020, 2050)]
    corners = [(e, n, ("building shed", 3)) for e, n in shed]
    return [(str(n), e, y, 50.0, *extra) for n, (e, y, extra) in enumerate(grid + corners, start=1)]


def write_survey(path: Path, header: Sequence[str], rows: Iterable[Row], separator: str) -> None:
    """Write a survey file: coordinates and heights to the hundredth of their unit."""
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, delimiter=separator, lineterminator="\n")
        table.writerow(header)
        for name, easting, northing, height, *extra in rows:
            cells = [name, f"{easting:.2f}", f"{northing:.2f}", f"{height:.2f}", *extra]
            table.writerow([*cells, *[""] * (len(header) - len(cells))])


def main(folder: Path = HERE) -> None:
    """Write all data files of the sample sites below a folder."""
    for name in ("hill_paddock", "terrace", "flat_yard"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    write_hill_ground(folder / "hill_paddock")
    write_hill_surroundings(folder / "hill_paddock")
    write_survey(folder / "terrace" / "survey.csv", TERRACE_HEADER, terrace_rows(), ";")
    write_survey(folder / "flat_yard" / "survey.csv", YARD_HEADER, yard_rows(), ",")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
