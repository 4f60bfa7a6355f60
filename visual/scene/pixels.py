"""What was drawn, as arrays: read once from the render window, washed, blended, averaged.

The pictures are large (twice the size of what is kept), so nothing here makes a copy in floats.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.scene.style import PAPER

Image = NDArray[np.uint8]
"""Picture, shape (height, width, 3)."""

_FRONT = 1  # the buffer in which several samples of a pixel are already one colour
_RIGHT_EYE = 0
_ALONE = 1.0  # in the depth buffer: nothing was drawn here


def read_colors(window: Any, *, transparent: bool) -> Image:
    """Return the picture in a render window, first row at the top, with opacity if wanted."""
    from vtkmodules.vtkCommonCore import vtkUnsignedCharArray

    width, height = window.GetSize()
    found = vtkUnsignedCharArray()
    read = window.GetRGBACharPixelData if transparent else window.GetPixelData
    read(0, 0, width - 1, height - 1, _FRONT, found, _RIGHT_EYE)
    return np.asarray(_as_numpy(found).reshape(height, width, -1)[::-1], dtype=np.uint8)


def read_depth(window: Any, *, every: int) -> NDArray[np.float64]:
    """Return the distance of what was drawn in every so many-th pixel, NaN for nothing. [m]"""
    from vtkmodules.vtkCommonCore import vtkFloatArray

    camera = window.GetRenderers().GetFirstRenderer().GetActiveCamera()
    width, height = window.GetSize()
    found = vtkFloatArray()
    window.GetZbufferData(0, 0, width - 1, height - 1, found)
    share = _as_numpy(found).reshape(height, width)[::-1][::every, ::every].astype(float)
    near, far = camera.GetClippingRange()
    if camera.GetParallelProjection():
        depth = near + share * (far - near)
    else:
        depth = near * far / (far - share * (far - near))
    depth[share >= _ALONE] = np.nan
    return np.asarray(depth, dtype=float)


def _as_numpy(array: Any) -> NDArray[Any]:
    """Return the numbers of a VTK array without copying them."""
    from vtkmodules.util import numpy_support

    library: Any = numpy_support
    numbers: NDArray[Any] = library.vtk_to_numpy(array)
    return numbers


def washed(image: Image, strength: float) -> Image:
    """Return a picture paled towards the page; full strength is 1."""
    if strength >= 1:
        return image
    every = np.arange(256.0)
    return np.rint(PAPER[0] - strength * (PAPER[0] - every)).astype(np.uint8)[image]


def blend(under: Image, over: Image) -> Image:
    """Lay a picture drawn on a see-through page over another; its fourth channel is opacity."""
    empty = np.array([*PAPER, 0], dtype=np.uint8).view(np.uint32)[0]
    rows, columns = np.nonzero(np.ascontiguousarray(over).view(np.uint32)[..., 0] != empty)
    top = over[rows, columns]
    through = 1 - top[:, 3:].astype(float) / 255
    # VTK has already mixed the page colour in where the picture is see-through
    mixed = top[:, :3] + through * (under[rows, columns].astype(float) - PAPER[0])
    laid = np.array(under)
    laid[rows, columns] = np.clip(np.rint(mixed), 0, 255)
    return laid


def average(image: Image, block: int) -> Image:
    """Return a picture as many times smaller, each pixel the mean of a block of them."""
    height, width = image.shape[0] // block, image.shape[1] // block
    total = np.full((height, width, 3), block * block // 2, dtype=np.uint16)
    for row in range(block):
        for column in range(block):
            total += image[row : block * height : block, column : block * width : block]
    return np.asarray(total // (block * block), dtype=np.uint8)
