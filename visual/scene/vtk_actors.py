"""Arrays as actors of VTK, unlit: colours are drawn as they are given."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.scene.layers import Points

Triangles = NDArray[np.int32]


def plain(points: Points, triangles: Triangles, color: Sequence[float], *, opacity: float) -> Any:
    """Return a surface in one colour, each part of it 0 … 1."""
    return _actor(_surface(points, triangles), color, opacity=opacity)


def colored(
    points: Points, triangles: Triangles, colors: NDArray[np.uint8], *, opacity: float
) -> Any:
    """Return a surface with a colour for each triangle, shape (m, 3)."""
    surface = _surface(points, triangles)
    surface.GetCellData().SetScalars(as_vtk(colors))
    actor = _actor(surface, (1.0, 1.0, 1.0), opacity=opacity)
    mapper = actor.GetMapper()
    mapper.ScalarVisibilityOn()
    mapper.SetScalarModeToUseCellData()
    mapper.SetColorModeToDirectScalars()
    return actor


def textured(
    points: Points, triangles: Triangles, uv: NDArray[np.float64], picture: NDArray[np.uint8]
) -> Any:
    """Return a surface with a picture on it, its first row at v = 1."""
    from vtkmodules.vtkCommonDataModel import vtkImageData
    from vtkmodules.vtkRenderingCore import vtkTexture

    surface = _surface(points, triangles)
    surface.GetPointData().SetTCoords(as_vtk(np.asarray(uv, dtype=np.float32)))
    image = vtkImageData()
    image.SetDimensions(picture.shape[1], picture.shape[0], 1)
    image.GetPointData().SetScalars(as_vtk(picture[::-1].reshape(-1, 3)))
    texture = vtkTexture()
    texture.SetInputDataObject(image)
    texture.InterpolateOn()
    texture.SetWrap(vtkTexture.ClampToEdge)  # or its rim would be mixed with the opposite one
    actor = _actor(surface, (1.0, 1.0, 1.0), opacity=1.0)
    actor.SetTexture(texture)
    return actor


def polylines(
    points: Points, counts: Sequence[int], color: Sequence[float], *, opacity: float, width: float
) -> Any:
    """Return lines through points that follow each other, so many for each. [px]"""
    from vtkmodules.vtkCommonDataModel import vtkPolyData

    data = vtkPolyData()
    data.SetPoints(_points(points))
    starts = np.cumsum([0, *counts])
    data.SetLines(_cells(starts, np.arange(starts[-1])))
    actor = _actor(data, color, opacity=opacity)
    actor.GetProperty().SetLineWidth(width)
    return actor


def as_vtk(array: NDArray[Any]) -> Any:
    """Return an array for VTK, which keeps it alive."""
    from vtkmodules.util import numpy_support

    library: Any = numpy_support
    return library.numpy_to_vtk(np.ascontiguousarray(array))


def _surface(points: Points, triangles: Triangles) -> Any:
    from vtkmodules.vtkCommonDataModel import vtkPolyData

    data = vtkPolyData()
    data.SetPoints(_points(points))
    data.SetPolys(_cells(3 * np.arange(len(triangles) + 1), triangles.ravel()))
    return data


def _points(points: Points) -> Any:
    from vtkmodules.vtkCommonCore import vtkPoints

    found = vtkPoints()
    found.SetData(as_vtk(points))
    return found


def _cells(starts: NDArray[np.int64], numbers: NDArray[Any]) -> Any:
    from vtkmodules.vtkCommonDataModel import vtkCellArray

    found = vtkCellArray()
    found.SetData(as_vtk(starts.astype(np.int32)), as_vtk(numbers.astype(np.int32)))
    return found


def _actor(data: Any, color: Sequence[float], *, opacity: float) -> Any:
    from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

    mapper = vtkPolyDataMapper()
    mapper.SetInputData(data)
    mapper.ScalarVisibilityOff()
    actor = vtkActor()
    actor.SetMapper(mapper)
    look = actor.GetProperty()
    look.SetColor(*color)
    look.SetOpacity(opacity)
    look.LightingOff()
    return actor
