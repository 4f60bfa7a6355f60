"""Every value of a site file in a row: what was stated, what was filled in, and from where."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from visual.site.quantity import Quantity
from visual.site.site_file import SiteFile
from visual.site.site_page import reader_of

_NOT_HERE = ("format", "limits_stated")  # the limits have a table of their own


@dataclass(frozen=True)
class InputValue:
    """One value.

    Parameters
    ----------
    key : str
        Its place in the site file, such as ``"tow.grip"``.
    value : float, bool, str or tuple
        In SI and radians.
    kind : str
        What it is: ``"length"``, ``"mass"``, ``"force"`` … as in the messages of the site file;
        empty for text and plain numbers.
    meaning : str
        What it means.
    is_stated : bool
        True if the site file states it, False if it is a default.
    source : str
        Where a default comes from; empty if it is stated or has no source.
    """

    key: str
    value: object
    kind: str
    meaning: str
    is_stated: bool
    source: str


def input_values(site: SiteFile) -> tuple[InputValue, ...]:
    """Return every value that the program works with, in the order of the site file."""
    return tuple(_of_record(site, ""))


def _of_record(record: BaseModel, place: str) -> Iterator[InputValue]:
    for name, field in type(record).model_fields.items():
        if not place and name in _NOT_HERE:
            continue
        key, value = f"{place}{field.alias or name}", getattr(record, name)
        if isinstance(value, BaseModel):
            yield from _of_record(value, f"{key}.")
        elif isinstance(value, Mapping):
            for one, inner in value.items():
                yield from _of_record(inner, f"{key}.{one}.")
        elif _is_records(value):
            for number, inner in enumerate(value, start=1):
                yield from _of_record(inner, f"{key} {number}." if len(value) > 1 else f"{key}.")
        elif value is not None:
            yield _value(record, name, key, field)


def _is_records(value: object) -> bool:
    return isinstance(value, tuple) and bool(value) and isinstance(value[0], BaseModel)


def _value(record: BaseModel, name: str, key: str, field: FieldInfo) -> InputValue:
    reader, extra = reader_of(field), field.json_schema_extra
    value = getattr(record, name)
    is_stated = name in record.model_fields_set
    origin = extra.get("x-source") if isinstance(extra, dict) and not is_stated else None
    return InputValue(
        key=key,
        value=value.isoformat() if isinstance(value, dt.date) else value,
        kind=reader.noun if isinstance(reader, Quantity) else "",
        meaning=field.description or "",
        is_stated=is_stated,
        source=str(origin or ""),
    )
