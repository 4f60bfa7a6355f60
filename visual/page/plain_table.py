"""A table as plain data, for panel and paper."""

from collections.abc import Sequence

from visual.page.packing import Json

Cell = Json | str
"""A text, or one for each system of units."""


def table(title: str, head: Sequence[str], rows: Sequence[Sequence[Cell]], note: Cell = "") -> Json:
    """Return a table as plain data.

    Parameters
    ----------
    title : str
        What it is a table of.
    head : sequence of str
        What each column holds.
    rows : sequence of sequence of cells
        Its rows, as long as the head.
    note : cell
        What must be known to read it; empty if nothing.
    """
    return {"title": title, "head": list(head), "rows": [list(row) for row in rows], "note": note}
