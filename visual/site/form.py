"""The keys of a site file as fields to fill in: what each means and how it is written."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from visual.errors import InputError
from visual.site.problems import without_none
from visual.site.quantity import Quantity
from visual.site.reader import Reader
from visual.site.site_file import SiteFile
from visual.site.values import Coordinate, Day, WholeNumber

Kind = Literal["quantity", "number", "count", "coordinate", "switch", "choice", "day", "text"]

_UNIT = re.compile(r"\s*[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?\s*([^\d\s].*?)\s*")
_PLAIN = re.compile(r"\s*[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?\s*")


@dataclass(frozen=True)
class FormField:
    """One key of a site file.

    Parameters
    ----------
    key : str
        The key as the user knows it: ``mast.section[2].wall``.
    kind : str
        How it is written: a quantity has a unit, a number has none.
    meaning : str
        What it says.
    text : str
        What the file holds, with its unit; empty where the key is left out.
    unit : str
        Unit that a bare number has in the file; empty if it has none.
    default : str
        What holds where the key is left out; empty if it is needed or has no default.
    choices : tuple of str
        Of a choice: the words.
    """

    key: str
    kind: Kind
    meaning: str
    text: str
    unit: str = ""
    default: str = ""
    choices: tuple[str, ...] = ()


def form_fields(text: str) -> tuple[FormField, ...]:
    """Return every key that the text of a site file may hold, in the order of the sections.

    Lists of tables have the entries that the text has.
    """
    return tuple(_fields("", SiteFile, tomllib.loads(text)))


def typed_value(field: FormField, typed: str, *, file: str) -> Any:
    """Return what is written into the file for what a person typed into a field.

    A bare number takes the unit that the field had: ``60`` over ``59 ft`` is ``60 ft``.

    Returns
    -------
    value
        As TOML holds it; None for nothing typed, which leaves the key out.

    Raises
    ------
    InputError
        If a bare number cannot take its unit from what stood there, or a word is neither true
        nor false. Everything else is judged with the whole file.
    """
    typed = typed.strip()
    if not typed:
        return None
    if field.kind == "switch":
        if typed not in ("true", "false"):
            raise _error(file, field, typed, "must be true or false", "choose one of them")
        return typed == "true"
    if field.kind in ("choice", "text", "day"):
        return typed
    if not _PLAIN.fullmatch(typed):
        return typed
    number = int(typed) if re.fullmatch(r"[+-]?\d+", typed) else float(typed)
    return number if field.kind != "quantity" else _with_unit(field, number, typed, file)


def _with_unit(field: FormField, number: float, typed: str, file: str) -> Any:
    if not field.text:
        return f"{typed} {field.unit}"
    unit = _UNIT.fullmatch(field.text)
    if unit is None or re.search(r"\d", unit[1]):
        rule = "the unit is missing, and what stood there has more than one"
        raise _error(file, field, number, rule, f'write it with its unit, such as "{field.text}"')
    return f"{typed} {unit[1]}"


def _error(file: str, field: FormField, value: object, rule: str, way_out: str) -> InputError:
    return InputError.one(file=file, key=field.key, value=value, rule=rule, way_out=way_out)


def _fields(key: str, record: type[BaseModel], held: Any) -> Iterator[FormField]:
    held = held if isinstance(held, Mapping) else {}
    for name, info in record.model_fields.items():
        written = info.alias or name
        yield from _field(f"{key}.{written}".removeprefix("."), info, held.get(written))


def _field(key: str, info: FieldInfo, held: Any) -> Iterator[FormField]:
    annotation = without_none(info.annotation)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield from _fields(key, annotation, held)
    elif get_origin(annotation) is tuple and _is_record(get_args(annotation)[0]):
        for number, entry in enumerate(held if isinstance(held, list) else (), start=1):
            yield from _fields(f"{key}[{number}]", get_args(annotation)[0], entry)
    elif get_origin(annotation) is Mapping:
        for name, entry in held.items() if isinstance(held, Mapping) else ():
            if re.fullmatch(r"[A-Za-z0-9_-]+", name):
                yield from _fields(f"{key}.{name}", get_args(annotation)[1], entry)
    elif get_origin(annotation) is tuple:
        for number, part in enumerate(get_args(annotation), start=1):
            own = held[number - 1] if isinstance(held, list) and len(held) >= number else None
            yield _leaf(f"{key}[{number}]", info, _reader(part), own)
    else:
        yield _leaf(key, info, _reader(info), held)


def _is_record(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _reader(source: Any) -> Reader | None:
    """Return what reads a value: the marker in the metadata of its type."""
    metadata = list(getattr(source, "metadata", ()))
    for part in (source, without_none(getattr(source, "annotation", None))):
        metadata += getattr(part, "__metadata__", ())
    return next((one for one in metadata if isinstance(one, Reader)), None)


def _leaf(key: str, info: FieldInfo, reader: Reader | None, held: Any) -> FormField:
    kind, unit, choices = _kind(info, reader)
    default = "" if info.is_required() or info.default is None else _shown(info.default, unit)
    return FormField(
        key=key,
        kind=kind,
        meaning=info.description or "",
        text="" if held is None else _shown(held, unit),
        unit=unit,
        default=default,
        choices=choices,
    )


def _kind(info: FieldInfo, reader: Reader | None) -> tuple[Kind, str, tuple[str, ...]]:
    annotation = without_none(info.annotation)
    if get_origin(annotation) is Literal:
        return "choice", "", tuple(str(word) for word in get_args(annotation))
    if annotation is bool:
        return "switch", "", ()
    match reader:
        case Quantity(number_unit="degrees"):
            return "number", "°", ()
        case Quantity(number_unit=unit) if unit:
            return "quantity", unit, ()
        case Quantity():
            return "number", "", ()
        case WholeNumber():
            return "count", "", ()
        case Coordinate():
            return "coordinate", "", ()
        case Day():
            return "day", "", ()
    return "text", "", ()


def _shown(value: Any, unit: str) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float) and unit and unit != "°":
        return f"{value!r} {unit}"
    return repr(value) if isinstance(value, int | float) else str(value)
