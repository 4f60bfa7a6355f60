"""Units: each against its definition, there and back, and the texts of the refusals."""

import math
from collections.abc import Callable, Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from visual import units

Parser = Callable[[float | str], float]

# Definitions written a second time, from the definitions themselves and not from the tables.
POUND_FORCE = 0.45359237 * 9.80665
TABLES: dict[str, tuple[Parser, Mapping[str, float], dict[str, float]]] = {
    "length": (
        units.parse_length,
        units.LENGTH_UNITS,
        {
            "m": 1,
            "mm": 0.001,
            "cm": 0.01,
            "km": 1000,
            "in": 0.9144 / 36,
            "ft": 0.9144 / 3,
            "us-ft": 1200 / 3937,
        },
    ),
    "mass": (
        units.parse_mass,
        units.MASS_UNITS,
        {"kg": 1, "g": 0.001, "t": 1000, "lb": 0.45359237},
    ),
    "force": (
        units.parse_force,
        units.FORCE_UNITS,
        {"N": 1, "kN": 1e3, "MN": 1e6, "lbf": POUND_FORCE, "kip": 1000 * POUND_FORCE},
    ),
    "stress": (
        units.parse_stress,
        units.STRESS_UNITS,
        {
            "Pa": 1,
            "kPa": 1e3,
            "MPa": 1e6,
            "GPa": 1e9,
            "psi": POUND_FORCE / 0.0254**2,
            "ksi": 1000 * POUND_FORCE / 0.0254**2,
        },
    ),
    "mass per length": (
        units.parse_mass_per_length,
        units.MASS_PER_LENGTH_UNITS,
        {
            "kg": 1,
            "g": 0.001,
            "kg/m": 1,
            "g/m": 0.001,
            "kg/100 m": 0.01,
            "lb/ft": 0.45359237 / 0.3048,
            "lb/100 ft": 0.45359237 / 30.48,
            "lb/1000 ft": 0.45359237 / 304.8,
        },
    ),
    "density": (
        units.parse_density,
        units.DENSITY_UNITS,
        {
            "kg/m³": 1,
            "kg/m3": 1,
            "lb/ft³": 0.45359237 / 0.3048**3,
            "lb/ft3": 0.45359237 / 0.3048**3,
        },
    ),
}
EVERY_UNIT = [(name, unit) for name, (_, table, _) in TABLES.items() for unit in table]


@pytest.mark.parametrize("name", TABLES)
def test_every_unit_of_a_table_has_a_definition_here(name: str) -> None:
    _, table, definitions = TABLES[name]
    assert set(table) == set(definitions)


@pytest.mark.parametrize(("name", "unit"), EVERY_UNIT)
def test_unit_has_its_defined_size(name: str, unit: str) -> None:
    parse, _, definitions = TABLES[name]
    assert parse(f"1 {unit}") == pytest.approx(definitions[unit], rel=1e-15)


@pytest.mark.parametrize(("name", "unit"), EVERY_UNIT)
@settings(max_examples=15)  # for each of three dozen units
@given(value=st.floats(min_value=-1e9, max_value=1e9, allow_subnormal=False))
def test_unit_goes_there_and_back(name: str, unit: str, value: float) -> None:
    parse, table, _ = TABLES[name]
    assert parse(f"{value!r} {unit}") / table[unit] == pytest.approx(value, rel=1e-14, abs=1e-300)


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize("number", [18, 18.0, 0, -2.5])
def test_plain_number_is_si(name: str, number: float) -> None:
    assert TABLES[name][0](number) == number


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("18 m", 18.0),
        ("59 ft", 17.9832),
        ("59 ft 3 1/2 in", 18.0721),
        ("59ft3in", 18.0594),
        ("-59 ft 3 in", -18.0594),
        ("3 1/2 in", 0.0889),
        ("1/4 in", 0.00635),
        ("0 ft 6 in", 0.1524),
        ("114.3 mm", 0.1143),
        (" 114.3mm ", 0.1143),
        ("0.5 km", 500.0),
        ("12 cm", 0.12),
        ("+.5 m", 0.5),
        ("5. m", 5.0),
        ("1e3 mm", 1.0),
        ("−0.5 m", -0.5),
        ("3937 us-ft", 1200.0),
    ],
)
def test_length_texts(text: str, metres: float) -> None:
    assert units.parse_length(text) == pytest.approx(metres, rel=1e-14)


