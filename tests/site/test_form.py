"""Every key as a field, and what a person types as a value."""

import pytest

from visual.errors import InputError
from visual.site import form_fields, json_schema, typed_value


@pytest.fixture
def fields(example_text):
    return {field.key: field for field in form_fields(example_text)}


def typed(field, text):
    return typed_value(field, text, file="site.toml")


def test_fields_hold_what_the_file_says(fields):
    assert fields["mast.section[1].outer_diameter"].text == "114.3 mm"
    assert fields["mast.collar[1].height"].kind == "quantity"
    assert fields["mast.position[2]"].text == "5912480.0"
    assert (fields["mast.front"].text, fields["mast.front"].unit) == ("215.0", "°")
    assert fields["tow.by"].choices == ("vehicle", "winch")
    assert fields["tow.through_front_anchor"].kind == "switch"
    assert fields["site.date"].text == "2026-06-01"
    assert fields["turnbuckle.per_turn"].default == "0.004 m"
    assert fields["wire.guy.stiffness"].unit == "N"


def test_keys_left_out_are_there_to_fill_in(fields):
    assert fields["anchors.right.radius"].text == ""
    assert fields["tow.winch_pull"].text == ""


def test_every_key_of_the_file_has_a_field(fields):
    schema = json_schema()
    for name in schema["properties"]:
        assert any(key.split(".")[0].split("[")[0] == name for key in fields), name


def test_a_bare_number_takes_the_unit_that_stood_there(fields):
    assert typed(fields["mast.section[1].outer_diameter"], "88.9") == "88.9 mm"
    assert typed(fields["anchors.radius"], " 36 ft ") == "36 ft"
    assert typed(fields["anchors.right.radius"], "12") == "12 m"
    assert typed(fields["mast.front"], "90") == 90
    assert typed(fields["tow.grip"], "0.4") == 0.4
    assert typed(fields["anchors.radius"], "") is None


def test_a_bare_number_over_feet_and_inches_is_asked_for_its_unit(example_text):
    text = example_text.replace('radius = "11 m"', 'radius = "36 ft 1 in"')
    field = next(one for one in form_fields(text) if one.key == "anchors.radius")
    with pytest.raises(InputError, match="the unit is missing"):
        typed(field, "40")


def test_a_switch_is_true_or_false(fields):
    assert typed(fields["tow.through_front_anchor"], "true") is True
    with pytest.raises(InputError, match="must be true or false"):
        typed(fields["tow.through_front_anchor"], "yes")


def test_numbers_without_a_unit_are_shown_with_the_unit_they_have(example_text):
    text = example_text.replace('radius = "11 m"', "radius = 11")
    field = next(one for one in form_fields(text) if one.key == "anchors.radius")
    assert field.text == "11 m"
