"""Layers of a GeoPackage, read back by a second reader."""

from pathlib import Path

import pyogrio
import pytest
from shapely.geometry import LineString

from visual.frame import make_frame
from visual.site import VectorLayer, write_geopackage


@pytest.mark.parametrize("crs", ["local", "EPSG:32630"])
def test_a_layer_is_where_it_was_whatever_the_coordinate_system(tmp_path: Path, crs: str) -> None:
    frame = make_frame(crs=crs, easting=553100.0, northing=5912500.0, height=200.0, date=None)
    path = tmp_path / "one.gpkg"
    line = LineString([(0.0, 0.0), (10.0, 0.0)])
    write_geopackage(
        path, [VectorLayer("lines", "LineString", [line], {"name": ["a"]})], frame=frame
    )
    info = pyogrio.read_info(path, layer="lines")
    assert info["features"] == 1
    assert (info["crs"] or "local") == crs
    assert info["total_bounds"][:2] == pytest.approx((553100.0, 5912500.0), abs=1e-3)
