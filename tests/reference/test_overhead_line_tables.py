"""Distances to overhead lines, against published tables.

Sources, with their standing:

* 29 CFR 1926.1408, Table A, and the 20 ft rule for a voltage that is not established: READ in
  several reproductions that agree, not in the regulation itself.
* Ontario, 3 / 4.5 / 6 m: READ on a distributor's public page; the regulation's number
  (O. Reg. 213/91, s. 188) from memory.
* 29 CFR 1926.1411, Table T (travelling without load): READ; here only to show that it is not used.
"""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from visual.site import OverheadLineRule, required_clearance

FOOT = 0.3048
DATA: dict[str, Any] = json.loads(
    (Path(__file__).parent / "data" / "power_line_clearances.json").read_text(encoding="utf-8")
)
TABLE_A = DATA["OSHA_1926_1408_Table_A"]["rows"]

pytestmark = pytest.mark.reference


@pytest.mark.parametrize("case", DATA["tests"], ids=lambda case: f"{case['kV']} kV")
def test_published_cases(case: dict[str, float | None]) -> None:
    required = required_clearance(case["kV"])
    assert case["ft"] is not None
    assert required.distance == pytest.approx(case["ft"] * FOOT, rel=1e-12)
    assert "1926.1408" in required.basis


@pytest.mark.parametrize(("lower", "upper", "feet"), TABLE_A)
def test_steps_of_table_a_hold_up_to_and_with_their_voltage(
    lower: float, upper: float | None, feet: float | None
) -> None:
    just_above = required_clearance(math.nextafter(lower, math.inf)).distance
    if feet is None or upper is None:
        assert just_above is None
        assert "ask the owner" in required_clearance(lower + 0.1).basis
        return
    assert just_above == pytest.approx(feet * FOOT, rel=1e-12)
    assert required_clearance(upper).distance == just_above


def test_never_less_than_ten_feet_and_never_table_t() -> None:
    table_t = [row[2] * FOOT for row in DATA["OSHA_1926_1411_Table_T_no_load_travel"]["rows"][:2]]
    for voltage in (0.001, 0.23, 0.4, 0.75, 11.0, 33.0, 50.0):
        distance = required_clearance(voltage).distance
        assert distance == pytest.approx(10 * FOOT)
        assert distance not in table_t


def test_unknown_voltage_gets_twenty_feet_with_either_table() -> None:
    feet = DATA["OSHA_unknown_or_option2_up_to_350kV_ft"]
    assert required_clearance(None).distance == pytest.approx(feet * FOOT)
    assert required_clearance(None, table="ontario").distance == pytest.approx(feet * FOOT)
    assert "unknown" in required_clearance(None).basis


def test_above_350_kv_the_presumed_fifty_feet_are_named() -> None:
    feet = DATA["OSHA_1926_1409_over_350_to_1000kV_presumed_ft"]
    assert f"{feet} ft" in required_clearance(400.0).basis
    assert f"{feet} ft" not in required_clearance(350.0).basis


@pytest.mark.parametrize(("lower", "upper", "metres"), DATA["Ontario"]["rows"])
def test_ontario(lower: float, upper: float | None, metres: float) -> None:
    assert required_clearance((lower + 1) / 1000, table="ontario").distance == metres
    if upper is not None:
        assert required_clearance(upper / 1000, table="ontario").distance == metres


def test_own_distance_wins_and_keeps_what_the_table_says() -> None:
    required = OverheadLineRule(distance=7.0).required(110.0)
    assert (required.distance, required.overridden) == (7.0, True)
    assert "4.572 m" in required.basis
    assert "site file" in required.basis
    assert OverheadLineRule(distance=30.0).required(1100.0).distance == 30.0
