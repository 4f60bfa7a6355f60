"""A survey file as a table: delimiter, header, units and cells."""

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from visual.errors import InputError, Problem
from visual.units import LENGTH_UNITS

_SPELLINGS: Mapping[str, str] = {
    "point": "point pt pnt name id no nr number point_no point_number point_name point_id station",
    "easting": "easting east e x longitude lon long east_coordinate",
    "northing": "northing north n y latitude lat north_coordinate",
    "height": "height elevation elev ele z level h rl altitude alt reduced_level",
    "code": "code desc description feature feature_code",
    "feature_height": "feature_height object_height",
    "crown_radius": "crown_radius",
    "voltage_kv": "voltage_kv",
    "sag": "sag",
    "spread": "spread",
    "eye_height": "eye_height",
}

COLUMNS: Mapping[str, str] = {
    spelling: column for column, words in _SPELLINGS.items() for spelling in words.split()
}
"""Column by each spelling of its name, in lower case with underscores."""

SPELLINGS: Mapping[str, tuple[str, ...]] = {
    column: tuple(words.split()) for column, words in _SPELLINGS.items()
}
"""Spellings of each column."""

NEEDED = ("easting", "northing", "height")

_UNIT_WORDS: Mapping[str, str] = {
    "m": "m metre metres meter meters",
    "ft": "ft foot feet ift international_feet",
    "us-ft": "us-ft usft ft-us ftus us_ft us_survey_feet us_survey_foot survey_feet us_feet",
    "mm": "mm",
    "cm": "cm",
    "km": "km",
}
_UNITS = {word: unit for unit, words in _UNIT_WORDS.items() for word in words.split()}
_DEGREES = ("deg", "degree", "degrees", "°")

_HEADER_WAY_OUT = "let the first line name the columns: point,easting,northing,height,code"


@dataclass(frozen=True)
class Column:
    """One column of a survey table.

    Parameters
    ----------
    name : str
        What it holds, one of the keys of `SPELLINGS`.
    title : str
        Its title as written.
    unit : float or None
        Metres in a unit of its numbers; None if the title states none. [m]
    degrees : bool
        True if the title says that it holds degrees.
    """

    name: str
    title: str
    unit: float | None
    degrees: bool = False


@dataclass(frozen=True)
class Row:
    """One row: its line in the file, and its cells by column name."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class SurveyTable:
    """A survey file before its numbers are read.

    Parameters
    ----------
    columns : mapping of str to Column
        Known columns by what they hold.
    rows : tuple of Row
        Rows that are neither blank nor comments.
    decimal_comma : bool
        True if a comma stands for the decimal point.
    problems : tuple of Problem
        Rows that do not fit the header.
    """

    columns: Mapping[str, Column]
    rows: tuple[Row, ...]
    decimal_comma: bool
    problems: tuple[Problem, ...]


def read_table(path: Path) -> SurveyTable:
    """Read delimiter, header and cells of a survey file.

    Raises
    ------
    InputError
        If the file cannot be read or its first line is no header.
    """
    lines = [(n, line) for n, line in enumerate(_text(path).splitlines(), 1) if _counts(line)]
    if not lines:
        raise InputError([_problem(path, "", None, "the file is empty", _HEADER_WAY_OUT)])
    delimiter = max(";\t,", key=lambda mark: len(_known(_split(lines[0][1], mark))))
    titles = _split(lines[0][1], delimiter)
    columns = [_column(title) for title in titles]
    _check_header(path, titles, columns)
    rows: list[Row] = []
    problems: list[Problem] = []
    for number, line in lines[1:]:
        cells = _split(line, delimiter)
        if any(cells[len(titles) :]):
            rule = f"the row has {len(cells)} cells for {len(titles)} columns"
            way_out = "remove what is too much; a decimal comma needs semicolons between cells"
            problems.append(_problem(path, f"row {number}", line.strip(), rule, way_out))
            continue
        pairs = zip(columns, cells, strict=False)
        rows.append(Row(number, {column.name: cell for column, cell in pairs if column}))
    known = {column.name: column for column in columns if column}
    return SurveyTable(known, tuple(rows), delimiter != ",", tuple(problems))


def _counts(line: str) -> bool:
    return bool(line.strip(" ;,\t")) and not line.lstrip().startswith("#")


def _text(path: Path) -> str:
    try:
        content = path.read_bytes()
    except OSError as error:
        rule = f"cannot be read: {error.strerror}"
        raise InputError([_problem(path, "", None, rule, "check the path")]) from None
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):  # spreadsheets save "Unicode text" like this
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("latin-1")  # only names can hold anything else than ASCII


def _split(line: str, delimiter: str) -> list[str]:
    try:
        row = next(csv.reader(io.StringIO(line), delimiter=delimiter), [])
    except csv.Error:  # a cell of more than 131072 characters
        row = line.split(delimiter)
    return [cell.strip() for cell in row]


def _known(titles: list[str]) -> list[Column]:
    return [column for column in map(_column, titles) if column]


def _column(title: str) -> Column | None:
    match = re.fullmatch(r"(.*?)\s*[(\[](.*)[)\]]\s*", title)
    words, unit = (match[1], match[2]) if match else (title, "")
    name = COLUMNS.get(re.sub(r"[\s.-]+", "_", words.strip().lower()).strip("_"))
    if name is None:
        return None
    unit = re.sub(r"[\s_]+", "_", unit.strip().lower())
    if not unit:
        return Column(name, title, None)
    if unit in _DEGREES:
        return Column(name, title, None, degrees=True)
    known = _UNITS.get(unit)
    # nan marks a unit nobody knows; the header check tells the user
    return Column(name, title, LENGTH_UNITS[known] if known else float("nan"))


def _check_header(path: Path, titles: list[str], columns: list[Column | None]) -> None:
    known = [column for column in columns if column]
    names = [column.name for column in known]
    shown = ", ".join(titles)[:60]
    problems = [
        _problem(path, "header", shown, f"there is no column {name}", _HEADER_WAY_OUT)
        for name in NEEDED
        if name not in names
    ]
    for name in sorted({name for name in names if names.count(name) > 1}):
        rule = f"two columns hold the {name}"
        problems.append(_problem(path, "header", shown, rule, "rename one of them"))
    for column in known:
        if column.unit is not None and column.unit != column.unit:
            rule = "the unit of this column is not known"
            way_out = f"use one of {', '.join(_UNIT_WORDS)}"
            problems.append(_problem(path, "header", column.title, rule, way_out))
    if problems:
        raise InputError(problems)


def _problem(path: Path, key: str, value: object, rule: str, way_out: str) -> Problem:
    return Problem(file=str(path), key=key, value=value, rule=rule, way_out=way_out)
