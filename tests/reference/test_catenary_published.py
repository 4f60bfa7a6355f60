"""Hanging wires against textbooks and a high-precision table.

Sources and their standing:

* ``elastic_catenary_reference.csv``: ten wires after H. M. Irvine, Cable Structures, MIT Press
  1981, section 1.3. Computed for this project with mpmath at 40 digits, each checked by
  quadrature of the differential equations, and with the catenary solver of a mooring library.
* C1: lecture set "6.7 Cables: Catenaries", Example 1. READ.
* C2: Beer & Johnston, Vector Mechanics: Statics, Sample Problem 7.10; from memory.
* C3: Hibbeler, Statics, catenary example of chapter 7; from memory.
* C4, C5, C6: Beer & Johnston, Problems 7.127, 7.128, 7.130; statements READ, answers from memory.
* Tape sag: surveying textbooks, C = w² l³/24 P², example of a 50 m tape. READ.

Answers with three figures are held to 0.5 %.
"""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from visual.mechanics.catenary import (
    Catenary,
    conductor_shape,
    solve_by_length,
    solve_by_tension,
)

pytestmark = pytest.mark.reference

DATA = Path(__file__).parent / "data" / "elastic_catenary_reference.csv"
ROWS = list(csv.DictReader(DATA.read_text(encoding="utf-8").splitlines()))
STIFF = 1e15  # inextensible, as the textbooks have it
BOOK = 0.005


def row_id(row: dict[str, str]) -> str:
    return row["case"]


def wire(row: dict[str, str]) -> dict[str, float]:
    columns = {"span": "X_m", "rise": "Z_m", "weight": "w_N_per_m", "stiffness": "EA_N"}
    return {name: float(row[column]) for name, column in columns.items()}


def assert_is_row(solution: Catenary, row: dict[str, str], tolerance: float) -> None:
    expected = {
        "horizontal": "H_N",
        "vertical_lower": "V_lower_N",
        "vertical_upper": "V_upper_N",
        "tension_lower": "T_lower_N",
        "tension_upper": "T_upper_N",
        "stretched_length": "stretched_length_m",
        "unstressed_length": "L0_m",
    }
    for name, column in expected.items():
        assert getattr(solution, name) == pytest.approx(float(row[column]), rel=tolerance), name


def test_the_table_is_whole() -> None:
    assert len(ROWS) == 10


@pytest.mark.parametrize("row", ROWS, ids=row_id)
def test_elastic_catenary_by_length(row: dict[str, str]) -> None:
    solution = solve_by_length(unstressed_length=float(row["L0_m"]), **wire(row))
    # a taut wire turns a rounding of its length into 1e-11 of its tension
    assert_is_row(solution, row, 1e-10)


@pytest.mark.parametrize("row", ROWS, ids=row_id)
def test_elastic_catenary_by_tension(row: dict[str, str]) -> None:
    solution = solve_by_tension(tension_lower=float(row["T_lower_N"]), **wire(row))
    assert_is_row(solution, row, 1e-9)


def symmetric(span: float, length: float, weight: float) -> Catenary:
    return solve_by_length(
        span=span, rise=0, unstressed_length=length, weight=weight, stiffness=STIFF
    )


def test_c1_cable_of_140_m() -> None:
    cable = symmetric(120, 140, 3 * 9.81)
    assert cable.horizontal / cable.weight == pytest.approx(61.45, abs=0.005)
    assert cable.sag == pytest.approx(31.70, abs=0.005)


def test_c2_span_500_ft_sag_100_ft() -> None:
    shape = conductor_shape(np.zeros(3), np.array([500.0, 0, 0]), 100.0, 2001)
    length = float(np.linalg.norm(np.diff(shape, axis=0), axis=1).sum())
    assert length == pytest.approx(550, rel=BOOK)
    cable = symmetric(500, length, 3)
    assert cable.horizontal == pytest.approx(984, rel=BOOK)
    assert cable.tension_upper == pytest.approx(1284, rel=BOOK)
    assert cable.sag == pytest.approx(100, rel=1e-5)


def test_c3_span_20_m_sag_6_m() -> None:
    cable = symmetric(20, 24.2, 5)
    assert cable.horizontal == pytest.approx(45.9, rel=BOOK)
    assert cable.tension_upper == pytest.approx(75.9, rel=BOOK)
    assert cable.sag == pytest.approx(6, rel=BOOK)


@pytest.mark.parametrize(
    ("length", "sag", "weight", "span", "tension"),
    [(25, 10, 30 / 25, 12.36, 15.38), (500, 125, 2.8, 412, 875)],
    ids=["C4", "C5"],
)
def test_c4_c5_length_and_sag(
    length: float, sag: float, weight: float, span: float, tension: float
) -> None:
    # closed form: c = ((L/2)² − sag²)/(2 sag), span = 2c asinh(L/2c)
    c = ((length / 2) ** 2 - sag**2) / (2 * sag)
    exact = 2 * c * math.asinh(length / (2 * c))
    assert exact == pytest.approx(span, rel=BOOK)
    cable = symmetric(exact, length, weight)
    assert cable.horizontal == pytest.approx(weight * c, rel=1e-9)
    assert cable.sag == pytest.approx(sag, rel=1e-9)
    assert cable.tension_upper == pytest.approx(tension, rel=BOOK)


def test_c6_steel_tape() -> None:
    """50 m, 1.6 kg, 60 N at each end: span 49.86 m, sag 1.642 m (computed)."""
    tape = solve_by_tension(
        span=49.85607, rise=0, tension_lower=60, weight=1.6 * 9.81 / 50, stiffness=STIFF
    )
    assert tape.unstressed_length == pytest.approx(50, abs=5e-5)
    assert tape.sag == pytest.approx(1.64205, abs=1e-3)


def test_tape_sag_correction() -> None:
    """50 m tape of 4 kg pulled with 5 kgf and held every 10 m: 0.053 m of excess in five bays."""
    ratio = 4 / 50 / 5  # w/P [1/m]
    bay = solve_by_tension(
        span=10, rise=0, tension_lower=math.hypot(1, ratio * 5), weight=ratio, stiffness=STIFF
    )
    assert 5 * (bay.unstressed_length - 10) == pytest.approx(0.0533, rel=BOOK)
    assert bay.unstressed_length - 10 == pytest.approx(0.010667, rel=BOOK)


def test_tape_formula_is_the_limit_of_a_strong_pull() -> None:
    errors = []
    for pull in (5.0, 50.0, 500.0):
        bay = solve_by_tension(span=10, rise=0, tension_lower=pull, weight=0.08, stiffness=STIFF)
        formula = 0.08**2 * 10**3 / (24 * pull**2)
        errors.append(abs((bay.unstressed_length - 10) / formula - 1))
    assert errors[0] < 0.01  # the formula takes the pull at the end for the one at mid-span
    assert errors[2] < 1e-5
    assert errors[0] > 50 * errors[1]
