"""Findings as lines of text, at most 100 columns wide, worst first."""

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from visual.checks.finding import STATUSES, Finding, Status
from visual.units import UnitSystem

WIDTH = 100

COLUMNS = (("status", 11), ("check", 16), ("subject", 31), ("found", 14), ("limit", 14), ("at", 8))
"""Heading and width of each column; numbers stand to the right."""

WORDS = 3  # columns of words, before those of numbers


@dataclass(frozen=True)
class TableLine:
    """One printed line.

    Parameters
    ----------
    text : str
        The line, without colour.
    status : Status or None
        Status it belongs to, for colouring; None for headings.
    """

    text: str
    status: Status | None = None


def findings_table(findings: Iterable[Finding], *, units: UnitSystem) -> tuple[TableLine, ...]:
    """Return the table of findings; every finding that is not ok explains itself below its row."""
    rows = tuple(findings)
    heading = [TableLine(_row([title for title, _ in COLUMNS])), TableLine("-" * WIDTH)]
    body = [line for finding in rows for line in _lines(finding, units)]
    return (*heading, *body, TableLine("-" * WIDTH), TableLine(count_line(rows)))


def count_line(findings: Iterable[Finding]) -> str:
    """Return how many findings there are of each status."""
    found = [finding.status for finding in findings]
    return ", ".join(f"{found.count(status)} {status}" for status in STATUSES)


def _lines(finding: Finding, units: UnitSystem) -> Iterator[TableLine]:
    cells = [
        finding.status.upper() if finding.status == "stop" else finding.status,
        finding.check,
        finding.subject,
        finding.value_text(units),
        finding.limit_text(units),
        "" if finding.angle is None else f"{finding.angle:z.1f}°",
    ]
    yield TableLine(_row(cells), finding.status)
    if finding.status != "ok":
        yield from _explanation(finding, units)


def _explanation(finding: Finding, units: UnitSystem) -> Iterator[TableLine]:
    said = finding.message.in_units(units) + (f" [{finding.basis}]" if finding.basis else "")
    said += f"; give {finding.missing} in the site file" if finding.missing else ""
    indent = " " * 13
    for text in textwrap.wrap(said, WIDTH, initial_indent=indent, subsequent_indent=indent):
        yield TableLine(text, finding.status)


def _row(cells: list[str]) -> str:
    """Align cells to the columns; a long subject is shortened in its middle, never the numbers.

    A number wider than its column takes the room it needs from the subject.
    """
    words, numbers = cells[:WORDS], cells[WORDS:]
    widths = [width for _, width in COLUMNS]
    aligned = [n.rjust(width) for n, width in zip(numbers, widths[WORDS:], strict=True)]
    widths[WORDS - 1] -= sum(map(len, aligned)) - sum(widths[WORDS:])
    said = [_shorten(w, width).ljust(width) for w, width in zip(words, widths, strict=False)]
    return " ".join([*said, *aligned]).rstrip()


def _shorten(text: str, width: int) -> str:
    if len(text) <= width:
        return text
    head = (width - 1) // 2
    return f"{text[:head]}…{text[-(width - 1 - head) :]}"
