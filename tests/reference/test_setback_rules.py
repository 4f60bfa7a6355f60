"""Setbacks of public codes: each must be expressible in a site file and give its distance.

Source: `data/setback_multiples.json`, READ from the codes named there (Summerset SD 154.066 and
154.081(B), Adel IA, Lake Elmo MN, Dalton Gardens ID, Antis PA, Middletown RI, Upper Sandusky OH).
"""

import json
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from visual.site.limits_section import SetbackSection

CODES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parent / "data" / "setback_multiples.json").read_text(encoding="utf-8")
)
HEIGHTS = {"total_height": 20.35, "mast_height": 18.25, "hub_height": 18.55}

pytestmark = pytest.mark.reference


def height_of(code: dict[str, Any]) -> str:
    return "hub_height" if "hub" in code["height"] else "total_height"


def measured_from(code: dict[str, Any]) -> str:
    words = code["measured"]
    return "nearest_part" if "closest point" in words or "part" in words else "base"


@pytest.mark.parametrize("code", CODES, ids=lambda code: code["source"])
def test_code_as_a_setback(code: dict[str, Any]) -> None:
    section = SetbackSection.model_validate(
        {
            "to": "boundary",
            "from": measured_from(code),
            "times": code["multiple"],
            "of": height_of(code),
            "basis": code["source"],
        }
    )
    setback = section.setback()
    expected = code["multiple"] * (18.55 if "hub" in code["height"] else 20.35)
    assert setback.required(**HEIGHTS) == pytest.approx(expected, rel=1e-12)
    assert setback.basis == code["source"]


def test_three_heights_give_three_distances() -> None:
    found = {
        name: SetbackSection.model_validate({"to": "road", "times": 1.5, "of": name})
        .setback()
        .required(**HEIGHTS)
        for name in HEIGHTS
    }
    assert found == pytest.approx({name: 1.5 * height for name, height in HEIGHTS.items()})


def test_fixed_distance() -> None:
    section = SetbackSection.model_validate({"to": "overhead_line", "distance": "10 ft"})
    assert section.setback().required(**HEIGHTS) == pytest.approx(3.048)


def test_height_nobody_measures() -> None:
    with pytest.raises(ValidationError, match="total_height"):
        SetbackSection.model_validate({"to": "road", "times": 1.5, "of": "tower_height"})
