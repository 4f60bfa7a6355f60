"""Changing keys in the text of a site file, comments and order of keys kept."""

import re
import tomllib
from collections.abc import Mapping
from copy import deepcopy
from itertools import pairwise
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable, Table

from visual.errors import InputError

Place = tuple[str | int, ...]

_PART = re.compile(r"([A-Za-z0-9_-]+)((?:\[\d+\])*)")


def key_place(key: str) -> Place:
    """Return the steps to a key as the user knows it: ``mast.section[2].wall``, from 1.

    Raises
    ------
    ValueError
        If it is not written like a key.
    """
    place: list[str | int] = []
    for part in key.split("."):
        match = _PART.fullmatch(part)
        if match is None:
            message = f"{key[:60]!r} is not a key; write it like mast.section[2].wall"
            raise ValueError(message)
        place.append(match[1])
        numbers = [int(number) for number in re.findall(r"\d+", match[2])]
        if 0 in numbers:
            message = f"{key[:60]!r}: entries are counted from 1"
            raise ValueError(message)
        place += [number - 1 for number in numbers]
    return tuple(place)


def edit_text(text: str, changes: Mapping[str, Any], *, file: str) -> str:
    """Return the text of a site file with other values in it.

    Parameters
    ----------
    text : str
        The text; it is valid TOML.
    changes : mapping of str to value
        New values by key; None takes a key, or one of a list of tables, out. A table that is
        missing is made; the number after the last of a list of tables adds one.
    file : str
        The file, as the user knows it.

    Raises
    ------
    InputError
        If a key cannot be reached, or the change would alter anything else.
    """
    wanted = deepcopy(tomllib.loads(text))
    try:
        document = tomlkit.parse(text)
        for key, value in changes.items():
            place = key_place(key)
            _set(wanted, place, value)
            _set(document, place, value)
        written = tomlkit.dumps(document)
        same = tomllib.loads(written) == wanted
    except (TOMLKitError, KeyError, IndexError, TypeError, ValueError, AttributeError) as error:
        raise _error(file, changes, f"cannot be changed here: {error}") from None
    if not same:
        raise _error(file, changes, "cannot be changed without changing something else")
    return written


def _set(tables: Any, place: Place, value: Any) -> None:
    holder = tables
    for step, following in pairwise(place):
        if isinstance(step, str) and step not in holder:
            if value is None:
                return
            holder[step] = _new_holder(holder, following)
        holder = holder[step]
    last = place[-1]
    if value is None:
        _remove(holder, last)
    elif isinstance(last, int) and last == len(holder):
        holder.append(_entry(holder, value))
    else:
        holder[last] = value


def _new_holder(holder: Any, following: str | int) -> Any:
    """Return an empty table, or list of tables, of the kind that fits into its holder."""
    if not isinstance(holder, tomlkit.TOMLDocument | Table | InlineTable):
        plain = isinstance(holder, dict) and type(holder) is not dict
        return tomlkit.table() if plain else ([] if isinstance(following, int) else {})
    if isinstance(following, int):
        return tomlkit.aot()
    return tomlkit.inline_table() if isinstance(holder, InlineTable) else tomlkit.table()


def _entry(holder: Any, value: Any) -> Any:
    if not isinstance(holder, AoT) or not isinstance(value, Mapping):
        return value
    table = tomlkit.table()
    for key, item in value.items():
        table[key] = item
    return table


def _remove(holder: Any, last: str | int) -> None:
    if isinstance(last, int) or last in holder:
        del holder[last]


def _error(file: str, changes: Mapping[str, Any], rule: str) -> InputError:
    return InputError.one(
        file=file,
        key=", ".join(changes),
        value=None,
        rule=rule,
        way_out="change it in the site file with a text editor",
    )
