"""A file of readings as a table: a header, one reading per row, comments after #."""

import csv
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from visual.errors import InputError, Problem
from visual.units import UnitSystem, parse_force, parse_length

Found = TypeVar("Found")


@dataclass(frozen=True)
class TableRow:
    """One row of a file of readings.

    Parameters
    ----------
    file : str
        The file, as the user knows it.
    line : int
        Line in the file, 1 first.
    cells : mapping of str to str
        What is not empty, by the name of its column.
    """

    file: str
    line: int
    cells: Mapping[str, str]

    def problem(self, column: str, rule: str, way_out: str) -> Problem:
        """Return the problem with one cell."""
        key = f"row {self.line}, column {column}"
        return Problem(self.file, key, self.cells.get(column), rule, way_out)


class CellError(Exception):
    """One cell cannot be used; caught where the rows are read, so that all are reported."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(str(problem))


def read_rows(path: Path, *, columns: Sequence[str], needed: Sequence[str]) -> list[TableRow]:
    """Return the rows of a file of readings.

    Cells are parted by commas, semicolons or tabs, whichever the header uses; with semicolons or
    tabs a comma is a decimal point.

    Parameters
    ----------
    path : Path
        The file.
    columns, needed : sequence of str
        Every column it may have, and those it must have.

    Raises
    ------
    InputError
        If it cannot be read, or its header is not right.
    """
    numbered = [(n, line) for n, line in enumerate(_text(path).splitlines(), 1) if _counts(line)]
    if not numbered:
        raise _header_error(path, None, "the file is empty", needed)
    header = numbered[0][1]
    mark = max(";\t,", key=header.count)
    titles = [title.lower().replace(" ", "_") for title in _split(header, mark)]
    _check_titles(path, titles, columns, needed)
    rows, problems = [], []
    for number, line in numbered[1:]:
        cells = _split(line, mark)
        if any(cells[len(titles) :]):
            rule = f"the row has {len(cells)} cells for {len(titles)} columns"
            way_out = "remove what is too much; a decimal comma needs semicolons between cells"
            problems.append(Problem(str(path), f"row {number}", line.strip(), rule, way_out))
            continue
        if mark != ",":
            cells = [cell.replace(",", ".") for cell in cells]
        found = {title: cell for title, cell in zip(titles, cells, strict=False) if cell}
        rows.append(TableRow(str(path), number, found))
    if problems:
        raise InputError(problems)
    return rows


def every_row(rows: Sequence[TableRow], read: Callable[[TableRow], Found]) -> list[Found]:
    """Return what is read from every row.

    Raises
    ------
    InputError
        With the problem of every row that cannot be used.
    """
    found, problems = [], []
    for row in rows:
        try:
            found.append(read(row))
        except CellError as error:
            problems.append(error.problem)
    if problems:
        raise InputError(problems)
    return found


def word(row: TableRow, column: str, choices: Sequence[str] = ()) -> str:
    """Return the word of a cell, in lower case; one of `choices` if there are any."""
    text = row.cells.get(column, "").lower()
    if text and (not choices or text in choices):
        return text
    rule = f"must be one of {', '.join(choices)}" if choices else "is needed and missing"
    raise CellError(row.problem(column, rule, "write it as docs/crew.md shows"))


def length(row: TableRow, column: str, units: UnitSystem, default: float | None = None) -> float:
    """Return the length of a cell. [m]

    On an imperial site a length needs its unit: a bare number would be metres in the site file,
    and is feet in the head of who reads the tape.
    """
    text = row.cells.get(column)
    if text is None:
        return _or_missing(row, column, default)
    bare = _as_number(text)
    if bare is not None and units == "imperial":
        way_out = 'write it with its unit, such as "36 ft 9 1/4 in", "36.77 ft" or "11.21 m"'
        raise CellError(row.problem(column, "a length on an imperial site needs its unit", way_out))
    return _parsed(row, column, lambda: parse_length(text if bare is None else bare))


def force(row: TableRow, column: str) -> float:
    """Return the force of a cell; it needs a unit. [N]"""
    text = row.cells.get(column)
    if text is None:
        return _or_missing(row, column, None)
    return _parsed(row, column, lambda: parse_force(text))


def degrees(row: TableRow, column: str, default: float | None = None) -> float:
    """Return the angle of a cell written in degrees. [rad]"""
    text = row.cells.get(column)
    if text is None:
        return _or_missing(row, column, default)
    value = _as_number(text.removesuffix("°").removesuffix("deg").strip())
    if value is None:
        way_out = "write degrees as a plain number such as 125.5"
        raise CellError(row.problem(column, "is not an angle in degrees", way_out))
    return math.radians(value)


def number(row: TableRow, column: str) -> float:
    """Return the plain number of a cell."""
    text = row.cells.get(column)
    if text is None:
        return _or_missing(row, column, None)
    value = _as_number(text)
    if value is None:
        raise CellError(row.problem(column, "is not a number", "write a plain number"))
    return value


def _or_missing(row: TableRow, column: str, default: float | None) -> float:
    if default is None:
        way_out = "write it as docs/crew.md shows"
        raise CellError(row.problem(column, "is needed and missing", way_out))
    return default


def _parsed(row: TableRow, column: str, parse: Callable[[], float]) -> float:
    try:
        return parse()
    except ValueError as error:
        rule, _, way_out = str(error).partition("; ")
        raise CellError(row.problem(column, rule, way_out)) from None


def _as_number(text: str) -> float | None:
    try:
        value = float(text.replace("\N{MINUS SIGN}", "-"))
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _counts(line: str) -> bool:
    return bool(line.strip(" ;,\t")) and not line.lstrip().startswith("#")


def _split(line: str, mark: str) -> list[str]:
    try:
        row = next(csv.reader([line], delimiter=mark), [])
    except csv.Error:  # a cell of more than 131072 characters
        row = line.split(mark)
    return [cell.strip() for cell in row]


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig", errors="replace")
    except OSError as error:
        raise InputError.one(
            file=str(path),
            key="",
            value=None,
            rule=f"cannot be read: {error.strerror}",
            way_out="check the path",
        ) from None


def _check_titles(
    path: Path, titles: Sequence[str], columns: Sequence[str], needed: Sequence[str]
) -> None:
    shown = ", ".join(titles)[:60]
    for name in needed:
        if name not in titles:
            raise _header_error(path, shown, f"there is no column {name}", needed)
    for name in titles:
        if name and name not in columns:
            rule = f"the column {name!r} is not known (known: {', '.join(columns)})"
            raise _header_error(path, shown, rule, needed)
        if titles.count(name) > 1:
            raise _header_error(path, shown, f"two columns are called {name!r}", needed)


def _header_error(path: Path, shown: str | None, rule: str, needed: Sequence[str]) -> InputError:
    way_out = f"let the first line name the columns, at least {','.join(needed)}"
    return InputError.one(file=str(path), key="header", value=shown, rule=rule, way_out=way_out)
