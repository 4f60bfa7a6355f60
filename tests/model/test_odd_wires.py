"""Wires that cannot hang as the site file says: told as a problem of it, not as a fault inside."""

import shutil
from pathlib import Path

import pytest

from visual.errors import InputError
from visual.mechanics.catenary import solve_by_tension
from visual.model import load_model
from visual.model.wires import installed_wires

YARD = Path(__file__).parents[2] / "sample_sites" / "flat_yard"


def test_a_wire_too_heavy_for_its_tension_is_a_problem_of_the_site_file(tmp_path):
    path = shutil.copytree(YARD, tmp_path / "yard") / "site.toml"
    text = path.read_text(encoding="utf-8")
    lines = [
        "mass_per_metre = 1500.0" if line.startswith("mass_per_metre") else line
        for line in text.splitlines()
    ]
    path.write_text("\n".join(lines), encoding="utf-8")
    model = load_model(path)
    with pytest.raises(InputError, match="cannot hang like that: a tension of") as caught:
        installed_wires(model)
    assert caught.value.problems[0].key == "tension.share_of_breaking"
    assert "lighter wire" in caught.value.problems[0].way_out


@pytest.mark.parametrize("weight", [1e-3, 1e-4])
def test_a_wire_with_next_to_no_weight_hangs_straight(weight):
    wire = solve_by_tension(
        span=9.6, rise=8.0, tension_lower=2270.0, weight=weight, stiffness=1.6e6
    )
    assert wire.tension_lower == pytest.approx(2270.0, rel=1e-6)
    straight = (9.6**2 + 8.0**2) ** 0.5 / (1 + 2270.0 / 1.6e6)
    assert wire.unstressed_length == pytest.approx(straight, rel=1e-7)
