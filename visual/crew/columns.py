"""Plain tables for the screen, never wider than a page."""

import textwrap
from collections.abc import Iterable, Sequence

WIDTH = 100


def table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """Return lines of a table: first column to the left, the others to the right.

    Columns are as wide as they need to be, two blanks apart; what would be wider than a page is
    broken into a second table below that repeats the first column.
    """
    grid = [list(headings), *[list(row) for row in rows]]
    widths = [max(len(cell) for cell in column) for column in zip(*grid, strict=True)]
    fits = _fitting(widths)
    lines = _ruled([row[:fits] for row in grid], widths[:fits])
    if fits == len(widths):
        return lines
    rest = table([headings[0], *headings[fits:]], [[row[0], *row[fits:]] for row in grid[1:]])
    return [*lines, "", *rest]


def paragraph(text: str, *, indent: str = "") -> list[str]:
    """Return a text as lines no wider than a page."""
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)


def heading(text: str) -> list[str]:
    """Return a heading with a blank line above it."""
    return ["", text]


def _fitting(widths: Sequence[int]) -> int:
    """Return how many columns fit on a page, at least two."""
    total = widths[0]
    for number, width in enumerate(widths[1:], start=1):
        total += 2 + width
        if total > WIDTH and number > 1:
            return number
    return len(widths)


def _ruled(grid: Sequence[Sequence[str]], widths: Sequence[int]) -> list[str]:
    lines = []
    for row in grid:
        first, *others = zip(row, widths, strict=True)
        cells = [first[0].ljust(first[1]), *(cell.rjust(width) for cell, width in others)]
        lines.append("  ".join(cells).rstrip())
    rule = "-" * max(len(line) for line in lines)
    return [lines[0], rule, *lines[1:]]
