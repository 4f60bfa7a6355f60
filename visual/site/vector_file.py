"""Writing polygons and points as layers of a GeoPackage."""

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from visual.errors import InputError
from visual.frame import LOCAL, Frame


@dataclass(frozen=True)
class VectorLayer:
    """A layer of a vector file.

    Parameters
    ----------
    name : str
        Its name.
    kind : {"MultiPolygon", "Point", "LineString"}
        What it holds.
    shapes : sequence of shapely geometry
        Its features in the local frame. [m]
    columns : mapping of str to sequence
        Their properties: texts or numbers.
    """

    name: str
    kind: str
    shapes: Sequence[BaseGeometry] = field(repr=False)
    columns: Mapping[str, Sequence[str] | Sequence[float]] = field(repr=False)


def write_geopackage(path: Path, layers: Sequence[VectorLayer], *, frame: Frame) -> None:
    """Write layers into a new GeoPackage, in the CRS of the site; empty layers are left out.

    Parameters
    ----------
    path : Path
        The file; one that is there already is replaced.
    layers : sequence of VectorLayer
        What it is to hold.
    frame : Frame
        The local frame of the shapes.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    import pyogrio  # loads slowly, and most commands write no such file

    try:
        path.unlink(missing_ok=True)
        for layer in layers:
            if layer.shapes:
                _write(path, layer, frame)
    except (pyogrio.errors.DataSourceError, pyogrio.errors.DataLayerError, OSError) as error:
        rule, way_out = f"cannot be written: {error}", "check the folder and its permissions"
        raise InputError.one(
            file=str(path), key="", value=None, rule=rule, way_out=way_out
        ) from None


def _write(path: Path, layer: VectorLayer, frame: Frame) -> None:
    def convert(places: np.ndarray) -> np.ndarray:
        return np.column_stack(frame.to_grid(places[:, 0], places[:, 1]))

    shapes = shapely.transform(np.array(layer.shapes, dtype=object), convert)
    if layer.kind == "MultiPolygon":
        shapes = [shapely.multipolygons(_polygons(shape)) for shape in shapes]
    with warnings.catch_warnings():
        # A local site has no coordinate system to give: its file says so by giving none.
        warnings.filterwarnings("ignore", message="'crs' was not provided", category=UserWarning)
        _write_layer(path, layer, shapes, frame)


def _write_layer(
    path: Path, layer: VectorLayer, shapes: Sequence[BaseGeometry], frame: Frame
) -> None:
    import pyogrio

    pyogrio.raw.write(
        path,
        geometry=shapely.to_wkb(np.array(shapes, dtype=object)),
        field_data=[np.array(values) for values in layer.columns.values()],
        fields=list(layer.columns),
        layer=layer.name,
        driver="GPKG",
        geometry_type=layer.kind,
        crs=None if frame.crs == LOCAL else frame.crs,
        append=path.exists(),
    )


def _polygons(shape: BaseGeometry) -> list[BaseGeometry]:
    return [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
