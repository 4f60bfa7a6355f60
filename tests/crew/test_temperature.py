import pytest

from visual.crew.temperature import parse_temperature


@pytest.mark.parametrize(
    ("text", "celsius"),
    [("5", 5), ("-5 C", -5), ("41 F", 5), ("−40F", -40), ("20.5°C", 20.5), (" 32 °F ", 0)],
)
def test_temperature_is_read(text, celsius):
    assert parse_temperature(text) == pytest.approx(celsius)


@pytest.mark.parametrize("text", ["", "warm", "5 K", "nan", "1e3", "5,5"])
def test_what_is_no_temperature_is_refused(text):
    with pytest.raises(ValueError, match="is not a temperature; write"):
        parse_temperature(text)


@pytest.mark.parametrize("text", ["200", "-90", "300 F"])
def test_what_nobody_works_in_is_refused(text):
    with pytest.raises(ValueError, match="no temperature to work in"):
        parse_temperature(text)
