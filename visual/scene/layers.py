"""What is drawn: frozen layers of plain arrays that every renderer understands.

A layer says *what* it is (`role`, `group`, `name`) and never *how* it looks; the look comes
from `visual.scene.style`. Layers hold numpy arrays, numbers and text only, so that they can be
written to a file and drawn by another program.

All coordinates are in the local frame: x grid east, y grid north, z up, origin at the hinge. [m]
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
"""Points, shape (n, 3). [m]"""

Motion = Literal["fixed", "mast", "pose"]
"""How a layer follows the raise.

``"fixed"``: it does not move; ``"mast"``: it turns rigidly about the hinge axis; ``"pose"``: it
takes another shape at every raising angle and must be built anew.
"""


def degrees_text(angle: float, decimals: int = 0) -> str:
    """Return an angle as it is written on a picture. [rad]"""
    return f"{math.degrees(angle):.{decimals}f}°".replace("-0°", "0°").replace("-", "−")


LabelKind = Literal["name", "dimension", "angle", "height", "warning", "number"]
MarkShape = Literal["dot", "ring", "cross", "triangle", "square", "diamond"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Layer:
    """What all layers have in common.

    Parameters
    ----------
    role : str
        Key into `visual.scene.style.ROLES`: decides colour, width, dash and legend word.
    group : str
        Part of the picture that is shown or hidden together: ``"ground"``, ``"rig"`` …
    name : str
        What it is on this site, e.g. ``"barn"``.
    motion : {"fixed", "mast", "pose"}
        How it follows the raise.
    """

    kind: ClassVar[str] = ""

    role: str
    group: str
    name: str = ""
    motion: Motion = "fixed"

    @property
    def points(self) -> Points:
        """Return every point of the layer, shape (n, 3). [m]"""
        return np.empty((0, 3))


@dataclass(frozen=True, eq=False, kw_only=True)
class MeshLayer(Layer):
    """A surface of triangles.

    Parameters
    ----------
    vertices : ndarray, shape (n, 3)
        Corners. [m]
    triangles : ndarray of int, shape (m, 3)
        Rows of `vertices`, counter-clockwise as seen from outside or above.
    texture : ndarray of uint8, shape (rows, columns, 3), or None
        Picture laid on the surface, first row at the top (v = 1); shading is already in it.
    uv : ndarray, shape (n, 2), or None
        Place of each vertex in the texture, 0 … 1 from its lower left corner.
    """

    kind: ClassVar[str] = "mesh"

    vertices: Points = field(repr=False)
    triangles: NDArray[np.int32] = field(repr=False)
    texture: NDArray[np.uint8] | None = field(default=None, repr=False)
    uv: NDArray[np.float64] | None = field(default=None, repr=False)

    @property
    def points(self) -> Points:
        """Return the vertices."""
        return self.vertices


@dataclass(frozen=True, eq=False, kw_only=True)
class LineLayer(Layer):
    """Open or closed polylines.

    Parameters
    ----------
    paths : tuple of ndarray, each shape (n, 3)
        The lines; a closed one repeats its first point. [m]
    """

    kind: ClassVar[str] = "line"

    paths: tuple[Points, ...] = field(repr=False)

    @property
    def points(self) -> Points:
        """Return the points of all paths."""
        return np.concatenate(self.paths) if self.paths else np.empty((0, 3))


@dataclass(frozen=True, eq=False, kw_only=True)
class MarkLayer(Layer):
    """Places marked with a sign of constant size on the picture.

    Parameters
    ----------
    at : ndarray, shape (n, 3)
        The places. [m]
    shape : {"dot", "ring", "cross", "triangle", "square", "diamond"}
        The sign.
    """

    kind: ClassVar[str] = "mark"

    at: Points = field(repr=False)
    shape: MarkShape = "dot"

    @property
    def points(self) -> Points:
        """Return the marked places."""
        return self.at


@dataclass(frozen=True, eq=False, kw_only=True)
class LabelLayer(Layer):
    """A text that belongs to a place.

    Parameters
    ----------
    text : str
        The text; a line break starts a new line.
    at : ndarray, shape (3,)
        The place. [m]
    priority : float
        Larger wins when there is no room for all.
    label_kind : {"name", "dimension", "angle", "height", "warning", "number"}
        What the text tells; decides its type. A number stands in a circle.
    choice : str
        Labels that share a non-empty text here are alternatives: only one of them is written.
    along : ndarray, shape (3,), or None
        Direction that the text follows, centred on its place, as height numbers do along
        contours; None for a level text.
    over : bool
        True if a level text stands on its place, as a name does in an area; False: beside it.
    """

    kind: ClassVar[str] = "label"

    text: str
    at: Points = field(repr=False)
    priority: float = 1.0
    label_kind: LabelKind = "name"
    choice: str = ""
    along: Points | None = field(default=None, repr=False)
    over: bool = False

    @property
    def points(self) -> Points:
        """Return the place as one row."""
        return np.asarray(self.at, dtype=float).reshape(1, 3)


@dataclass(frozen=True, eq=False, kw_only=True)
class DimensionLayer(Layer):
    """A measured distance between two points, drawn with ticks at its ends.

    Parameters
    ----------
    start, end : ndarray, shape (3,)
        What is measured. [m]
    text : str
        The distance as text, unit included.
    offset : float
        Distance of the drawn line from the measured one on the picture, positive to the left
        going from start to end. [mm on the page]
    priority : float
        Larger wins when there is no room for all.
    """

    kind: ClassVar[str] = "dimension"

    start: Points = field(repr=False)
    end: Points = field(repr=False)
    text: str
    offset: float = 0.0
    priority: float = 9.0

    @property
    def points(self) -> Points:
        """Return both ends."""
        return np.array([self.start, self.end], dtype=float)


@dataclass(frozen=True, eq=False, kw_only=True)
class TableLayer(Layer):
    """A table that stands beside the drawing, under the legend.

    Parameters
    ----------
    title : str
        What the table is of.
    rows : tuple of tuple of str
        Its cells; the last column and every column of numbers is set to the right.
    head : tuple of str
        Words over the columns; empty for none.
    note : str
        What must be known to read it.
    least : int or None
        So many rows at least are drawn, the last ones left out if there is no room; None: all.
    """

    kind: ClassVar[str] = "table"

    title: str
    rows: tuple[tuple[str, ...], ...]
    head: tuple[str, ...] = ()
    note: str = ""
    least: int | None = None


AnyLayer = MeshLayer | LineLayer | MarkLayer | LabelLayer | DimensionLayer | TableLayer


@dataclass(frozen=True)
class Caption:
    """What is written around a picture.

    Parameters
    ----------
    site : str
        Name of the site.
    date : str
        Date of the site file as text; empty if it has none.
    standing : str
        How sure the numbers are, e.g. ``"provisional: heights from a DEM, ± 0.15 m"``.
    caution : str
        The caution line.
    notes : tuple of str
        What else must be known to read the picture, e.g. the contour interval.
    units : {"metric", "imperial"}
        Units of scale bar and texts.
    force_scale : float
        Force that an arrow of 1 m on the drawing stands for; NaN where no force is known. [N/m]
    """

    site: str
    date: str = ""
    standing: str = ""
    caution: str = ""
    notes: tuple[str, ...] = ()
    units: Literal["metric", "imperial"] = "metric"
    force_scale: float = math.nan


@dataclass(frozen=True, eq=False)
class Scene:
    """Everything that one set of pictures shows at one raising angle.

    Parameters
    ----------
    layers : tuple of layers
        In drawing order where they overlap.
    caption : Caption
        What is written around each picture.
    """

    layers: tuple[AnyLayer, ...]
    caption: Caption

    def of(self, *groups: str) -> tuple[AnyLayer, ...]:
        """Return the layers of the given groups."""
        return tuple(layer for layer in self.layers if layer.group in groups)

    def without(self, groups: Iterable[str]) -> "Scene":
        """Return a scene that lacks the given groups."""
        hidden = frozenset(groups)
        kept = tuple(layer for layer in self.layers if layer.group not in hidden)
        return Scene(kept, self.caption)
