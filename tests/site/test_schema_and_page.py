import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from visual.site import KINDS, document, json_schema
from visual.site.site_file import SiteFile

ROOT = Path(__file__).parents[2]


def as_json(text: str) -> Any:
    """TOML as the JSON an editor checks: dates become text."""
    return json.loads(json.dumps(tomllib.loads(text), default=str))


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft202012Validator:
    schema = json_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def test_schema_accepts_the_example(
    validator: jsonschema.Draft202012Validator, example_text: str
) -> None:
    assert list(validator.iter_errors(as_json(example_text))) == []


@pytest.mark.parametrize("path", sorted(ROOT.glob("sample_sites/*/*.toml")), ids=lambda p: p.stem)
def test_schema_accepts_the_sample_sites(
    validator: jsonschema.Draft202012Validator, path: Path
) -> None:
    assert list(validator.iter_errors(as_json(path.read_text(encoding="utf-8")))) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("hinge_height", "hinge_hight"),
        ("front = 215.0", "front = 400"),
        ("count = 3", "count = 0"),
        ("format = 1", "format = 2"),
        ('to = "boundary"', 'to = "fence"'),
        ('mass = "75 kg"', "mass = -1"),
        ('mass = "75 kg"', "mass = true"),
        ("[553210.0, 5912480.0]", "[553210.0]"),
    ],
)
def test_schema_refuses(
    validator: jsonschema.Draft202012Validator, example_text: str, old: str, new: str
) -> None:
    assert example_text.count(old) == 1
    assert not validator.is_valid(as_json(example_text.replace(old, new)))


def test_schema_says_defaults_as_a_file_would(validator: jsonschema.Draft202012Validator) -> None:
    assert json_schema()["$defs"]["GinPoleSection"]["properties"]["angle"]["default"] == 90.0


def properties(node: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(node, dict):
        for key, value in node.get("properties", {}).items():
            yield key, value
        for value in node.values():
            yield from properties(value)
    elif isinstance(node, list):
        for value in node:
            yield from properties(value)


def test_every_key_is_described_in_a_sentence() -> None:
    found = list(properties(json_schema()))
    assert len(found) > 60
    for key, value in found:
        if set(value) == {"$ref"}:  # said where the table is defined
            continue
        assert value["description"].endswith("."), key
        assert value["description"][0].isupper(), key


def test_page_is_what_the_records_say() -> None:
    page = (ROOT / "docs" / "site_file.md").read_text(encoding="utf-8")
    # if this fails: python -c "from visual.site import document; print(document(), end='')"
    assert page == document()


def test_page_names_every_key_and_kind() -> None:
    page = document()
    for key, _ in properties(json_schema()):
        assert f"`{key}`" in page or f".{key}]" in page or f"[{key}]" in page, key
    for kind in KINDS:
        assert f"| `{kind}` |" in page


def test_every_table_of_the_record_has_a_heading() -> None:
    page = document()
    for name, field in SiteFile.model_fields.items():
        key = field.alias or name
        assert key == "format" or f"`[{key}" in page
