"""The command that says which way round, on the flat sample, and its picture."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from visual.cli import hillmast, main

FLAT = Path(__file__).parents[2] / "sample_sites" / "flat_yard"


def run(*words: str):
    return CliRunner().invoke(hillmast, ["rose", str(FLAT), *words])


def test_rose_of_the_base_says_what_works_and_draws_it(tmp_path):
    out = tmp_path / "new" / "rose.png"
    result = run("--turn", "30deg", "-o", str(out))
    assert result.exit_code == 0, result.output
    assert "works, 20 % left at best" in result.stdout
    assert "too near to a building, tree or line" in result.stdout
    with Image.open(out) as picture:
        assert len(picture.convert("RGB").getcolors(1 << 24)) > 50


def test_rose_off_the_land_ends_with_one(tmp_path):
    result = run("--turn", "90deg", "--at", "5000", "5000")
    assert result.exit_code == 1
    assert "this spot is out" in result.stdout
    assert "works" not in result.stdout


@pytest.mark.parametrize("at", [("nan", "0"), ("0", "inf")])
def test_a_spot_that_is_none_is_named(at, capsys):
    with pytest.raises(SystemExit, match=r"^2$"):
        main(["rose", str(FLAT), "--turn", "90deg", "--at", *at])
    said = capsys.readouterr().err
    assert "is no place" in said
    assert "Traceback" not in said


@pytest.mark.parametrize("turn", ["7deg", "0deg", "-5deg", "about north"])
def test_a_turn_that_cannot_be_is_named(turn, capsys):
    with pytest.raises(SystemExit, match=r"^2$"):
        main(["rose", str(FLAT), "--turn", turn])
    said = capsys.readouterr().err
    assert "turn" in said
    assert "Traceback" not in said
