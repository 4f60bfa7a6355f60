"""What stands in the cells of a table that is read, ticked and filled in by hand."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Value:
    """A value to read at a glance.

    Parameters
    ----------
    text : str
        Printed large.
    below : str
        Printed small under it: its range, or what it is for.
    """

    text: str
    below: str = ""


@dataclass(frozen=True)
class Tick:
    """A box to tick.

    Parameters
    ----------
    word : str
        Printed beside it; empty if the heading says it.
    """

    word: str = ""


@dataclass(frozen=True)
class Blank:
    """A line to write a reading on.

    Parameters
    ----------
    unit : str
        Printed behind the line.
    """

    unit: str


Cell = str | Value | Tick | Blank


@dataclass(frozen=True)
class Head:
    """Heading of a column.

    Parameters
    ----------
    title : str
        What it holds.
    align : {"left", "right", "center"}
        Where its cells stand.
    share : float
        Wish for a share of what is left of the width of the sheet; 0: as narrow as its cells.
    """

    title: str
    align: Literal["left", "right", "center"] = "left"
    share: float = 0.0


@dataclass(frozen=True)
class FieldTable:
    """A table with a title and what must be known to read it.

    Parameters
    ----------
    title : str
        Its title.
    heads : tuple of Head
        Headings.
    rows : tuple of tuple of Cell
        One cell a column.
    notes : tuple of str
        Sentences below it.
    size : float
        Factor on the usual sizes of type and rows.
    marked : frozenset of int
        Numbers of rows that stand out.
    """

    title: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    size: float = 1.0
    marked: frozenset[int] = frozenset()


def plain(cell: Cell) -> str:
    """Return the words of a cell."""
    match cell:
        case Value():
            return f"{cell.text} {cell.below}".strip()
        case Tick():
            return cell.word
        case Blank():
            return cell.unit
        case _:
            return cell
