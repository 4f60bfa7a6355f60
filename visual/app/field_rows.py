"""The fields of a site file for the view, each beside what the saved file has there."""

import functools
from typing import Any

from visual.errors import InputError
from visual.site import FormField, form_fields


@functools.lru_cache(maxsize=16)
def fields_of(text: str) -> tuple[FormField, ...]:
    """Return the fields of a text; the last few texts are remembered."""
    return form_fields(text)


def field_rows(text: str, saved: str) -> list[dict[str, Any]]:
    """Return the fields of a text as plain values, with the ``saved`` text of each."""
    before = {field.key: field.text for field in fields_of(saved)}
    return [{**vars(field), "saved": before.get(field.key, "")} for field in fields_of(text)]


def no_field(key: str, *, file: str) -> InputError:
    """Return the error of a key that is no field of the site."""
    rule, way_out = "this key is no field of the site", "reload the page"
    return InputError.one(file=file, key=key[:60], value=None, rule=rule, way_out=way_out)