@pytest.mark.parametrize(
    ("parse", "value", "rule"),
    [
        (units.parse_length, "18", "'18' has no unit"),
        (units.parse_length, "18,5 m", "'18,5 m' has a comma where a decimal point is needed"),
        (units.parse_length, "wide", "'wide' does not begin with a number"),
        (units.parse_length, "", "'' does not begin with a number"),
        (units.parse_length, "70 kg", "'kg' is a unit of mass, and a length is needed"),
        (units.parse_force, "6650 lb", "'lb' is a unit of mass, and a force is needed"),
        (units.parse_mass, "10 lbf", "'lbf' is a unit of force, and a mass is needed"),
        (units.parse_mass, "59 ft 3 in", "'ft 3 in' is not a unit of mass"),
        (units.parse_mass_per_length, "0.12 lb", "'lb' is a unit of mass, and a mass per length"),
        (units.parse_density, "7850 kg/m", "'kg/m' is a unit of mass per length, and a density"),
        (units.parse_length, "4 MM", "'MM' is not a unit of length (did you mean 'mm'?)"),
        (units.parse_stress, "200 gpa", "'gpa' is not a unit of stress (did you mean 'GPa'?)"),
        (units.parse_length, "4 furlongs", "'furlongs' is not a unit of length; "),
        (units.parse_length, "59 ft 12 in", "inches after feet must be less than 12, not 12"),
        (units.parse_length, "59 ft -3 in", "'ft -3 in' is not a unit of length"),
        (units.parse_length, "1/0 in", "'1/0' divides by zero"),
        (units.parse_length, math.nan, "a length must be finite, not nan"),
        (units.parse_length, -math.inf, "a length must be finite, not -inf"),
        (units.parse_length, "1e999 m", "a length must be finite, not '1e999 m'"),
        (units.parse_length, "nan m", "'nan m' does not begin with a number"),
        (units.parse_length, True, "a length is a number or text, not True"),
        (units.parse_length, None, "a length is a number or text, not None"),
        (units.parse_length, [1], "a length is a number or text, not [1]"),
    ],
)
def test_refusals_name_the_rule(parse: Parser, value: float | str, rule: str) -> None:
    with pytest.raises(ValueError, match=r"; give a number in ") as refusal:
        parse(value)
    assert str(refusal.value).startswith(rule)


@pytest.mark.parametrize("name", TABLES)
def test_refusal_lists_every_unit(name: str) -> None:
    parse, table, _ = TABLES[name]
    with pytest.raises(ValueError, match=f"is not a unit of {name}") as refusal:
        parse("1 zzz")
    way_out = str(refusal.value).split("; ", 1)[1]
    assert way_out.endswith("(units: " + ", ".join(table) + ")")


def outcome_of(parse: Parser, text: str) -> float | ValueError:
    try:
        return parse(text)
    except ValueError as error:
        return error


@given(st.text(max_size=20) | st.from_regex(r"[-+]?[0-9 /.e]{1,8}(ft|in|m| ){0,3}", fullmatch=True))
def test_any_text_is_read_or_refused(text: str) -> None:
    outcome = outcome_of(units.parse_length, text)
    assert "; give a number in metres" in str(outcome) or math.isfinite(float(str(outcome)))


@given(st.floats(min_value=-1e5, max_value=1e5))
def test_imperial_length_reads_back_within_half_a_sixteenth(metres: float) -> None:
    text = units.format_length(metres, "imperial")
    assert abs(units.parse_length(text) - metres) <= 0.0254 / 32 * (1 + 1e-9)


@given(st.floats(min_value=-1e5, max_value=1e5))
def test_metric_length_reads_back_within_half_a_centimetre(metres: float) -> None:
    text = units.format_length(metres, "metric")
    assert abs(units.parse_length(text) - metres) <= 0.005 * (1 + 1e-9)


@pytest.mark.parametrize(
    ("metres", "metric", "imperial"),
    [
        (17.4, "17.40 m", "57 ft 1 1/16 in"),
        (17.9832, "17.98 m", "59 ft 0 in"),
        (0.0889, "0.09 m", "3 1/2 in"),
        (0.00635, "0.01 m", "1/4 in"),
        (0.0, "0.00 m", "0 in"),
        (-0.0001, "0.00 m", "0 in"),
        (-0.5, "-0.50 m", "-1 ft 7 11/16 in"),
        (0.30479, "0.30 m", "1 ft 0 in"),
        (math.nan, "unknown", "unknown"),
    ],
)
def test_length_format(metres: float, metric: str, imperial: str) -> None:
    assert units.format_length(metres, "metric") == metric
    assert units.format_length(metres, "imperial") == imperial


def test_length_decimals() -> None:
    assert units.format_length(1.2345, "metric", decimals=3) == "1.234 m"


@pytest.mark.parametrize(
    ("value", "unit", "metric", "imperial"),
    [
        (17.4, "m", "17.40 m", "57 ft 1 1/16 in"),
        (75.0, "kg", "75.0 kg", "165.3 lb"),
        (2958.07, "N", "2.96 kN", "665 lbf"),
        (-296.0, "N", "-296 N", "-67 lbf"),
        (999.7, "N", "1.00 kN", "225 lbf"),
        (0.09290304, "m2", "0 m²", "1 ft²"),
        (355e6, "Pa", "355.0 MPa", "51.5 ksi"),
        (35.04, "deg", "35.0°", "35.0°"),
        (-0.01, "deg", "0.0°", "0.0°"),
        (1.1, "", "1.10", "1.10"),
        (math.nan, "N", "unknown", "unknown"),
        (math.nan, "deg", "unknown", "unknown"),
    ],
)
def test_quantity_format(value: float, unit: str, metric: str, imperial: str) -> None:
    assert units.format_quantity(value, unit, "metric") == metric
    assert units.format_quantity(value, unit, "imperial") == imperial


def test_angle_format() -> None:
    assert units.format_angle(math.pi / 2) == "90.0°"
    assert units.format_angle(math.radians(2.652908), decimals=3) == "2.653°"


def test_unknown_unit_of_a_finding_is_refused() -> None:
    with pytest.raises(ValueError, match="'furlong' is not a unit of a finding; use m, m2"):
        units.format_quantity(1.0, "furlong", "metric")


def test_tables_cannot_be_changed() -> None:
    with pytest.raises(TypeError, match="does not support item assignment"):
        units.LENGTH_UNITS["m"] = 2.0  # type: ignore[index]
