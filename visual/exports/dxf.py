"""DXF: layers by subject, 3D polylines, faces, in the grid of the site.

Drawing units are those of the site's grid: metres, feet or US survey feet, heights included. A
site whose CRS is in degrees is drawn in its local frame, in metres from the hinge.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
from ezdxf import units
from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts import Modelspace

from visual.exports.drawing import Drawing, Item, Layer, Points, known_runs
from visual.exports.look import colour, face_colour
from visual.exports.texts import shortened
from visual.frame import crs_unit_metres
from visual.scene.style import RGB

APP = "HILLMAST"
"""Under this name every entity carries the name and the attributes of its thing."""

_TEXT_HEIGHT = 0.5  # [m]
_LONGEST = 80  # characters of a text in extended data: 255 bytes at most, in any script
_MOST_DATA = 1000  # characters of one text in all: a thing has room for 16 kB
_MOST_LABEL = 80  # characters of a name in the drawing
_VIEW_HEIGHTS = 5.0  # height of the first view, in heights of the mast
_COVERING = frozenset({"required_clearance"})
"""Layers whose faces are switched off at first: they would cover everything below."""

_INK = 7  # the colour that is black on white and white on black
_DARK = 64  # colours without a part of more than this are ink
_US_SURVEY_FEET = 21  # of $INSUNITS


@dataclass(frozen=True)
class Sheet:
    """How local points become points of the drawing.

    Parameters
    ----------
    code : int
        Drawing unit, as $INSUNITS counts them.
    metre : float
        Drawing units per metre.
    words : str
        What the coordinates are.
    place : callable
        From local points, shape (n, 3) [m], to points of the drawing, shape (n, 3).
    """

    code: int
    metre: float
    words: str
    place: Callable[[Points], Points]


def sheet_of(drawing: Drawing) -> Sheet:
    """Return the coordinates that a drawing is written in."""
    try:
        unit = crs_unit_metres(drawing.crs)
    except ValueError:  # its axes are in degrees
        words = f"metres from the hinge, x east, y north; {drawing.crs} has no unit of length"
        return Sheet(units.M, 1.0, words, lambda points: points)

    def place(points: Points) -> Points:
        return np.asarray(drawing.to_grid(points) / np.array([1.0, 1.0, unit]))

    words = f"grid of the site ({drawing.crs}), heights in its unit"
    return Sheet(_code(unit), 1 / unit, words, place)


def write_dxf(drawing: Drawing, path: Path) -> None:
    """Write all layers."""
    sheet = sheet_of(drawing)
    with _repeatable():
        document = _new_document(drawing, sheet)
        space = document.modelspace()
        for layer in drawing.layers:
            _add_layer(document, layer)
            for item in layer.items:
                _add_item(space, layer, item, sheet)
        _open_at_the_mast(document, drawing, sheet)
        document.saveas(path)


def _code(unit: float) -> int:
    for code, metres in ((units.M, 1.0), (units.FT, 0.3048), (_US_SURVEY_FEET, 1200 / 3937)):
        if abs(unit / metres - 1) < 1e-9:
            return int(code)
    return 0  # a unit without a code


def _new_document(drawing: Drawing, sheet: Sheet) -> Document:
    document = ezdxf.new("R2010", setup=["linetypes"], units=sheet.code)
    document.header["$MEASUREMENT"] = 1 if sheet.code == units.M else 0
    document.header["$PDMODE"] = 35  # a cross in a circle, so that points are seen
    document.header["$PDSIZE"] = 0.4 * sheet.metre
    document.appids.add(APP)
    document.styles.get("Standard").dxf.font = "arial.ttf"  # has more scripts than stroke fonts
    for key, text in (
        ("SITE", drawing.site),
        ("COORDINATES", sheet.words),
        ("DATE", drawing.date),
        ("NOTE", drawing.standing),
    ):
        document.header.custom_vars.append(key, text)
    return document


def _open_at_the_mast(document: Document, drawing: Drawing, sheet: Sheet) -> None:
    """Have the drawing open with the mast in the middle, not with the origin of the grid."""
    tops = [path[:, 2].max() for item in drawing.items_of("mast") for path in item.paths]
    height = _VIEW_HEIGHTS * max(tops, default=10.0) * sheet.metre
    middle = sheet.place(np.zeros((1, 3)))[0]
    document.set_modelspace_vport(height, center=(float(middle[0]), float(middle[1])))


def _add_layer(document: Document, layer: Layer) -> None:
    """Add a layer for places and lines, and one for faces, so that a plan can do without them."""
    added = document.layers.add(layer.key)
    added.description = layer.word
    _paint(added, colour(layer))
    if faces_key(layer) != layer.key and any(item.solid is not None for item in layer.items):
        added = document.layers.add(faces_key(layer))
        added.description = f"{layer.word}; faces"
        _paint(added, face_colour(layer))
        if layer.key in _COVERING:
            added.off()


def faces_key(layer: Layer) -> str:
    """Return the name of the layer that holds the faces of a layer."""
    return layer.key if layer.key == "ground" else f"{layer.key}_faces"


def _paint(added: Any, rgb: RGB) -> None:
    """Give a layer its colour; ink is white on a dark sheet, or nobody could see it."""
    if max(rgb) < _DARK:
        added.color = _INK
    else:
        added.rgb = rgb


def _add_item(space: Modelspace, layer: Layer, item: Item, sheet: Sheet) -> None:
    look = {"layer": layer.key}
    entities: list[Any] = list(_polylines(space, item, sheet, look))
    if item.at is not None and np.isfinite(item.at).all():
        place = sheet.place(item.at[None])[0]
        entities.append(space.add_point(place, dxfattribs=look))
        if layer.named:
            entities.append(_text(space, item.name, place, sheet, look))
    elif layer.named and item.lines:
        place = next((sheet.place(run)[0] for path in item.lines for run in known_runs(path)), None)
        if place is not None:
            entities.append(_text(space, item.name, place, sheet, look))
    data = _extended_data(item)
    for entity in entities:
        entity.set_xdata(APP, data)
    _faces(space, item, sheet, {"layer": faces_key(layer)})


def _polylines(space: Modelspace, item: Item, sheet: Sheet, look: dict[str, str]) -> Iterator[Any]:
    """Add its lines as 3D polylines, broken where heights are unknown."""
    for path in item.lines:
        for run in known_runs(path):
            closed = len(run) > 3 and bool(np.array_equal(run[0], run[-1]))
            points = sheet.place(run[:-1] if closed else run)
            yield space.add_polyline3d(points.tolist(), close=closed, dxfattribs=look)


def _faces(space: Modelspace, item: Item, sheet: Sheet, look: dict[str, str]) -> None:
    if item.solid is None:
        return
    vertices, triangles = item.solid
    corners = sheet.place(vertices)[triangles]
    for triangle in corners.tolist():
        space.add_3dface(triangle, dxfattribs=look)


def _text(space: Modelspace, text: str, at: Points, sheet: Sheet, look: dict[str, str]) -> Any:
    entity = space.add_text(
        _as_written(text),
        height=_TEXT_HEIGHT * sheet.metre,
        dxfattribs={**look, "style": "Standard"},
    )
    beside = at + np.array([0.4, 0.3, 0.0]) * sheet.metre
    return entity.set_placement(beside.tolist(), align=TextEntityAlignment.LEFT)


def _as_written(name: str) -> str:
    """Return a name so that no part of it is taken for a code of DXF's texts."""
    return shortened(name, _MOST_LABEL).replace("^", "^ ").replace("%%", "%%%%%%")


def _extended_data(item: Item) -> list[tuple[int, str]]:
    """Return name and attributes as texts; a long one goes on in the next."""
    known = {"name": item.name, **item.attributes}
    texts = [shortened(f"{k}={v}", _MOST_DATA) for k, v in known.items() if v is not None]
    pieces = (t[i : i + _LONGEST] for t in texts for i in range(0, len(t), _LONGEST))
    return [(1000, piece) for piece in pieces]


@contextmanager
def _repeatable() -> Iterator[None]:
    """Leave the time of writing and random numbers out of the file, so that its bytes repeat."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
