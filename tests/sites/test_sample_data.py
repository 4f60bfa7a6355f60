"""The data files of the sample sites are what their generator makes, and say what they are."""

import importlib.util
import json
import tomllib
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
import rasterio

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"
FOLDERS = ("hill_paddock", "terrace", "flat_yard")


def load_generator() -> ModuleType:
    """Load ``make_samples.py``, which belongs to no package."""
    spec = importlib.util.spec_from_file_location("make_samples", SAMPLES / "make_samples.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("samples")
    load_generator().main(folder)
    return folder


@pytest.mark.parametrize(
    "name",
    ["hill_paddock/surroundings.geojson", "terrace/survey.csv", "flat_yard/survey.csv"],
)
def test_text_files_are_made_again_byte_for_byte(made, name):
    assert (made / name).read_bytes() == (SAMPLES / name).read_bytes()


def test_ground_is_made_again_cell_for_cell(made):
    # heights, not bytes: the compression may differ from one version of the library to the next
    with (
        rasterio.open(made / "hill_paddock" / "ground.tif") as again,
        rasterio.open(SAMPLES / "hill_paddock" / "ground.tif") as kept,
    ):
        assert again.crs == kept.crs
        assert again.transform == kept.transform
        assert again.nodata == kept.nodata
        np.testing.assert_array_equal(again.read(1), kept.read(1))


def test_running_the_generator_twice_gives_the_same_bytes(made, tmp_path):
    load_generator().main(tmp_path)
    files = sorted(path.relative_to(made) for path in made.rglob("*.*"))
    assert len(files) == 4
    for file in files:
        assert (tmp_path / file).read_bytes() == (made / file).read_bytes()


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_folder_says_what_it_is(folder):
    text = (SAMPLES / folder / "README.md").read_text(encoding="utf-8")
    for word in ("**What it shows.**", "**Origin.**", "**Datum.**", "**Unit.**", "**Licence.**"):
        assert word in text
    assert "does not exist" in text
    assert "make_samples.py" in text
    assert "CC0" in text


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_file_of_a_folder_is_in_its_readme(folder):
    text = (SAMPLES / folder / "README.md").read_text(encoding="utf-8")
    for path in (SAMPLES / folder).iterdir():
        assert path.name == "README.md" or f"`{path.name}`" in text


def test_samples_stay_small():
    size = sum(path.stat().st_size for path in SAMPLES.rglob("*") if "__pycache__" not in str(path))
    assert size < 200_000


def test_moving_the_mast_changes_only_where_it_stands_and_looks():
    sites = [
        tomllib.loads((SAMPLES / "hill_paddock" / name).read_text(encoding="utf-8"))
        for name in ("site.toml", "site_moved.toml")
    ]
    assert sites[0]["mast"]["position"] != sites[1]["mast"]["position"]
    assert sites[0]["mast"]["front"] != sites[1]["mast"]["front"]
    for site in sites:
        del site["site"]["name"], site["mast"]["position"], site["mast"]["front"]
    assert sites[0] == sites[1]


def test_surroundings_are_in_longitude_and_latitude():
    text = (SAMPLES / "hill_paddock" / "surroundings.geojson").read_text(encoding="utf-8")
    data = json.loads(text)
    assert "crs" not in data  # RFC 7946 knows only WGS 84
    kinds = [feature["properties"]["kind"] for feature in data["features"]]
    assert kinds.count("tree") == 14
    assert kinds.count("viewpoint") == 3
    for feature in data["features"]:
        places = np.array(_flat(feature["geometry"]["coordinates"])).reshape(-1, 2)
        assert np.all(np.abs(places - [-2.2, 53.36]) < 0.01)


def test_flat_yard_is_level():
    rows = (SAMPLES / "flat_yard" / "survey.csv").read_text(encoding="utf-8").splitlines()[1:]
    assert {row.split(",")[3] for row in rows} == {"50.00"}


def _flat(nested) -> list[float]:
    if isinstance(nested, float | int):
        return [nested]
    return [number for part in nested for number in _flat(part)]
