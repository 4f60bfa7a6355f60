"""The JSON Schema of a site file, for editors that check while one types."""

from typing import Any

from visual.site.site_file import SiteFile

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema of a site file, version 1.

    It checks form and bounds of each key. What must hold between keys only the program checks.
    """
    schema: dict[str, Any] = _tidy(SiteFile.model_json_schema(by_alias=True))
    return {"$schema": DIALECT, "title": "Hillmast site file, version 1"} | schema


def _tidy(node: Any) -> Any:
    """Leave out made-up titles, and null, which TOML does not have."""
    if isinstance(node, list):
        return [_tidy(one) for one in node]
    if not isinstance(node, dict):
        return node
    kept = {
        key: _tidy(value)
        for key, value in node.items()
        if not (key == "title" and isinstance(value, str))
        and not (key == "default" and value is None)
    }
    choices = kept.get("anyOf")
    if isinstance(choices, list) and {"type": "null"} in choices:
        kept["anyOf"] = [one for one in choices if one != {"type": "null"}]
        if len(kept["anyOf"]) == 1:
            only = kept.pop("anyOf")[0]
            kept = only | kept
    return kept
