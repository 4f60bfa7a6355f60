"""A loader that keeps what has not changed gives the same models as reading everything anew."""

import shutil
from pathlib import Path

import numpy as np
import pytest

from visual.model import ModelLoader, load_model
from visual.site import edit_text, read_site_text

SAMPLES = Path(__file__).parents[2] / "sample_sites"

CHANGES = (
    {"mast.front": 200.0},
    {"anchors.left.radius": "12 m"},
    {"mast.hinge_height": "0.4 m"},
    {"mast.position[1]": 553214.0},
    {"mast.section[1].count": 4},
    {"ground.accuracy": "0.2 m"},
    {},
)


def same(one, other):
    assert one.site == other.site
    assert one.frame == other.frame
    assert one.ground.bounds == other.ground.bounds
    places = np.linspace(-12.0, 12.0, 7)
    assert (one.ground.height(places, places) == other.ground.height(places, places)).all()
    for side in one.anchors:
        assert (one.anchors[side].eye == other.anchors[side].eye).all()
    for mine, yours in zip(one.surroundings.buildings, other.surroundings.buildings, strict=True):
        assert (mine.name, mine.top, mine.base) == (yours.name, yours.top, yours.base)
        assert mine.footprint.equals(yours.footprint)


def test_models_are_the_same_as_read_anew(tmp_path):
    folder = shutil.copytree(SAMPLES / "hill_paddock", tmp_path / "site")
    path, loader = folder / "site.toml", ModelLoader()
    text = path.read_text(encoding="utf-8")
    loader.load(read_site_text(text, path=path))
    for change in CHANGES:
        edited = edit_text(text, change, file="site.toml")
        kept = loader.load(read_site_text(edited, path=path))
        path.write_text(edited, encoding="utf-8")
        same(kept, load_model(path))


def test_the_ground_is_kept_while_the_base_stays(tmp_path):
    path, loader = SAMPLES / "hill_paddock" / "site.toml", ModelLoader()
    text = path.read_text(encoding="utf-8")
    grounds = [
        loader.load(read_site_text(edit_text(text, change, file="x"), path=path)).ground
        for change in ({}, {"mast.front": 10.0}, {"mast.position[1]": 553211.0}, {})
    ]
    assert grounds[0] is grounds[1] is grounds[3]
    assert grounds[2] is not grounds[0]


def test_a_data_file_that_changes_is_read_again(tmp_path):
    folder = shutil.copytree(SAMPLES / "flat_yard", tmp_path / "site")
    path, survey, loader = folder / "site.toml", folder / "survey.csv", ModelLoader()
    site = read_site_text(path.read_text(encoding="utf-8"), path=path)
    before = loader.load(site).frame.origin_height
    lines = survey.read_text(encoding="utf-8").splitlines()
    heights = [index for index, line in enumerate(lines[0].split(",")) if "height" in line.lower()]
    rows = [line.split(",") for line in lines[1:]]
    for row in rows:
        row[heights[0]] = str(float(row[heights[0]]) + 5.0)
    survey.write_text("\n".join([lines[0], *(",".join(row) for row in rows)]), encoding="utf-8")
    assert loader.load(site).frame.origin_height == pytest.approx(before + 5.0)
