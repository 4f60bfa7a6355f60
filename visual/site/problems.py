"""From what pydantic finds wrong to problems that a person can act on."""

import difflib
from collections.abc import Iterable, Mapping, Sequence
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from visual.errors import Problem
from visual.site.reader import CUSTOM

Location = tuple[int | str, ...]

# error type of pydantic -> (rule, way out); {expected} and the like come from its context
_RULES = {
    "missing": ("is needed and missing", "{meaning}"),
    "model_type": ("must be a table", "write it as [{key}] with keys below, or key = {{…}}"),
    "dict_type": ("must be a table", "write it as [{key}] with keys below"),
    "mapping_type": ("must be a table", "write it as [{key}] with keys below"),
    "model_attributes_type": ("must be a table", "write it as [{key}] with keys below"),
    "tuple_type": ("must be a list", "write it in square brackets, [[{key}]] for tables"),
    "too_short": ("needs at least {min_length}", "add what is missing"),
    "too_long": ("has too many entries, at most {max_length}", "remove what is too much"),
    "bool_type": ("must be true or false", "write true or false without quotes"),
}


def to_problem(
    error: ErrorDetails, *, file: str, data: Mapping[str, Any], record: type[BaseModel]
) -> Problem:
    """Return the problem for one error of pydantic.

    Parameters
    ----------
    error : ErrorDetails
        As pydantic gives it.
    file : str
        The file, as the user knows it.
    data : mapping
        What the file holds, for showing the value as written.
    record : type
        The record the data were checked against, for hints and meanings.
    """
    location = error["loc"]
    key = dotted(location)
    rule, way_out = _sentences(error, key, record)
    value = None if error["type"] == "missing" else look_up(data, location)
    return Problem(file=file, key=key, value=value, rule=rule, way_out=way_out)


def dotted(location: Location) -> str:
    """Return a key as the user knows it: ``mast.section[2].wall``, counting from 1."""
    parts = [f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in location]
    return "".join(parts).removeprefix(".")


def look_up(data: Any, location: Iterable[int | str]) -> Any:
    """Return what the file holds at a place, shortened if it is long; None if nothing."""
    for part in location:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return None
    if isinstance(data, Mapping):
        return "a table"
    if isinstance(data, Sequence) and not isinstance(data, str) and len(repr(data)) > 60:
        return f"a list of {len(data)}"
    if isinstance(data, str) and len(data) > 60:
        return data[:57] + "…"
    return data


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word most like `word`; None if none is like it."""
    found = difflib.get_close_matches(word.lower(), list(known), n=1, cutoff=0.5)
    return found[0] if found else None


def _sentences(error: ErrorDetails, key: str, record: type[BaseModel]) -> tuple[str, str]:
    kind, context, location = error["type"], error.get("ctx", {}), error["loc"]
    if kind == CUSTOM:
        return context["rule"], context["way_out"]
    if kind == "extra_forbidden":
        return _unknown_key(location, record)
    if kind == "literal_error":
        return _unknown_word(error["input"], _choices(location, record))
    if kind in _RULES:
        filling = {"key": key, "meaning": _meaning(location, record), **context}
        rule, way_out = _RULES[kind]
        return rule.format_map(filling), way_out.format_map(filling)
    return f"is not accepted: {error['msg']}", "correct the value"


def _unknown_key(location: Location, record: type[BaseModel]) -> tuple[str, str]:
    table = model_at(location[:-1], record)
    known = key_names(table) if table else []
    near = nearest(str(location[-1]), known)
    way_out = f"did you mean {near}?" if near else "remove it"
    return "this key is not known", f"{way_out} (known here: {', '.join(known)})"


def _unknown_word(value: object, choices: Sequence[str]) -> tuple[str, str]:
    near = nearest(value, choices) if isinstance(value, str) else None
    way_out = f'did you mean "{near}"?' if near else f'write one of them, such as "{choices[0]}"'
    return f"must be one of {', '.join(choices)}", way_out


def key_names(table: type[BaseModel]) -> list[str]:
    """Return the keys of a table as the file spells them."""
    return [field.alias or name for name, field in table.model_fields.items()]


def model_at(location: Iterable[int | str], record: type[BaseModel]) -> type[BaseModel] | None:
    """Return the record of the table at a place in the file."""
    here: Any = record
    for part in location:
        here = _step(here, part)
    model = without_none(here)
    return model if isinstance(model, type) and issubclass(model, BaseModel) else None


def _step(annotation: Any, part: int | str) -> Any:
    here = without_none(annotation)
    if isinstance(here, type) and issubclass(here, BaseModel):
        for name, field in here.model_fields.items():
            if part in (name, field.alias):
                return field.annotation
        return None
    arguments = get_args(here)
    return arguments[-1] if get_origin(here) is Mapping or isinstance(part, str) else arguments[0]


def without_none(annotation: Any) -> Any:
    """Return X of an annotation ``X | None``."""
    if get_origin(annotation) in (Union, UnionType):
        return next(part for part in get_args(annotation) if part is not type(None))
    return annotation


def _field_at(location: Location, record: type[BaseModel]) -> Any:
    table = model_at(location[:-1], record)
    for name, field in (table.model_fields if table else {}).items():
        if location[-1] in (name, field.alias):
            return field
    return None


def _meaning(location: Location, record: type[BaseModel]) -> str:
    field = _field_at(location, record)
    description = field.description if field else ""
    if not description:
        return "give every value of the list"
    return f"add it: {description[0].lower()}{description[1:].rstrip('.')}"


def _choices(location: Location, record: type[BaseModel]) -> list[str]:
    field = _field_at(location, record)
    return [str(choice) for choice in get_args(without_none(field.annotation))]
