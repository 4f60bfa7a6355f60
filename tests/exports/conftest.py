"""One small site with everything on it, judged and exported once."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon, box

from visual.checks import Report, assess
from visual.exports import ALL, make_drawing, write_exports
from visual.exports.drawing import Drawing
from visual.model import Model
from visual.site import Feature

NAMES = {
    "building": "<script>alert('x')</script> & \"barn\"",
    "tree": '=HYPERLINK("http://x")',
    "overhead_line": "линия 電線 خط\nline 2\tend",
    "boundary": "long " * 800,
    "road": "100%%c ^J lane",
    "viewpoint": "-2+3 @home",
    "keep_out": "\x07bell\u2028 and more",
}
"""Names nobody should give, by kind."""

EASTING, NORTHING = 553210.0, 5912480.0


def slope(x, y):
    return 80.0 + 0.08 * (x - EASTING) - 0.05 * (y - NORTHING)


def features() -> tuple[Feature, ...]:
    yard = Polygon(box(14, 6, 24, 14).exterior, [box(17, 8, 20, 11).exterior.coords])
    return (
        Feature("building", NAMES["building"], yard, 1, height=5.0),
        Feature("tree", NAMES["tree"], Point(-12, 9), 2, height=7.0, crown_radius=2.0),
        Feature(
            "overhead_line",
            NAMES["overhead_line"],
            LineString([(-30, -20), (10, -22), (40, -21)]),
            3,
            voltage_kv=11.0,
            conductor_heights=(8.0, 8.0, 8.0),
            sag=0.6,
            spread=1.2,
        ),
        Feature("boundary", NAMES["boundary"], box(-35, -40, 45, 38), 4),
        Feature("road", NAMES["road"], box(-34, 25, 44, 29), 5),
        Feature("viewpoint", NAMES["viewpoint"], Point(20, 20), 6),
        Feature("keep_out", NAMES["keep_out"], Point(-20, -5).buffer(3.0), 7),
    )


CHANGES = {
    "site": {"name": "Högfält <b>&amp;</b>\n丘", "crs": "EPSG:32630", "date": dt.date(2026, 6, 1)},
    "mast": {
        "position": [EASTING, NORTHING],
        "front": 215.0,
        "head": {
            "mass": 40.0,
            "centre_above_top": 0.3,
            "rotor_diameter": 2.4,
            "rotor_above_top": 0.3,
        },
    },
    "limits": {
        "setback": [
            {"to": "boundary", "from": "base", "times": 1.1, "of": "total_height", "basis": "=1+1"},
            {"to": "road", "from": "nearest_part", "distance": 20.0, "basis": "+rule"},
        ]
    },
}


@dataclass(frozen=True)
class Exported:
    """A judged site and all its files, by what stands after the name of the site."""

    report: Report
    drawing: Drawing
    files: Mapping[str, Path]

    @property
    def model(self) -> Model:
        return self.report.model

    def grid(self, points) -> np.ndarray:
        """Return easting, northing and height of local points, without the exporters."""
        x, y, z = np.atleast_2d(points).T
        easting, northing = self.model.frame.to_grid(x, y)
        return np.column_stack([easting, northing, z + self.model.frame.origin_height])


def exported(report: Report, folder: Path) -> Exported:
    written = write_exports(report, [ALL], folder)
    files = {one.path.name.removeprefix("site"): one.path for one in written}
    return Exported(report, make_drawing(report), files)


@pytest.fixture(scope="session")
def full(make_model, tmp_path_factory) -> Exported:
    """Return a site on Earth with everything around, under hostile names."""
    model = make_model(slope, CHANGES, features=features())
    return exported(assess(model), tmp_path_factory.mktemp("full"))


@pytest.fixture(scope="session")
def plain(make_model, tmp_path_factory) -> Exported:
    """Return a site with no place on Earth and nothing around."""
    return exported(assess(make_model()), tmp_path_factory.mktemp("plain"))
