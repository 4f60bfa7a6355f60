"""Writing measured anchors, or another place, into a site file, comments and order of keys kept."""

import math
import tomllib
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Table

from visual.errors import InputError
from visual.site.reading import parse_site
from visual.site.text import SiteText, replace_file

SETTLED = ("radius", "turn", "height", "accuracy")
"""Keys that a newly measured position settles; they are taken out, or written anew."""


@dataclass(frozen=True)
class BuiltAnchor:
    """Where an anchor really is.

    Parameters
    ----------
    easting, northing : float
        Its eye in the site's grid.
    height : float or None
        Its eye in the height system of the ground; None where it was not measured. [m]
    accuracy : float
        One standard deviation against the hinge. [m]
    in_degrees : bool
        True if the site's grid is one of longitude and latitude.
    """

    easting: float
    northing: float
    height: float | None
    accuracy: float
    in_degrees: bool = False

    @property
    def values(self) -> dict[str, Any]:
        """What is written: millimetres, or degrees as fine; the accuracy rounded up. [m]"""
        digits = 8 if self.in_degrees else 3
        values: dict[str, Any] = {
            "position": [round(self.easting, digits), round(self.northing, digits)]
        }
        if self.height is not None:
            values["height"] = round(self.height, 3)
            values["accuracy"] = math.ceil(max(self.accuracy, 0.001) * 1000 - 1e-6) / 1000
        return values


def write_anchors(path: Path, anchors: Mapping[str, BuiltAnchor]) -> Path:
    """Write measured anchors into a site file and return its back-up.

    Everything else in the file stays as it is, comments too. The back-up lies beside it and
    overwrites nothing. The new file is checked, written beside and then takes the place of the
    old one, so that there is a whole site file at any moment.

    Parameters
    ----------
    path : Path
        The site file.
    anchors : mapping of str to BuiltAnchor
        By side.

    Raises
    ------
    InputError
        If the file cannot be read, changed or written.
    """
    old = SiteText.read(path)
    try:
        text = _changed(old.text, anchors)
    except (TOMLKitError, TypeError) as error:
        raise _error(path, f"cannot be changed: {error}", "correct it, then try again") from None
    _check(path, old.text, text, anchors)
    backup = replace_file(path, old.with_text(text).content)
    assert backup is not None, "there was a file"
    return backup


def write_moved(
    path: Path, target: Path, *, position: tuple[float, float], front: float, in_degrees: bool
) -> None:
    """Write a copy of a site file with the mast elsewhere, order of keys and other comments kept.

    Comments behind the old position and front are left out: they speak of the old place.

    Parameters
    ----------
    path : Path
        The site file.
    target : Path
        The new file, in the same folder; it must not be there yet.
    position : tuple of float
        Easting and northing of the base in the site's CRS.
    front : float
        Grid bearing of the front. [deg]
    in_degrees : bool
        True if the CRS is one of longitude and latitude.

    Raises
    ------
    InputError
        If the file cannot be read, changed or written, or the new one is there already.
    """
    if target.exists():
        raise _error(target, "is there already", "move it away, or give another name")
    digits = 8 if in_degrees else 2
    place = [round(value, digits) for value in position]
    try:
        old = path.read_bytes().decode("utf-8-sig")
        document = tomlkit.parse(old)
        mast = document["mast"]
        for key, value in (("position", place), ("front", round(front, 2))):
            mast[key] = value
            # What stood behind the old value spoke of the old place.
            mast[key].trivia.comment_ws = mast[key].trivia.comment = ""
        text = tomlkit.dumps(document)
    except (UnicodeDecodeError, TOMLKitError, TypeError) as error:
        raise _error(path, f"cannot be changed: {error}", "correct it, then try again") from None
    wanted = tomllib.loads(old.replace("\r\n", "\n"))
    wanted["mast"].update(position=place, front=round(front, 2))
    written = tomllib.loads(text.replace("\r\n", "\n"))
    if written != wanted:
        rule = "the mast cannot be moved without changing something else"
        raise _error(path, rule, "write the mast as a table, [mast]")
    parse_site(written, file=str(target), path=target)
    try:
        target.write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        raise _error(target, f"cannot be written: {error.strerror}", "check the folder") from None


def _changed(text: str, anchors: Mapping[str, BuiltAnchor]) -> str:
    document = tomlkit.parse(text)
    table = document["anchors"]
    for side, anchor in anchors.items():
        if side not in table:
            table[side] = _new_table(table)
        own = table[side]
        for key in SETTLED:
            if key in own and key not in anchor.values:
                del own[key]
        for key, value in anchor.values.items():
            own[key] = value
    return tomlkit.dumps(document)


def _new_table(table: object) -> Any:
    """Return an empty table of the kind that fits into the anchors of this file."""
    return tomlkit.table() if isinstance(table, Table) else tomlkit.inline_table()


def _check(path: Path, old: str, text: str, anchors: Mapping[str, BuiltAnchor]) -> None:
    """Make sure that the new text says what it should and nothing else, and is a good site file."""
    wanted = deepcopy(tomllib.loads(old))
    for side, anchor in anchors.items():
        own = wanted["anchors"].setdefault(side, {})
        for key in SETTLED:
            own.pop(key, None)
        own.update(anchor.values)
    written = tomllib.loads(text)
    if written != wanted:
        rule = "the anchors cannot be written without changing something else"
        raise _error(path, rule, "write each anchor as a table of its own, [anchors.left]")
    parse_site(written, file=str(path), path=path)


def _error(path: Path, rule: str, way_out: str) -> InputError:
    return InputError.one(file=str(path), key="", value=None, rule=rule, way_out=way_out)
