"""The block on Dask of docs/search.md, run as it stands on two processes of this machine."""

import json
import re
from pathlib import Path

import numpy as np
import pytest
import rasterio
import tomlkit
from affine import Affine

from visual.model import load_model
from visual.search.run import search

PAGE = Path(__file__).parents[2] / "docs" / "search.md"
ADDRESS = "tcp://scheduler.example:8786"
EAST, NORTH, LONG, WIDE, CELL = 553_000.0, 5_912_000.0, 292.0, 17.0, 2.0
CRS = "EPSG:32630"


def dask_block() -> str:
    """Return the code block that speaks to a scheduler."""
    blocks = re.findall(r"```python\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    (found,) = [block for block in blocks if ADDRESS in block]
    return found


def feature(properties, kind, coordinates):
    return {
        "type": "Feature",
        "properties": properties,
        "geometry": {"type": kind, "coordinates": coordinates},
    }


@pytest.fixture
def county(tmp_path, rig_tables):
    """A long, narrow field of two tiles with a shrub in it, as files."""
    folder = tmp_path / "county"
    folder.mkdir()
    columns, rows = int(LONG / CELL) + 60, 60
    x, y = np.meshgrid(np.arange(columns), np.arange(rows))
    z = (50.0 + 0.2 * np.sin(x / 9.0) + 0.1 * np.cos(y / 7.0)).astype("float32")
    with rasterio.open(
        folder / "ground.tif", "w", driver="GTiff", width=columns, height=rows, count=1,
        dtype="float32", crs=CRS, transform=Affine(CELL, 0, EAST - 60, 0, -CELL, NORTH + 60),
    ) as file:  # fmt: skip
        file.write(z, 1)
    ends = [[0, 0], [LONG, 0], [LONG, WIDE], [0, WIDE], [0, 0]]
    field = [[EAST + a, NORTH + b] for a, b in ends]
    shrub = {"kind": "tree", "name": "shrub", "height": 0.5, "crown_radius": 0.3}
    features = [
        feature({"kind": "boundary", "name": "field"}, "Polygon", [field]),
        feature(shrub, "Point", [EAST + 1.0, NORTH + 11.0]),
    ]
    named = {"type": "name", "properties": {"name": CRS}}
    text = json.dumps({"type": "FeatureCollection", "crs": named, "features": features})
    (folder / "around.geojson").write_text(text, encoding="utf-8")
    tables = {**rig_tables, "site": {"name": "Long field", "crs": CRS}}
    tables["mast"] = {**tables["mast"], "position": [EAST + 40.0, NORTH + WIDE / 2]}
    tables["surroundings"] = {"file": "around.geojson"}
    (folder / "site.toml").write_text(tomlkit.dumps(tables), encoding="utf-8")
    return folder


def test_the_block_of_the_page_finds_what_a_search_here_finds(county, monkeypatch):
    distributed = pytest.importorskip("distributed")
    monkeypatch.chdir(county.parent)
    names: dict[str, object] = {}
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        text = dask_block().replace(ADDRESS, cluster.scheduler_address).replace("top=8", "top=1")
        exec(compile(text, str(PAGE), "exec"), names)
    there, here = names["found"], search(load_model(county), step=2.0, top=0)
    assert here.job.count == 2
    assert here.looked.any()
    assert here.works.any()
    for name in ("share", "cause", "bearing", "hope", "looked"):
        assert np.array_equal(getattr(there, name), getattr(here, name)), name
    assert [place.rank for place in names["places"]] == [1]
