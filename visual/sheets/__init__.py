"""The sheet set on paper: one PDF, vector, true scale, fonts embedded.

::

    paper.py, page.py, document.py       paper, drawing on it, what every sheet carries
    text.py, fallback.py, table.py, cells.py     lettering, fonts, tables
    scales.py, window.py, drawing.py     true scale: what of the model lands where
    labelling.py, dimension.py           names and dimensions that keep off each other
    furniture.py, north_sign.py          scale bar, north, facts, legend
    verdicts.py                          findings with the keys of the drawings
    plan_….py, grid.py                   sheet 1, site plan
    elevation_….py, approaches.py        sheet 2, elevations
    views_sheet.py                       sheet 3, pictures
    field_….py, stake_sketch.py          sheet 4, stake-out and wires
    raise_….py                           sheet 5, the raise
    findings_….py, methods_….py          sheets 6 and 7
    sheet_set.py                         the whole set, and who is given what
"""

from visual.sheets.paper import PAPERS
from visual.sheets.scales import parse_scale

__all__ = ["PAPERS", "parse_scale"]
