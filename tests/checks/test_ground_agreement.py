import shutil
from pathlib import Path

import pytest

from visual.checks.ground import judge_ground
from visual.model import load_model

SAMPLE = Path(__file__).parents[2] / "sample_sites" / "hill_paddock"


def site_with_survey(folder, *, lift):
    """Copy the hill paddock and add a survey of four points, `lift` above its DEM."""
    shutil.copytree(SAMPLE, folder, dirs_exist_ok=True)
    alone = load_model(folder)
    rows = ["point,easting,northing,height"]
    for number, (x, y) in enumerate([(-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0)]):
        easting, northing = alone.frame.to_grid(x, y)
        height = alone.frame.height(alone.ground.height(x, y)) + lift
        rows.append(f"{number},{easting:.3f},{northing:.3f},{height:.3f}")
    (folder / "survey.csv").write_text("\n".join(rows))
    text = (folder / "site.toml").read_text()
    text = text.replace('dem = "ground.tif"', 'dem = "ground.tif"\nsurvey = "survey.csv"')
    (folder / "site.toml").write_text(text)
    return load_model(folder)


def test_a_survey_in_another_datum_is_noticed(tmp_path):
    (finding,) = judge_ground(site_with_survey(tmp_path, lift=45.0))
    assert finding.status == "caution"
    # Four corners on a bumpy hill: the straight rim differs by the bumps, a few metres at most.
    assert finding.value == pytest.approx(45.0, abs=4.0)


def test_one_kind_of_ground_alone_has_nothing_to_agree_with(make_model):
    assert judge_ground(make_model()) == []
