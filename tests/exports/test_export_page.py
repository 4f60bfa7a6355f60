"""The page about exported files keeps up with them."""

from pathlib import Path

import pytest

from visual.exports import FORMATS

PAGE = (Path(__file__).parents[2] / "docs" / "exports.md").read_text(encoding="utf-8")


def test_every_layer_is_explained(full):
    assert not [layer.key for layer in full.drawing.layers if f"`{layer.key}`" not in PAGE]


def test_layers_are_in_plan_what_the_page_says(full):
    rows = [row.split("|") for row in PAGE.splitlines() if row.startswith("| `")]
    told = {
        key.strip(" `"): row[3].strip()
        for row in rows
        if len(row) == 5
        for key in row[1].split(",")
    }
    told |= {"mast": "places", "rotor": "lines", "ground": "lines"}
    assert {layer.key: layer.plan for layer in full.drawing.layers} == {
        layer.key: told[layer.key] for layer in full.drawing.layers
    }


@pytest.mark.parametrize("name", list(FORMATS))
def test_every_format_is_explained(name):
    assert f"| `{name}` |" in PAGE
